// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// A good unit, on whose picture the components are marked.
class TeachReferenceScreen final : public Screen {
 public:
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;
};

}  // namespace lastlook::screens
