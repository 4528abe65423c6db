// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/person_and_pin.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/screens/keypad.h"

namespace lastlook::screens {

void PersonAndPin::enter() {
  person_.clear();
  digits_.clear();
  pager_.reset();
}

void PersonAndPin::update(const Facts& facts) {
  // A PIN that was not right is typed again from its first digit.
  if (checking_ && !facts.checking_pin) digits_.clear();
  checking_ = facts.checking_pin;
}

std::optional<PersonAndPin::Entered> PersonAndPin::draw(Canvas& canvas, const Facts& facts,
                                                        const std::vector<records::Person>& people,
                                                        const std::string& title,
                                                        const std::string& nobody, const Rect& zone,
                                                        Requests& out) {
  if (!person_.empty()) {
    const auto person = std::ranges::find(people, person_, &records::Person::id);
    return draw_pin(canvas, facts, person == people.end() ? "" : person->name, zone, out);
  }
  Rect room = zone;
  canvas.paragraph(room, title, words_, Type::strong, canvas.size.pad_px);
  if (people.empty())
    canvas.text(room, nobody, words_, Type::text);
  else
    draw_names(canvas, facts, people, room);
  return std::nullopt;
}

void PersonAndPin::draw_names(Canvas& canvas, const Facts& facts,
                              const std::vector<records::Person>& people, const Rect& room) {
  const text::Strings& say = *facts.say;
  const float touch = canvas.size.touch_px;
  pager_.draw(canvas, say, "people.more", room, people.size(), 2, touch, touch * 1.2F,
              [&](std::size_t i, const Rect& cell) {
                const records::Person& person = people[i];
                const ButtonLook look{.text = person.name,
                                      .second = say(fmt::format("role.{}", to_word(person.role))),
                                      .shape = Shape::person};
                if (canvas.button("person." + person.id, cell, look)) person_ = person.id;
              });
}

std::optional<PersonAndPin::Entered> PersonAndPin::draw_pin(Canvas& canvas, const Facts& facts,
                                                            const std::string& name, Rect zone,
                                                            Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  Rect head = zone.cut_top(size.touch_px, size.pad_px);
  if (canvas.button("pin.back", head.cut_left(size.touch_px, size.pad_px),
                    {.kind = Kind::quiet, .text = "", .shape = Shape::back})) {
    person_.clear();
    digits_.clear();
    out.emplace_back(LeavePin{});
  }
  canvas.centred(head.cut_top(head.h / 2), name, words_, Type::strong, Align::left);
  const std::string hint = facts.checking_pin          ? say("pin.checking")
                           : !digits_.empty()          ? ""
                           : facts.pin_problem.empty() ? say("pin.enter")
                                                       : say(facts.pin_problem);
  canvas.centred(head, hint, words_, Type::text, Align::left);
  if (hint.empty())
    for (std::size_t i = 0; i < digits_.size(); ++i)
      canvas.shape(Shape::conforming, head.cut_left(size.text_px, size.gap_px * 0.4F).centre(),
                   size.text_px * 0.9F, Ink::lead, Ink::lead);
  zone.h = std::min(zone.h, size.touch_px * 5.2F);
  zone.w = std::min(zone.w, size.touch_px * 5.2F);
  if (!draw_pin_pad(canvas, say(done_), zone, digits_) || facts.checking_pin) return std::nullopt;
  return Entered{person_, digits_};
}

}  // namespace lastlook::screens
