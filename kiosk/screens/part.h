// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// A challenge part lies under the camera and waits for its opinion.
class PartScreen final : public Screen {
 public:
  void enter() override { leaving_ = false; }
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_asked(Canvas& canvas, const Facts& facts, Rect zone);
  void draw_leave(Canvas& canvas, const Facts& facts, Requests& out);

  std::string asked_;  // what the camera has to say about it
  bool leaving_ = false;
};

}  // namespace lastlook::screens
