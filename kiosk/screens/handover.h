// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// What others wrote for who comes, once after each sign-in.
class HandoverScreen final : public Screen {
 public:
  void enter() override { pager_.reset(); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  Pager pager_;
};

}  // namespace lastlook::screens
