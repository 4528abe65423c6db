// SPDX-License-Identifier: Apache-2.0
// Something stands against somebody's signing in. A supervisor may set it aside: says why and for
// how long, and gives the own PIN. Over the shaded screen.
#pragma once

#include <string>

#include "kiosk/screens/second_person.h"

namespace lastlook::screens {

class Allowing {
 public:
  void leave();
  void update(const Facts& facts);
  bool is_asked() const { return asked_; }
  // Everything drawn before it in this frame must have been drawn inert.
  void draw(Canvas& canvas, const Facts& facts, Requests& out);

 private:
  void ask_why(Canvas& canvas, const Facts& facts, const std::string& name, Requests& out);
  void ask_how_long(Canvas& canvas, const Facts& facts, const std::string& name);

  bool asked_ = false;
  std::string why_;  // empty: not said yet
  SecondPerson second_;
};

}  // namespace lastlook::screens
