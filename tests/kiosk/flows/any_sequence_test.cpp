// SPDX-License-Identifier: Apache-2.0
// Whatever is touched and scanned, in whatever order: no unit is accepted that the rules keep back,
// and the happenings alone tell where the station is. The judge here reads nothing but happenings.
#include <rapidcheck/gtest.h>

#include <map>
#include <set>

#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;

// What may be accepted, told from the happenings by rules 1 to 5 alone; and who may repeat whose
// look, by rule 9.
class Judge {
 public:
  void see(const Happening& happening) {
    std::visit([this](const auto& it) { see_one(it); }, happening);
  }
  std::string complaint;

 private:
  struct Look {
    std::string serial, tag_type, variant;
    std::map<std::string, Answer> answers;
    std::map<std::string, FindingAdded> findings;
    std::map<std::string, bool> called_right{};  // by the camera's newest opinion
    bool open = true;
    std::string second_of{};
    std::set<std::string> people{};  // who answered, found something or closed it
    std::int64_t number = 0;
  };

  void see_one(const UnitBuilt& it) { built_[it.serial] = it.results.size() == 2; }
  void see_one(const LookOpened& it) {
    if (open_ != "") complaint = "two looks are open";
    open_ = it.look;
    Look look{it.serial, it.tag_type, it.variant, {}, {}, {}};
    look.second_of = it.second_of;
    look.number = it.number;
    looks_[it.look] = look;
    if (!it.second_of.empty() && drawn_.erase(it.second_of) == 0)
      complaint = "a second look that was not drawn, or a third";
    if (!it.second_of.empty() && it.number != looks_[it.second_of].number)
      complaint = "a second look advanced the look number";
    judge_person(look);
  }
  void see_one(const SignedIn& it) { person_ = it.person; }
  void see_one(const SignedOut&) { person_.clear(); }
  void see_one(const SecondLookDrawn& it) {
    if (!looks_[it.look].second_of.empty()) complaint = "a second look was drawn itself";
    drawn_.insert(it.look);
  }
  // Nobody repeats the own look.
  void judge_person(const Look& look) {
    if (!look.second_of.empty() && looks_[look.second_of].people.contains(person_))
      complaint = "a second look by who had a hand in the first";
  }
  void see_one(const VariantConfirmed& it) { looks_[it.look].variant = it.variant; }
  void see_one(const StepAnswered& it) {
    if (open_ != it.look) complaint = "an answer in a look that is not open";
    looks_[it.look].answers[it.component] = it.answer;
    looks_[it.look].people.insert(person_);
    if (!looks_[it.look].second_of.empty() && !it.opinion_shown.empty())
      complaint = "an opinion was shown in a second look";
  }
  void see_one(const OpinionGiven& it) {
    for (const ComponentOpinion& one : it.components)
      looks_[it.look].called_right[one.component] = one.conforming == "yes";
  }
  void see_one(const AnsweredTogether& it) {
    Look& look = looks_[it.look];
    if (open_ != it.look) complaint = "answered together in a look that is not open";
    if (!look.second_of.empty()) complaint = "a second look was answered together";
    for (const std::string& component : it.components) {
      if (!look.called_right[component]) complaint = "answered together against the camera";
      if (component == "seal" && look.variant == "CP-210") complaint = "answered first, together";
      if (look.answers.contains(component) && look.answers[component] != Answer::not_answered)
        complaint = "answered again, together";
      look.answers[component] = Answer::conforming;
    }
    look.people.insert(person_);
  }
  void see_one(const FindingAdded& it) {
    looks_[it.look].findings[it.finding] = it;
    looks_[it.look].people.insert(person_);
  }
  void see_one(const FindingWithdrawn& it) { looks_[it.look].findings.erase(it.finding); }
  void see_one(const LookParked&) { open_.clear(); }
  void see_one(const LookResumed& it) {
    open_ = it.look;
    judge_person(looks_[it.look]);
  }
  void see_one(const SerialDisputed& it) { disputed_.insert(it.serial); }
  void see_one(const ConcessionGranted& it) { left_[it.number] = {it, it.quantity}; }
  void see_one(const LookClosed& it) {
    Look& look = looks_[it.look];
    if (open_ != it.look || !look.open) complaint = "closed what was not open";
    look.open = false;
    look.people.insert(person_);
    open_.clear();
    if (it.disposition == Disposition::accept) judge_accept(look, it.concession);
  }
  void see_one(const DispositionCorrected& it) {
    if (it.to == Disposition::accept) complaint = "a correction accepted";
    if (!looks_[it.look].second_of.empty()) complaint = "a second look was corrected";
  }
  template <class Other>
  void see_one(const Other&) {}

  void judge_accept(const Look& look, const std::string& concession) {
    static const std::map<std::string, std::string> tag_of = {{"CP-210", "CP210"},
                                                              {"CP-210N", "CP210N"}};
    if (look.serial.empty()) complaint = "accepted without a serial";
    if (disputed_.contains(look.serial)) complaint = "accepted one of two with one serial";
    if (!tag_of.contains(look.variant))
      complaint = "accepted without a variant";
    else if (!look.tag_type.empty() && look.tag_type != tag_of.at(look.variant))
      complaint = "accepted under another variant's tag";
    if (!built_[look.serial] && look.second_of.empty()) complaint = "accepted without its results";
    for (const char* component : {"seal", "lid", "tag"}) judge_step(look, component, concession);
    for (const auto& [id, finding] : look.findings) judge_finding(look, finding, concession);
    if (!concession.empty() && --left_[concession].second < 0) complaint = "concession overused";
  }
  void judge_step(const Look& look, const char* component, const std::string& concession) {
    const auto found = look.answers.find(component);
    const Answer answer = found == look.answers.end() ? Answer::not_answered : found->second;
    if (answer == Answer::not_answered) complaint = "accepted with a step unanswered";
    if (answer == Answer::nonconforming && concession.empty())
      complaint = "accepted a nonconforming step";
  }
  void judge_finding(const Look& look, const FindingAdded& finding, const std::string& concession) {
    const ConcessionGranted& grant = left_[concession].first;
    if (concession.empty() || grant.variant != look.variant ||
        grant.component != finding.component || grant.defect != finding.defect)
      complaint = "accepted with a finding open";
  }

  std::map<std::string, bool> built_;  // serial: with both results
  std::map<std::string, Look> looks_;
  std::map<std::string, std::pair<ConcessionGranted, std::int64_t>> left_;
  std::set<std::string> disputed_;
  std::string open_, person_;
  std::set<std::string> drawn_;
};

rc::Gen<std::string> any_code() {
  return rc::gen::element<std::string>(code_a, code_b, unit_a, "CP210N-26330-00001",
                                       "CP210N-26330-00003", "26330-00004", "nonsense");
}
rc::Gen<std::string> any_component() {
  return rc::gen::element<std::string>("seal", "lid", "tag");
}

// What somebody does who sees a unit held back for a second look.
std::optional<Event> second_look_next(Desk& desk) {
  for (const char* serial : {unit_a, unit_b, "26330-00001", "26330-00003"}) {
    const auto unit = desk.past.unit(serial);
    if (!unit || unit->disputed || !unit->second_look) continue;
    const auto& people = unit->second_look->people;
    if (std::ranges::count(people, desk.state.person) == 0) return Scan{serial};
    return SignIn{desk.state.person == "p-bo" ? "p-ina" : "p-bo", Role::inspector};
  }
  return std::nullopt;
}

// Often the touch that a person would make next, else any at all.
Event sensible(Desk& desk) {
  const auto& state = desk.state;
  switch (stage_of(state)) {
    case Stage::signed_out:
      return SignIn{*rc::gen::element<std::string>("p-ina", "p-bo"), Role::quality_engineer};
    case Stage::waiting:
      if (const auto next = second_look_next(desk); next && *rc::gen::arbitrary<bool>())
        return *next;
      return Scan{*any_code()};
    case Stage::confirm_variant:
      return ConfirmVariant{*rc::gen::element<std::string>("CP-210", "CP-210N")};
    case Stage::step:
      return AnswerStep{
          state.open->steps[*next_step(*state.open)].step.component,
          *rc::gen::element(Answer::conforming, Answer::conforming, Answer::nonconforming)};
    case Stage::challenge:
      return LeavePart{"seen"};
    case Stage::verdict:
      return Close{Disposition::accept, *rc::gen::element<std::string>("", "C-1")};
  }
  return SignOut{};
}

std::string some_look() {
  return "k-" + std::to_string(*rc::gen::inRange(1, 12));
}

Event closing() {
  return Close{*rc::gen::element(Disposition::accept, Disposition::rework, Disposition::hold,
                                 Disposition::scrap),
               *rc::gen::element<std::string>("", "C-1", "C-2")};
}
Event finding() {
  return AddFinding{*any_component(), *rc::gen::element<std::string>(
                                          "missing", "not_seated", "not_wanted", "something_else")};
}
Event withdrawal(const Desk& desk) {
  const auto& open = desk.state.open;
  if (!open || open->findings.empty()) return WithdrawFinding{"f-0", "none"};
  return WithdrawFinding{open->findings.back().finding, "wrong tile"};
}
Event resumption(const Desk& desk) {
  const auto& parked = desk.state.parked;
  return Resume{parked.empty() ? some_look() : parked.front().opened.look};
}
Event opinion(const Desk& desk) {
  OpinionArrived event;
  event.opinion.look = desk.state.open ? desk.state.open->opened.look : "k-1";
  event.opinion.model = *rc::gen::element<std::string>("m-1", "m-2");
  event.tag_serial = *rc::gen::element<std::string>(unit_a, unit_b, "");
  for (const char* component : {"seal", "lid", "tag"}) {
    ComponentOpinion one;
    one.component = component;
    one.conforming = *rc::gen::element<std::string>("yes", "yes", "no", "unsure");
    event.opinion.components.push_back(one);
  }
  return event;
}

Event together(const Desk& desk) {
  AnswerTogether event;
  if (desk.state.open)
    for (const std::size_t i : together_steps(*desk.state.open))
      event.components.push_back(desk.state.open->steps[i].step.component);
  return event;
}

Event anything(const Desk& desk) {
  switch (*rc::gen::inRange(0, 18)) {
    case 0:
      return Scan{*any_code()};
    case 1:
      return NoReadableTag{};
    case 2:
      return StartReturn{*any_code()};
    case 3:
      return AnotherBody{*any_code()};
    case 4:
      return ConfirmVariant{*rc::gen::element<std::string>("CP-210", "CP-210N", "CP-999")};
    case 5:
      return AnswerStep{
          *any_component(),
          *rc::gen::element(Answer::conforming, Answer::nonconforming, Answer::not_answered)};
    case 6:
      return finding();
    case 7:
      return withdrawal(desk);
    case 8:
      return Park{};
    case 9:
      return resumption(desk);
    case 10:
      return closing();
    case 11:
      return CorrectDisposition{some_look(), Disposition::accept, "please"};
    case 12:
      return LinkSerial{some_look(), *any_code(), "found"};
    case 13:
      return opinion(desk);
    case 14:
      return SignOut{};
    case 15:
    case 16:
      return together(desk);
    default:
      return SignIn{*rc::gen::element<std::string>("p-ina", "p-bo"),
                    *rc::gen::element(Role::inspector, Role::quality_engineer)};
  }
}

struct Run {
  Desk desk;
  Judge judge;
  Inspection start = desk.state;
  std::size_t seen = 0;
  int accepted = 0;

  Run() {
    for (Master* master : {&desk.state.master, &desk.past.master}) {
      master->answer_together = true;
      master->variants[0].checklist[0].answer_first = true;  // the seal of CP-210
    }
    start = desk.state;
    desk.built("26330-00003", "CP-210N");
    desk.happen(UnitBuilt{"26330-00004", "", desk.passed_results()});
    desk.happen(ConcessionGranted{"C-1", "board", "CP-210", "seal", "not_seated", 2,
                                  desk.now.wall_us + 900'000'000});
  }

  // Errors are allowed, and change nothing.
  void touch(const Event& event) {
    desk.now.wall_us += *rc::gen::element(1, 30) * 1'000'000;
    const auto outcome = desk.attempt(event);
    if (!outcome) return;
    for (const Happening& happening : outcome->happenings) {
      desk.happen(happening);
      if (const auto* closed = std::get_if<LookClosed>(&happening))
        accepted += closed->disposition == Disposition::accept ? 1 : 0;
    }
  }

  void look_over() {
    for (; seen < desk.journal.size(); ++seen) judge.see(desk.journal[seen].first);
    RC_ASSERT(judge.complaint == "");
  }

  void fold_again() const {
    Inspection again = start;
    for (const auto& [happening, at] : desk.journal) evolve(again, happening, at);
    RC_ASSERT(again == desk.state);
  }
};

RC_GTEST_PROP(AnySequence, AcceptsNothingThatIsOpenAndFoldsToTheSameState, ()) {
  Run run;
  for (int i = *rc::gen::inRange(5, 60); i > 0; --i) {
    const bool is_sensible = *rc::gen::weightedElement<bool>({{3, true}, {2, false}});
    run.touch(is_sensible ? sensible(run.desk) : anything(run.desk));
    run.look_over();
    run.fold_again();
  }
  RC_CLASSIFY(run.accepted > 0, "something was accepted");
  RC_CLASSIFY(run.accepted > 2, "three or more were accepted");
}

void any_second_looks(int& opened, int& closed) {
  Run run;
  run.desk.past.master.second_looks = run.desk.state.master.second_looks = {0.6, 0.6, 0.6};
  run.look_over();  // what there was before
  run.start = run.desk.state;
  run.desk.journal.clear();
  run.seen = 0;
  for (int i = *rc::gen::inRange(30, 90); i > 0; --i) {
    run.desk.past.drawn = *rc::gen::element(0.1, 0.5, 0.9);
    const bool is_sensible = *rc::gen::weightedElement<bool>({{4, true}, {1, false}});
    run.touch(is_sensible ? sensible(run.desk) : anything(run.desk));
    run.look_over();
    run.fold_again();
    const auto& state = run.desk.state;
    opened += state.open && is_second_look(*state.open) ? 1 : 0;
    closed += state.last && state.last->is_second ? 1 : 0;
  }
}

TEST(AnySequence, SecondLooksAreByAnotherPersonAndBlind) {
  int opened = 0, closed = 0;
  EXPECT_TRUE(rc::check([&] { any_second_looks(opened, closed); }));
  EXPECT_GT(opened, 50) << "else it was never tried";
  EXPECT_GT(closed, 10);
}

// Nothing but Close(accept) accepts: every other event at the verdict leaves the unit open or stops
// it.
RC_GTEST_PROP(AnySequence, WithoutAPersonsAcceptNothingIsAccepted, ()) {
  Run run;
  for (int i = 0; i < 40; ++i) {
    const Event event = *rc::gen::weightedElement<bool>({{1, true}, {1, false}})
                            ? sensible(run.desk)
                            : anything(run.desk);
    const auto* close = std::get_if<Close>(&event);
    if (close && close->disposition == Disposition::accept) continue;
    run.touch(event);
  }
  RC_ASSERT(run.accepted == 0);
}

}  // namespace
}  // namespace lastlook::flows
