// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/desk.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/app/proof_facts.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/records/second_look_queries.h"
#include "kiosk/records/unit_queries.h"
#include "kiosk/screens/wording.h"

namespace lastlook::app {

using namespace screens;

namespace {

// The scan found something that a person has to answer first.
bool asks_back(const flows::Notice& notice) {
  return notice.code == "return_or_twin" || notice.code == "just_closed" ||
         notice.code == "disputed_serial" || notice.code == "parked" ||
         notice.code == "second_look_by_other";
}

bool lacks_proof(const flows::Notice& notice) {
  return notice.code == "proof_missing" || notice.code == "proof_failed" ||
         notice.code == "model_not_approved";
}

// What the camera is to judge: the open look, or the challenge part that is shown.
std::string asked_of(const flows::Inspection& state) {
  if (state.challenge.open) return state.challenge.open->showing;
  return state.open ? state.open->opened.look : "";
}

const std::string* code_of(const flows::Event& event) {
  const auto* scan = std::get_if<flows::Scan>(&event);
  return scan ? &scan->code : nullptr;
}

}  // namespace

Desk::Desk(const Parts& parts)
    : parts_(parts),
      study_(parts.station, facts_.study),
      review_({parts.station, parts.clock, [this]() -> const text::Strings& { return say(); },
               parts.main, parts.tasks, [this] { ++changes_; },
               [this](const std::string& words) { tell(words); }},
              facts_.review),
      pins_({parts.people, parts.clock, parts.main, parts.tasks,
             [this](const Error& error) { facts_.notices = {say()("fault.pin", {error.message})}; },
             [this] { gather(); },
             [this](const std::string& person, domain::Bar bar) {
               return parts_.station.lookups().allowed_until(person, bar);
             }},
            facts_) {
  chosen_language_ = parts.languages.usual();
  for (const auto& [code, say] : parts.languages.all())
    facts_.languages.push_back({code, say("language.name")});
  facts_.inspection = &parts.station.state();
  facts_.station = parts.station.records().station();
  facts_.left_handed = parts.left_handed;
  facts_.camera.state = "none";
  // Opened again in the middle of a shift: whoever is signed in has read the cautions.
  facts_.caution_seen = facts_.handover_seen = !facts_.inspection->person.empty();
  if (facts_.inspection->last) closed_look_ = facts_.inspection->last->look;
  touched_us_ = parts_.clock.read().mono_us;
  // How long it was left alone before nobody knows: starting the program again opens no lock.
  facts_.locked = may_lock();
  gather_people();
  speak();
  if (const Status known = pins_.remember_wrong_pins(); !known) fault(known.error());
  gather();
}

void Desk::handle(const Request& request) {
  struct Take {
    Desk& desk;
    void operator()(const flows::Event& event) const { desk.handle_event(event); }
    void operator()(const CheckPin& check) const {
      desk.pins_.check(check.person, check.pin,
                       [&desk = desk](const flows::SignIn& who) { desk.let_in(who); });
    }
    void operator()(const Countersign& act) const {
      desk.pins_.check(act.person, act.pin, [&desk = desk, act](const flows::SignIn& who) {
        desk.countersigned(act, who.role);
      });
    }
    void operator()(const LeavePin&) const { desk.pins_.leave(); }
    void operator()(const LeaveBar&) const { desk.facts_.barred.reset(); }
    void operator()(const ChooseLanguage& it) const { desk.choose_language(it.language); }
    void operator()(const CautionSeen&) const {
      desk.facts_.caution_seen = true;
      // What is written from now on was not there to be read.
      desk.facts_.handover_seen = desk.facts_.handover.empty();
    }
    void operator()(const HandoverSeen&) const {
      desk.facts_.handover_seen = true;
      if (!desk.facts_.handover.empty())
        desk.knows_notes_to_[desk.facts_.inspection->person] =
            desk.facts_.handover.front().noted_us;
    }
    void operator()(const ShowReview& show) const {
      desk.facts_.review_open = show.open;
      desk.review_.open();
    }
    void operator()(const ReviewEvent& event) const {
      desk.facts_.notices.clear();
      desk.review_.handle(event);
    }
    void operator()(const NextUnit&) const { desk.facts_.closed_shown = false; }
    void operator()(const DropQuestion&) const { desk.facts_.question.reset(); }
    void operator()(const DismissNotices&) const { desk.facts_.notices.clear(); }
    void operator()(const ReviseStep& revise) const {
      desk.facts_.revised_step = revise.step;
      desk.facts_.deciding = false;
    }
    void operator()(const GoOn&) const {
      desk.facts_.revised_step.reset();
      desk.facts_.deciding = false;
    }
    void operator()(const DecideNow&) const {
      desk.facts_.revised_step.reset();
      desk.facts_.deciding = true;
    }
    void operator()(const LookAgain&) const { desk.facts_.withheld.reset(); }
    void operator()(const ShowProofs& show) const { desk.facts_.proof.open = show.open; }
    void operator()(const ShowContainment& show) const {
      desk.facts_.proof.containment_open = show.open;
    }
    void operator()(const ShowWear& show) const {
      desk.facts_.proof.wear.reset();
      if (!show.part.empty()) desk.facts_.proof.wear = WearFacts{show.part, {}};
    }
    void operator()(const TagSettled&) const { desk.facts_.other_tag.reset(); }
    void operator()(const PartSeen&) const { desk.facts_.proof.judged.reset(); }
    // Done elsewhere; what was said of the touch before is out of date.
    void operator()(const flows::TeachEvent&) const { desk.facts_.notices.clear(); }
    void operator()(const RateStudy& rate) const {
      desk.facts_.notices.clear();
      desk.study_.handle(rate);
    }
    void operator()(const ShowStudy& show) const { desk.study_.handle(show); }
    void operator()(const NextPicture&) const { desk.facts_.notices.clear(); }
    void operator()(const OneByOne&) const { desk.facts_.one_by_one = true; }
    void operator()(const ShowHelp& show) const { desk.facts_.help_shown = show.open; }
    void operator()(const ShowReaction& show) const {
      desk.facts_.reaction_shown.reset();
      if (!show.reaction.empty()) desk.facts_.reaction_shown = show.reaction;
    }
  };
  touched();
  if (!held_back_by_lock(request)) std::visit(Take{*this}, request);
  adopt_revision();
  gather();
}

void Desk::scanned(const std::string& code) {
  if (!signed_in_by_badge(code)) return handle(flows::Event(flows::Scan{code}));
  touched();
  gather();
}

void Desk::opinion_arrived(const flows::OpinionArrived& opinion) {
  // Not an answer to a touch: what the screen says about the last one stays.
  const auto outcome = parts_.station.handle(opinion);
  if (!outcome) fault(outcome.error());
  const bool is_asked = opinion.opinion.look == asked_;
  if (is_asked) {
    facts_.withheld.reset();
    facts_.other_tag.reset();
  }
  if (outcome) {
    for (const flows::Notice& notice : outcome->notices)
      if (is_asked && lacks_proof(notice)) facts_.withheld = WithheldFacts{notice.code, {}};
    for (const domain::Happening& happening : outcome->happenings)
      if (const auto* judged = std::get_if<domain::PartJudged>(&happening)) {
        facts_.proof.judged = *judged;
        facts_.notices.clear();
      }
  }
  gather();
}

void Desk::opinion_withheld(const std::string& look, WithheldFacts why) {
  if (look.empty() || look != asked_) return;
  if (why.why == "other_tag") other_tag_seen(look, why.codes);
  facts_.withheld = std::move(why);
  ++changes_;
}

void Desk::other_tag_seen(const std::string& look, const std::vector<std::string>& codes) {
  for (const std::string& code : codes) {
    const auto outcome = parts_.station.handle(flows::OtherTagSeen{look, code});
    if (!outcome) return fault(outcome.error());
    for (const flows::Notice& notice : outcome->notices)
      if (notice.code == "other_tag_seen")
        facts_.other_tag = OtherTag{notice.subjects.at(0), notice.subjects.at(1)};
  }
}

void Desk::show_camera(const CameraFacts& camera) {
  const bool another_model = camera.model != facts_.camera.model;
  facts_.camera = camera;
  if (another_model) gather();
  ++changes_;
}

void Desk::picture_not_kept(const Error& error) {
  facts_.notices = {say()("fault.picture", {error.message})};
  ++changes_;
}

// Not an answer to a touch: what the screen says about the last one stays.
Status Desk::take_results(const text::ResultFile& file) {
  const auto outcome =
      parts_.station.handle(flows::TakeResults{file.built, file.results, file.fitted});
  if (!outcome) return tl::unexpected(outcome.error());
  if (!outcome->happenings.empty()) gather();
  return {};
}

void Desk::results_refused(const std::string& why) {
  tell(say()("fault.results", {why}));
}

void Desk::revision_offered(const domain::MasterAdopted& newer) {
  revision_.offer(newer);
  adopt_revision();
  gather();
}

// Between two units; what the screen says about the last touch stays.
void Desk::adopt_revision() {
  const auto adopted = revision_.adopt(parts_.station);
  if (!adopted) facts_.notices.push_back(say()("fault.revision", {adopted.error().message}));
  if (adopted && *adopted > 0)
    facts_.notices.push_back(say()("notice.revision", {std::to_string(*adopted)}));
}

void Desk::tell(const flows::Notice& notice) {
  tell(worded(say(), facts_.inspection->master, notice));
}

void Desk::tell(const std::string& words) {
  facts_.notices = {words};
  ++changes_;
}

void Desk::show_teaching(const TeachingFacts& teaching) {
  facts_.teaching = teaching;
  ++changes_;
}

void Desk::show_sending(const sync::CourierStatus& sending) {
  facts_.sending = sending;
  ++changes_;
}

void Desk::show_room(const records::Room& room) {
  facts_.room = room;
  ++changes_;
}

void Desk::show_samples(std::vector<SampleFacts> samples) {
  facts_.samples = std::move(samples);
  ++changes_;
}

void Desk::use_camera(const std::string& name) {
  const auto outcome = parts_.station.handle(flows::UseCamera{name});
  if (!outcome) fault(outcome.error());
  gather();
}

void Desk::touched() {
  touched_us_ = parts_.clock.read().mono_us;
}

void Desk::tick() {
  lock_if_left(parts_.clock.read());
  gather();
}

void Desk::handle_event(const flows::Event& event) {
  const bool signs_in = std::holds_alternative<flows::SignIn>(event);
  facts_.notices.clear();
  facts_.question.reset();
  const auto outcome = parts_.station.handle(event);
  if (!outcome) return fault(outcome.error());
  if (signs_in) facts_.caution_seen = facts_.handover_seen = false;
  if (std::holds_alternative<flows::SignOut>(event)) gather_people();
  take(*outcome, event);
}

void Desk::take(const flows::Outcome& outcome, const flows::Event& event) {
  const flows::Inspection& state = *facts_.inspection;
  speak();  // to whoever has just signed in
  facts_.revised_step.reset();
  if (!outcome.happenings.empty()) facts_.deciding = false;
  const std::string last = state.last ? state.last->look : "";
  study_.follow(outcome.happenings);
  if (std::holds_alternative<flows::LeaveNote>(event) && !outcome.happenings.empty())
    knows_notes_to_[state.person] = parts_.clock.read().wall_us;
  if (!outcome.happenings.empty()) {
    facts_.proof.open = facts_.proof.containment_open = false;
    facts_.proof.judged.reset();
    facts_.proof.wear.reset();
  }
  if (state.open || state.challenge.open) {
    facts_.closed_shown = facts_.review_open = false;
  } else if (last != closed_look_) {
    facts_.closed_shown = true;
  }
  closed_look_ = last;
  for (const domain::Happening& happening : outcome.happenings) {
    if (const auto* raised = std::get_if<domain::ReactionRaised>(&happening))
      facts_.reaction_shown = raised->reaction;
    if (std::holds_alternative<domain::ReactionSettled>(happening)) facts_.reaction_shown.reset();
  }
  if (std::holds_alternative<flows::CallHelp>(event)) facts_.help_shown = true;
  for (const flows::Notice& notice : outcome.notices) {
    const std::string* code = code_of(event);
    if (code && asks_back(notice) && !notice.subjects.empty()) {
      const auto unit = parts_.station.lookups().unit(notice.subjects[0]);
      if (!unit) return fault(unit.error());
      facts_.question = ReturnQuestion{*code, notice, *unit};
    } else {
      facts_.notices.push_back(worded(say(), state.master, notice));
    }
  }
}

void Desk::fault(const Error& error) {
  const bool rule = error.category == Category::refused || error.category == Category::bad_input;
  facts_.notices = {say()(rule ? "fault.refused" : "fault.records", {error.message})};
}

std::chrono::milliseconds Desk::next_tick_in() {
  const std::int64_t in_minute_us = parts_.clock.read().wall_us % 60'000'000;
  return std::chrono::milliseconds((60'000'000 - in_minute_us) / 1000 + 1);
}

void Desk::gather() {
  const domain::Reading now = parts_.clock.read();
  const domain::LocalTime local = domain::local_time(now.wall_us, now.offset_min);
  facts_.now_us = now.wall_us;
  facts_.offset_min = now.offset_min;
  facts_.time = fmt::format("{:02}:{:02}", local.minute_of_day / 60, local.minute_of_day % 60);
  facts_.date = domain::iso_date(local);
  const auto person =
      std::ranges::find(facts_.people, facts_.inspection->person, &records::Person::id);
  facts_.person_name = person != facts_.people.end() ? person->name : facts_.inspection->person;
  gather_open_look();
  gather_review();
  if (!facts_.inspection->open)
    if (const Status gathered = study_.gather(facts_.people, now.wall_us); !gathered)
      fault(gathered.error());
  if (const Status gathered = gather_proofs(parts_.station, facts_.camera.model, now, facts_.proof);
      !gathered)
    fault(gathered.error());
  gather_handover(now);
  gather_what_is_done(now);
  ++changes_;
}

// What is called for and not done yet; between two units, whether the place of the look was
// checked.
void Desk::gather_what_is_done(const domain::Reading& now) {
  auto open = parts_.station.lookups().open_reactions();
  if (!open) return fault(open.error());
  facts_.reactions = std::move(*open);
  const auto shown = std::ranges::count(facts_.reactions, facts_.reaction_shown.value_or(""),
                                        &domain::Reaction::reaction);
  if (shown == 0) facts_.reaction_shown.reset();
  auto help = parts_.station.lookups().open_help();
  if (!help) return fault(help.error());
  facts_.help = std::move(*help);
  if (!facts_.help) facts_.help_shown = false;
  const flows::Inspection& state = *facts_.inspection;
  if (state.open) return;
  facts_.viewing_due = false;
  if (!state.master.viewing || state.person.empty()) return;
  const domain::ShiftOfDay today = domain::shift_of(state.master, now);
  const auto checks = parts_.station.lookups().viewing_checks(today.production_date, today.shift);
  if (!checks) return fault(checks.error());
  facts_.viewing_due = checks->empty();
}

// For who comes: what was written in a day. A shift may have begun the day before that.
void Desk::gather_handover(const domain::Reading& now) {
  facts_.handover.clear();
  if (facts_.handover_seen || facts_.inspection->person.empty()) return;
  constexpr std::int64_t day_us = 86'400'000'000;
  const std::string from =
      domain::iso_date(domain::local_time(now.wall_us - 2 * day_us, now.offset_min));
  auto notes = records::handover_notes(parts_.station.records(), {from, "", "", "", ""});
  if (!notes) return fault(notes.error());
  const auto known = knows_notes_to_.find(facts_.inspection->person);
  const std::int64_t after_us = known == knows_notes_to_.end() ? 0 : known->second;
  std::erase_if(*notes, [&](const auto& one) {
    return one.noted_us < now.wall_us - day_us || one.noted_us <= after_us;
  });
  std::ranges::reverse(*notes);
  facts_.handover = std::move(*notes);
}

void Desk::gather_open_look() {
  const flows::Inspection& state = *facts_.inspection;
  facts_.unit = {};
  facts_.obstacles.clear();
  facts_.possible.clear();
  facts_.concessions.clear();
  // Why there was no opinion on one unit says nothing of the next.
  const std::string asked = asked_of(state);
  if (asked != asked_) {
    facts_.one_by_one = false;
    facts_.withheld.reset();
    facts_.other_tag.reset();
  }
  asked_ = asked;
  if (!state.open) return;
  if (!state.open->opened.serial.empty()) {
    auto unit = parts_.station.lookups().unit(state.open->opened.serial);
    if (!unit) return fault(unit.error());
    facts_.unit = std::move(*unit);
  }
  facts_.obstacles = flows::obstacles_to_accept(state, facts_.unit);
  facts_.possible = flows::possible_dispositions(state, facts_.unit);
  if (state.open->findings.empty() || flows::is_second_look(*state.open)) return;
  const auto granted = records::concessions(parts_.station.records(), facts_.now_us);
  if (!granted) return fault(granted.error());
  for (const domain::Concession& concession : *granted)
    if (concession.grant.variant == state.open->variant)
      facts_.concessions.push_back(concession.grant.number);
}

void Desk::show_study_picture(std::uintptr_t texture, float aspect) {
  facts_.study.picture = texture;
  facts_.study.aspect = aspect;
  ++changes_;
}

void Desk::gather_review() {
  if (facts_.inspection->open) return;
  records::Records& records = parts_.station.records();
  const domain::Master& master = facts_.inspection->master;
  const domain::ShiftOfDay today = domain::shift_of(master, parts_.clock.read());
  const records::Period period{today.production_date, today.production_date, today.shift, "", ""};
  const auto counts = records::look_counts(records, period);
  if (!counts) return fault(counts.error());
  facts_.shift = *counts;
  const auto held_back = records::second_looks_waiting(records);
  if (!held_back) return fault(held_back.error());
  facts_.second_looks_waiting = *held_back;
  if (!facts_.review_open) return;
  if (const Status gathered = review_.gather(); !gathered) fault(gathered.error());
}

}  // namespace lastlook::app
