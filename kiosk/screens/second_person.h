// SPDX-License-Identifier: Apache-2.0
// What takes two people waits here, over the shaded screen, until a second one has given the own
// PIN.
#pragma once

#include <string>
#include <vector>

#include "kiosk/screens/person_and_pin.h"

namespace lastlook::screens {

class SecondPerson {
 public:
  void ask(flows::Event act, const Facts& facts);
  void leave() { act_.reset(); }
  bool is_asked() const { return act_.has_value(); }
  void update(const Facts& facts);  // once the PIN was right it is gone
  // Everything drawn before it in this frame must have been drawn inert.
  void draw(Canvas& canvas, const Facts& facts, Requests& out);

 private:
  void gather(const Facts& facts);

  std::optional<flows::Event> act_;
  std::vector<records::Person> others_;
  PersonAndPin who_{Say::card, "second_person.done"};
  bool checking_ = false;
};

}  // namespace lastlook::screens
