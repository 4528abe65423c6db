// SPDX-License-Identifier: Apache-2.0
// The quality engineer lets units pass with a finding that is known: how many, until when, under
// which number and on whose authority, one question after another over the shaded screen; then the
// whole sentence, to be granted or not.
#pragma once

#include <string>
#include <vector>

#include "kiosk/screens/keypad.h"
#include "kiosk/screens/modal.h"

namespace lastlook::screens {

class Granting {
 public:
  // For units of the variant with one of these findings, of which the first question asks if there
  // are several.
  void ask(const std::string& variant, const std::vector<domain::FindingAdded>& findings);
  void leave();
  bool is_asked() const { return step_ != Step::none; }
  // Everything drawn before it in this frame must have been drawn inert.
  void draw(Canvas& canvas, const Facts& facts, Requests& out);

 private:
  enum class Step { none, finding, quantity, last_day, number, authority, whole };
  void ask_finding(Canvas& canvas, const Facts& facts);
  void ask_quantity(Canvas& canvas, const Facts& facts);
  void ask_last_day(Canvas& canvas, const Facts& facts);
  void ask_number(Canvas& canvas, const Facts& facts);
  void ask_authority(Canvas& canvas, const Facts& facts);
  void ask_whole(Canvas& canvas, const Facts& facts, Requests& out);
  void about(const domain::FindingAdded& finding);
  void type(const std::string& title, Keypad::For what, Step next);
  std::string kind(const Facts& facts) const;

  Step step_ = Step::none;
  std::vector<domain::FindingAdded> findings_;
  domain::ConcessionGranted grant_;
  std::string last_day_;
  Keypad keypad_;
};

}  // namespace lastlook::screens
