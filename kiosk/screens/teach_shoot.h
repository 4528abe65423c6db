// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// Picture after picture: what lies under the camera, good or with which fault, and what is wanted
// still.
class TeachShootScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_strip(Canvas& canvas, const Facts& facts, Rect strip, Requests& out);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_unit(Canvas& canvas, const Facts& facts, Rect zone);
  void draw_fault(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);

  bool picking_ = false;   // which component is not right?
  std::string component_;  // and what is seen there?
  std::string wanted_, counts_, unit_;
  Pager components_;
};

}  // namespace lastlook::screens
