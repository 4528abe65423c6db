// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/keypad.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// A defect came too often: how often, what the site does about it and whom to call. Who may settle
// it says here what was found and done.
class ReactionScreen final : public Screen {
 public:
  void enter() override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_zone(Canvas& canvas, const Facts& facts, const domain::Reaction& at, Rect zone,
                 Requests& out);

  Keypad keypad_;
};

// What it is about: "Lid: lifted or turned"; with how often: "3 of the last 20 units".
std::string name_of(const Facts& facts, const domain::Reaction& reaction);
std::string count_of(const Facts& facts, const domain::Reaction& reaction);

}  // namespace lastlook::screens
