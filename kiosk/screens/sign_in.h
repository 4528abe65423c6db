// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/allowing.h"
#include "kiosk/screens/language_choice.h"
#include "kiosk/screens/person_and_pin.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// Who stands here: a tile for each person, then the PIN.
class SignInScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  PersonAndPin who_{Say::body, "pin.done"};
  Allowing allowing_;
  LanguageChoice languages_;
};

// The cautions, once after each sign-in: site rules and licensed practice come first.
class StartScreen final : public Screen {
 public:
  void enter() override { languages_.leave(); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  LanguageChoice languages_;
};

}  // namespace lastlook::screens
