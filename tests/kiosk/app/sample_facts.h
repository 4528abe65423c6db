// SPDX-License-Identifier: Apache-2.0
// Invented facts for every situation that a screen must show: for the tests of the screens and for
// looking at them.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "kiosk/screens/facts.h"

namespace lastlook::screens {

struct Sample {
  std::string name;
  // Targets to touch before looking, in order: what only a finger brings up. "drag.KEY": over the
  // upper right of that target.
  std::vector<std::string> touches;
  bool sees = true;  // there is a picture
  text::Strings say;
  flows::Inspection inspection;
  Facts facts;
};

std::vector<std::unique_ptr<Sample>> samples();

}  // namespace lastlook::screens
