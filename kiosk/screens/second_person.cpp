// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/second_person.h"

#include <algorithm>
#include <utility>

#include "kiosk/screens/modal.h"

namespace lastlook::screens {

void SecondPerson::ask(flows::Event act, const Facts& facts) {
  act_ = std::move(act);
  gather(facts);
  who_.enter();
}

void SecondPerson::update(const Facts& facts) {
  who_.update(facts);
  if (std::exchange(checking_, facts.checking_pin) && !facts.checking_pin &&
      facts.pin_problem.empty())
    leave();
  gather(facts);
}

// Who may be the second one of what is asked.
void SecondPerson::gather(const Facts& facts) {
  others_.clear();
  const auto* allow = act_ ? std::get_if<flows::AllowSignIn>(&*act_) : nullptr;
  const bool settles = act_ && std::holds_alternative<flows::CheckViewing>(*act_);
  for (const records::Person& person : facts.people) {
    if (settles && !domain::may(person.role, domain::Right::settle)) continue;
    const bool fits =
        allow ? person.id != allow->person && domain::may(person.role, domain::Right::settle)
              : person.id != facts.inspection->person;
    if (fits) others_.push_back(person);
  }
}

void SecondPerson::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!act_) return;
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  Rect panel =
      draw_panel(canvas, size.touch_px * (who_.at_names() ? 9.5F : 6.2F), size.touch_px * 7.6F);
  if (who_.at_names() &&
      canvas.button("second_person.back", panel.cut_bottom(size.touch_px, size.pad_px),
                    back_look(say))) {
    leave();
    return;
  }
  const bool allows = std::holds_alternative<flows::AllowSignIn>(*act_) ||
                      std::holds_alternative<flows::CheckViewing>(*act_);
  const auto entered =
      who_.draw(canvas, facts, others_, say(allows ? "allow.who" : "second_person.who"),
                say("second_person.nobody"), panel, out);
  if (entered) out.emplace_back(Countersign{*act_, entered->person, entered->pin});
}

}  // namespace lastlook::screens
