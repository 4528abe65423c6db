// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_inspector.h"

#include <algorithm>

#include "kiosk/domain/calendar.h"

namespace lastlook::commands {
namespace {

using domain::Disposition;

bool held_by(const std::vector<flows::Obstacle>& obstacles) {
  using enum flows::Obstacle::Why;
  return std::any_of(obstacles.begin(), obstacles.end(), [](const flows::Obstacle& obstacle) {
    return obstacle.why == no_serial || obstacle.why == tag_of_other_type ||
           obstacle.why == disputed_serial;
  });
}

const flows::Obstacle* missing_result(const std::vector<flows::Obstacle>& obstacles) {
  for (const flows::Obstacle& obstacle : obstacles)
    if (obstacle.why == flows::Obstacle::Why::result_missing) return &obstacle;
  return nullptr;
}

bool has(const std::vector<Fault>& faults, const char* defect) {
  return std::any_of(faults.begin(), faults.end(),
                     [&](const Fault& fault) { return fault.defect == defect; });
}

}  // namespace

Result<flows::Outcome> ScriptedInspector::do_event(const flows::Event& event, double seconds) {
  clock_.pass(seconds);
  return station_.handle(event);
}

Status ScriptedInspector::sign_in(const std::string& person, domain::Role role,
                                  const Skill& skill) {
  skill_ = skill;
  return do_event(flows::SignIn{person, role}, 5).map([](const auto&) {});
}

// Once a shift, before its first unit.
Status ScriptedInspector::check_place() {
  const domain::Master& master = station_.state().master;
  if (!master.viewing || !domain::may(station_.state().role, domain::Right::inspect)) return {};
  const domain::ShiftOfDay today = domain::shift_of(master, clock_.read());
  const auto checks = station_.lookups().viewing_checks(today.production_date, today.shift);
  if (!checks) return tl::unexpected(checks.error());
  if (!checks->empty()) return {};
  const std::int64_t lux = master.viewing->least_lux + 10 * chance_.whole(5, 25);
  return do_event(flows::CheckViewing{true, lux, true}, 30).map([](const auto&) {});
}

Status ScriptedInspector::sign_out() {
  return do_event(flows::SignOut{}, 5).map([](const auto&) {});
}

Status ScriptedInspector::open(const LineUnit& unit) {
  if (const Status checked = check_place(); !checked) return checked;
  if (unit.code.empty()) {
    const auto opened = do_event(flows::NoReadableTag{}, chance_.between(8, 15));
    if (!opened) return tl::unexpected(opened.error());
  } else {
    const auto scanned = do_event(flows::Scan{unit.code, false}, chance_.between(3, 7));
    if (!scanned) return tl::unexpected(scanned.error());
    if (!station_.state().open)
      if (const Status again = open_again(unit.code, *scanned); !again) return again;
  }
  if (!station_.state().open)
    return fail(Category::refused, "the station did not open a look for " + unit.serial);
  if (station_.state().open->variant.empty()) {
    const auto told = do_event(flows::ConfirmVariant{unit.variant}, chance_.between(2, 4));
    if (!told) return tl::unexpected(told.error());
  }
  return {};
}

// A unit that was here before: parked, or closed and back.
Status ScriptedInspector::open_again(const std::string& code, const flows::Outcome& scanned) {
  flows::Event event = flows::StartReturn{code};
  for (const flows::Notice& notice : scanned.notices)
    if (notice.code == "parked") event = flows::Resume{notice.subjects.at(2)};
  return do_event(event, chance_.between(3, 8)).map([](const auto&) {});
}

const domain::Defect* ScriptedInspector::some_defect_at(const domain::Step& step) {
  const auto defects = station_.state().master.defects_at(step.component, step.expected);
  if (defects.empty()) return nullptr;
  return defects[static_cast<std::size_t>(chance_.whole(0, static_cast<int>(defects.size()) - 1))];
}

Status ScriptedInspector::add_finding(const domain::Step& step, const std::string& defect) {
  flows::AddFinding add;
  add.component = step.component;
  add.defect = defect;
  if (const domain::Component* component = station_.state().master.component(step.component)) {
    const domain::Box& box = component->box;
    add.place = domain::Place{box.x + box.w * chance_.between(.2, .8),
                              box.y + box.h * chance_.between(.2, .8)};
  }
  return do_event(add, chance_.between(3, 8)).map([](const auto&) {});
}

Status ScriptedInspector::answer(const domain::Step& step, const LineUnit& unit,
                                 std::vector<Fault>& found) {
  const Fault* fault = unit.fault_at(step.component);
  // A tag that does not read is noticed by everybody: there is nothing to scan.
  const bool plain = step.component == "tag" && unit.code.empty();
  std::optional<std::string> seen;
  if (fault && (plain || chance_.of(skill_.notices))) seen = fault->defect;
  if (!fault && chance_.of(skill_.false_alarms))
    if (const domain::Defect* defect = some_defect_at(step)) seen = defect->id;

  flows::AnswerStep event;
  event.component = step.component;
  event.answer = seen ? domain::Answer::nonconforming : domain::Answer::conforming;
  if (const auto* opinion = flows::shown_opinion(*station_.state().open, step.component))
    event.opinion_shown = std::string(domain::to_word(opinion->opinion));
  const auto answered = do_event(event, skill_.step_s * chance_.between(.5, 1.5));
  if (!answered) return tl::unexpected(answered.error());
  if (asks_once_more(step.component)) {  // and then a fault that is there is seen
    seen = fault ? std::optional(fault->defect) : std::nullopt;
    if (const Status again = look_once_more(step.component, seen.has_value()); !again) return again;
  }
  if (!seen) return {};
  found.push_back({step.component, *seen});
  return add_finding(step, *seen);
}

bool ScriptedInspector::asks_once_more(const std::string& component) const {
  return std::ranges::any_of(station_.state().open->steps, [&](const flows::StepState& it) {
    return it.step.component == component && it.first == flows::AnswerFirst::differs;
  });
}

Status ScriptedInspector::look_once_more(const std::string& component, bool fault) {
  flows::AnswerStep event;
  event.component = component;
  event.answer = fault ? domain::Answer::nonconforming : domain::Answer::conforming;
  if (const auto* opinion = flows::shown_opinion(*station_.state().open, component))
    event.opinion_shown = std::string(domain::to_word(opinion->opinion));
  return do_event(event, skill_.step_s).map([](const auto&) {});
}

Status ScriptedInspector::answer_steps(const LineUnit& unit, std::vector<Fault>& found) {
  while (const auto next = flows::next_step(*station_.state().open)) {
    const domain::Step step = station_.state().open->steps[*next].step;
    if (const Status done = answer(step, unit, found); !done) return done;
  }
  return {};
}

Result<LookEnd> ScriptedInspector::look_at(const LineUnit& unit,
                                           const std::function<Status()>& once_open) {
  if (const Status opened = open(unit); !opened) return tl::unexpected(opened.error());
  if (once_open)
    if (const Status seen = once_open(); !seen) return tl::unexpected(seen.error());
  LookEnd end;
  end.look = station_.state().open->opened.look;
  if (const Status done = answer_steps(unit, end.found); !done) return tl::unexpected(done.error());
  return finish(unit, std::move(end));
}

Result<LookEnd> ScriptedInspector::take_up_again(const std::string& look, const LineUnit& unit) {
  const auto resumed = do_event(flows::Resume{look}, chance_.between(5, 10));
  if (!resumed) return tl::unexpected(resumed.error());
  return finish(unit, {look, {}, {}});
}

Result<LookEnd> ScriptedInspector::finish(const LineUnit& unit, LookEnd end) {
  const std::string& serial = station_.state().open->opened.serial;
  const auto record =
      serial.empty() ? Result<domain::UnitRecord>{} : station_.lookups().unit(serial);
  if (!record) return tl::unexpected(record.error());
  const auto obstacles = flows::obstacles_to_accept(station_.state(), *record);
  if (end.found.empty() && !held_by(obstacles) && missing_result(obstacles)) {
    const auto parked = do_event(flows::Park{domain::ParkReason::waiting_for_result, ""}, 3);
    if (!parked) return tl::unexpected(parked.error());
    return end;
  }
  Disposition disposition = end.found.empty() ? Disposition::accept : Disposition::rework;
  if (held_by(obstacles) || has(end.found, domain::something_else))
    disposition = Disposition::hold;
  else if (has(end.found, "damaged") && chance_.of(.3))
    disposition = Disposition::scrap;
  const auto closed = do_event(flows::Close{disposition, ""}, chance_.between(2, 5));
  if (!closed) return tl::unexpected(closed.error());
  if (station_.state().open)
    return fail(Category::refused, "the station did not close the look at " + unit.serial);
  end.disposition = disposition;
  end.held_back = station_.state().last->held_back;
  return end;
}

}  // namespace lastlook::commands
