// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// Help was called: said so large that it is seen from afar, until somebody has come.
class HelpScreen final : public Screen {
 public:
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;
};

}  // namespace lastlook::screens
