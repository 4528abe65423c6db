// SPDX-License-Identifier: Apache-2.0
// Who is at the desk: who may come in, behind the lock, as the second person, in which language.
#include <algorithm>

#include "kiosk/app/desk.h"

namespace lastlook::app {

using namespace screens;

// Behind the lock only a PIN does anything; a scan is told so.
bool Desk::held_back_by_lock(const Request& request) {
  if (!facts_.locked || std::holds_alternative<CheckPin>(request) ||
      std::holds_alternative<LeavePin>(request) || std::holds_alternative<LeaveBar>(request) ||
      std::holds_alternative<DismissNotices>(request))
    return false;
  const auto* signs = std::get_if<Countersign>(&request);
  if (signs && std::holds_alternative<flows::AllowSignIn>(signs->event)) return false;
  facts_.notices = {say()("locked.scan")};
  return true;
}

bool Desk::may_lock() const {
  return facts_.inspection->master.lock_after_min > 0 && !facts_.inspection->person.empty();
}

void Desk::lock_if_left(const domain::Reading& now) {
  const std::int64_t after_us = std::int64_t{facts_.inspection->master.lock_after_min} * 60'000'000;
  if (may_lock() && now.mono_us - touched_us_ >= after_us) facts_.locked = true;
}

// What takes two people is done by the one who is signed in, and names the other.
void Desk::countersigned(const Countersign& act, domain::Role role) {
  flows::Event event = act.event;
  if (auto* allow = std::get_if<flows::AllowSignIn>(&event)) {
    allow->by = act.person;
    allow->role = role;
    facts_.barred.reset();
  }
  if (auto* release = std::get_if<flows::ReleaseHold>(&event)) release->second_person = act.person;
  if (auto* paper = std::get_if<flows::EnterPaperResult>(&event)) {
    paper->first_person = facts_.inspection->person;
    paper->second_person = act.person;
  }
  if (auto* check = std::get_if<flows::CheckViewing>(&event)) {
    check->allowed_by = act.person;
    check->role = role;
  }
  handle_event(event);
}

// Whoever comes back to a locked screen goes on where it was left; another takes it over, once the
// records have it.
void Desk::let_in(const flows::SignIn& who) {
  const flows::Inspection& state = *facts_.inspection;
  const auto is_in = [&] { return state.person == who.person && state.role == who.role; };
  facts_.notices.clear();
  flows::SignIn event = who;
  event.bars = pins_.bars_against(who.person);
  if (!event.bars.empty()) facts_.barred = screens::Facts::Barred{who.person, event.bars.front()};
  if (!facts_.locked || !is_in()) handle_event(event);
  if (!event.bars.empty()) facts_.notices.clear();  // the screen asks about it instead
  if (is_in() && event.bars.empty()) facts_.locked = false;
}

// Where somebody is asked for; anywhere else a badge is a code like any other.
bool Desk::signed_in_by_badge(const std::string& code) {
  if (!facts_.locked && !facts_.inspection->person.empty()) return false;
  const auto owner = parts_.people.with_badge(code);
  if (!owner) fault(owner.error());
  if (!owner || owner->empty()) return false;
  const auto person = std::ranges::find(facts_.people, *owner, &records::Person::id);
  if (person == facts_.people.end()) return false;
  let_in({person->id, person->role, {}});
  return true;
}

void Desk::gather_people() {
  const auto people = parts_.people.all();
  if (people)
    facts_.people = *people;
  else
    fault(people.error());
}

// Before anything is worded: what is told about an event is in the words of who stands there then.
void Desk::speak() {
  const auto person =
      std::ranges::find(facts_.people, facts_.inspection->person, &records::Person::id);
  facts_.language = person != facts_.people.end() && !person->language.empty() ? person->language
                                                                               : chosen_language_;
  facts_.say = &parts_.languages.in(facts_.language);
}

void Desk::choose_language(const std::string& language) {
  const std::string& person = facts_.inspection->person;
  if (person.empty()) {
    chosen_language_ = language;
  } else if (const Status kept = parts_.people.speak(person, language); !kept) {
    fault(kept.error());
  } else {
    gather_people();
  }
  speak();
}

}  // namespace lastlook::app
