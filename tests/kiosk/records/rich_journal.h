// SPDX-License-Identifier: Apache-2.0
// A station's journal with a bit of everything, from a seed.
#pragma once

#include <random>
#include <string>

#include "tests/kiosk/records/station.h"

namespace lastlook::records::testing {

class RichJournal {
 public:
  // Ids of looks begin with `mark`, serials are the same whatever the seed and come after `after`.
  RichJournal(Station& station, unsigned seed, std::string mark = "", int after = 10'000)
      : station_(station), random_(seed), mark_(std::move(mark)), after_(after) {}

  void units(int n) {
    station_.happen(domain::SignedIn{"p-1", domain::Role::inspector});
    if (serials_ == 0)
      station_.happen(domain::ConcessionGranted{"C-1", "design office", "CP-210", "lid",
                                                "not_seated", 1000, 9'000'000'000'000'000});
    for (int i = 0; i < n; ++i) {
      if (i % 20 == 0) challenge();
      if (i % 50 == 0) study();
      unit(std::to_string(after_ + ++serials_));
    }
  }

 private:
  bool chance(double p) { return std::bernoulli_distribution(p)(random_); }
  template <class T>
  T one_of(std::initializer_list<T> all) {
    return *(all.begin() + std::uniform_int_distribution<std::size_t>(0, all.size() - 1)(random_));
  }
  std::string next_look() { return "k-" + mark_ + std::to_string(++looks_); }

  void challenge() {
    const std::string id = next_look();
    const bool fails = chance(0.2);
    station_.happen(domain::PartShown{id, "99999-00001", "CP-210"});
    if (chance(0.2)) return station_.happen(domain::PartLeft{id, "99999-00001", "too dark"});
    domain::PartJudged judged{
        id, "99999-00001", "CP-210", "2026-11-25", "early", 1, "m-1", "", {}, {}, ""};
    judged.components.emplace_back().component = "seal";
    if (fails) judged.unmet = {"seal"};
    judged.proof = fails ? "failed" : "held";
    station_.happen(judged);
    if (chance(0.1)) station_.happen(domain::CameraChanged{"usb-" + id});
  }

  void study() {
    domain::StudyPlanned plan;
    plan.study = "s-" + next_look();
    plan.title = "Seals";
    plan.items = {{"01", "conforming", ""}, {"02", "nonconforming", ""}};
    plan.inspectors = {"p-1"};
    plan.ratings = {"conforming", "nonconforming"};
    station_.happen(plan);
    for (const char* item : {"02", "01"})
      station_.happen(domain::StudyRated{plan.study, "p-1", 1, item, "conforming"});
    if (chance(0.5)) station_.happen(domain::StudyEnded{plan.study, "an item broke"});
    station_.happen(domain::HandoverNoted{"study " + plan.study + " was rated"});
    station_.happen(domain::PicturesPruned{"2026-06-01", {plan.study, "ab01"}});
    station_.happen(domain::ViewingChecked{true, 900, chance(0.5), "p-2"});
    station_.happen(domain::HelpCalled{"h-" + plan.study, ""});
    if (chance(0.7)) station_.happen(domain::HelpCame{"h-" + plan.study});
    const std::string reaction = "lids-" + plan.study;
    station_.happen(domain::ReactionRaised{reaction, "lids", "missing", "lid", 3, 20, {"k-1"}});
    if (chance(0.7)) station_.happen(domain::ReactionSettled{reaction, "the press was set anew"});
  }

  void claim(const std::string& serial) {
    station_.happen(domain::ClaimOpened{"C-" + serial, serial, "2026-11-27", "leaks"});
    if (chance(0.5))
      station_.happen(domain::ClaimJudged{
          "C-" + serial, serial,
          chance(0.5) ? domain::ClaimVerdict::escaped : domain::ClaimVerdict::not_visible, "seal",
          "missing", "opened it"});
  }

  void unit(const std::string& serial) {
    using domain::UpstreamTest;
    station_.happen(domain::UnitBuilt{
        serial,
        "CP-210",
        {{UpstreamTest::leak, chance(0.9), "0.4 ml/min", station_.clock.now.wall_us},
         {UpstreamTest::functional, true, "ok", station_.clock.now.wall_us}}});
    fit_parts(serial);
    if (chance(0.1)) return under_ticket(serial);
    drawn_.clear();
    std::int64_t number = 0;
    do look(serial, ++number);
    while (number < 4 && chance(0.3));
    if (chance(0.1)) claim(serial);
    if (drawn_.empty()) return;
    second_look(serial, number);
    if (chance(0.3)) look(serial, number + 1);
    if (chance(0.2)) station_.clock.pass(4 * 3600);
  }

  void fit_parts(const std::string& serial) {
    if (chance(0.5))
      station_.happen(domain::PartsFitted{
          serial, {{"seal ring", one_of({"L-1", "L-2"})}, {"stator", "S-" + serial}}});
    if (chance(0.2)) station_.happen(domain::PartsFitted{serial, {{"seal ring", "L-3"}}});
    if (chance(0.1))
      station_.happen(domain::SignInAllowed{
          "p-2", chance(0.5) ? domain::Bar::locked_out : domain::Bar::not_qualified, "renewed",
          station_.clock.now.wall_us + 3'600'000'000});
  }

  void look(const std::string& serial, std::int64_t number) {
    const std::string id = next_look();
    station_.open_look(id, serial, number);
    inspect(id);
    if (chance(0.1)) return park(id);
    close(id);
  }

  // Of the look drawn last, unless it is left waiting.
  void second_look(const std::string& serial, std::int64_t number) {
    domain::LookOpened opened;
    opened.look = next_look();
    opened.serial = serial;
    opened.number = number;
    opened.variant = "CP-210";
    opened.revision = 7;
    opened.second_of = std::exchange(drawn_, "");
    if (chance(0.2)) return;
    station_.happen(opened);
    inspect(opened.look);
    if (chance(0.1)) return park(opened.look, true);
    close(opened.look, true);
  }

  void under_ticket(const std::string& serial) {
    const std::string id = next_look();
    station_.open_under_ticket(id, "H-" + id);
    inspect(id);
    station_.happen(domain::LookClosed{id, domain::Disposition::hold, "no_tag", ""});
    if (chance(0.5)) look(serial, 1);
    if (chance(0.7)) station_.happen(domain::SerialLinked{id, "H-" + id, serial, "found"});
  }

  void inspect(const std::string& id) {
    using domain::Answer;
    domain::OpinionGiven opinion{id, 1, "m-1", "", {}};
    for (const char* component : {"seal", "lid", "tag"}) {
      domain::ComponentOpinion one;
      one.component = component;
      one.opinion = one_of({domain::Opinion::present, domain::Opinion::unsure});
      one.conforming = "yes";
      one.score = std::uniform_real_distribution<>(0, 1)(random_);
      opinion.components.push_back(one);
    }
    station_.happen(opinion);
    const bool drawn = chance(0.3), together = chance(0.2);
    if (drawn) station_.happen(domain::AnswerFirstDrawn{id, {"seal"}, 0.3});
    if (together)
      station_.happen(domain::AnsweredTogether{id, {"lid", "tag"}, {"present", "present"}});
    for (const char* component : {"seal", "lid", "tag"}) {
      if (together && component != std::string("seal")) continue;
      const bool bad = chance(0.2);
      station_.happen(domain::StepAnswered{id, component,
                                           bad ? Answer::nonconforming : Answer::conforming,
                                           Answer::not_answered, drawn ? "" : "present"});
      if (bad) find(id, component);
    }
  }

  void find(const std::string& id, const std::string& component) {
    const std::string finding = id + "-f" + std::to_string(++findings_);
    station_.happen(domain::FindingAdded{
        id, finding, component, one_of({"missing", "not_seated", "something_else"}),
        one_of({domain::Severity::critical, domain::Severity::major}), domain::Place{0.25, 0.5}, "",
        "Kratzer, 2 mm"});
    if (chance(0.1)) station_.happen(domain::FindingWithdrawn{id, finding, "a reflection"});
  }

  void park(const std::string& id, bool second = false) {
    station_.happen(domain::LookParked{id, domain::ParkReason::needs_advice, ""});
    if (chance(0.3)) return;  // still there at the end
    station_.happen(domain::LookResumed{id});
    close(id, second);
  }

  void close(const std::string& id, bool second = false) {
    using domain::Disposition;
    const auto disposition =
        one_of({Disposition::accept, Disposition::rework, Disposition::hold, Disposition::scrap});
    const bool concession = disposition == Disposition::accept && !second && chance(0.2);
    station_.happen(domain::LookClosed{id, disposition, "", concession ? "C-1" : ""});
    if (!second && drawn_.empty() && chance(0.3)) {
      station_.happen(domain::SecondLookDrawn{id, disposition, 0.25, 0.125});
      drawn_ = id;
    }
    if (chance(0.1) && disposition != Disposition::hold)
      station_.happen(
          domain::DispositionCorrected{id, 0, disposition, Disposition::hold, "mixed up"});
    if (disposition != Disposition::hold || second || !chance(0.5)) return;
    station_.happen(domain::HoldReleased{id, "", "settled", chance(0.5) ? "p-2" : ""});
    if (chance(0.2))
      station_.happen(domain::DispositionCorrected{id, 0, Disposition::hold, Disposition::scrap,
                                                   "cannot be mended"});
  }

  Station& station_;
  std::mt19937 random_;
  std::string drawn_, mark_;
  int after_, serials_ = 0, looks_ = 0, findings_ = 0;
};

}  // namespace lastlook::records::testing
