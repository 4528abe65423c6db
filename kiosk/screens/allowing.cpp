// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/allowing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "kiosk/screens/modal.h"

namespace lastlook::screens {
namespace {

struct Limit {
  const char* word;
  int minutes;
};
constexpr std::array limits{Limit{"one", 60}, Limit{"four", 4 * 60}, Limit{"eight", 8 * 60}};

}  // namespace

void Allowing::leave() {
  why_.clear();
  second_.leave();
}

void Allowing::update(const Facts& facts) {
  second_.update(facts);
  asked_ = facts.barred.has_value();
  if (!asked_) leave();
}

void Allowing::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.barred) return;
  const auto person = std::ranges::find(facts.people, facts.barred->person, &records::Person::id);
  const std::string name = person == facts.people.end() ? facts.barred->person : person->name;
  if (second_.is_asked()) return second_.draw(canvas, facts, out);
  if (why_.empty()) return ask_why(canvas, facts, name, out);
  ask_how_long(canvas, facts, name);
}

void Allowing::ask_why(Canvas& canvas, const Facts& facts, const std::string& name, Requests& out) {
  const text::Strings& say = *facts.say;
  const bool locked = facts.barred->bar == domain::Bar::locked_out;
  constexpr std::array locked_whys{"forgot_pin", "somebody_tried"};
  constexpr std::array unqualified_whys{"renewed", "nobody_else"};
  const auto& whys = locked ? locked_whys : unqualified_whys;
  const auto chosen = ask_which(canvas, say, "allow_why.", whys,
                                say(locked ? "allow.locked_out" : "allow.not_qualified", {name}),
                                say("allow.text"));
  if (!chosen) return;
  if (*chosen == whys.size()) return void(out.emplace_back(LeaveBar{}));
  why_ = whys[*chosen];
}

void Allowing::ask_how_long(Canvas& canvas, const Facts& facts, const std::string& name) {
  const text::Strings& say = *facts.say;
  constexpr std::array words{limits[0].word, limits[1].word, limits[2].word};
  const auto chosen =
      ask_which(canvas, say, "allow_for.", words, say("allow.how_long", {name}), say("allow.then"));
  if (!chosen) return;
  if (*chosen == words.size()) return leave();
  flows::AllowSignIn allow;
  allow.person = facts.barred->person;
  allow.despite = facts.barred->bar;
  allow.why = why_;
  allow.minutes = limits[*chosen].minutes;
  second_.ask(flows::Event(allow), facts);
}

}  // namespace lastlook::screens
