// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// The camera is learning: how far it is, and a way to stop it.
class TeachLearnScreen final : public Screen {
 public:
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;
};

}  // namespace lastlook::screens
