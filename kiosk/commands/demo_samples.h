// SPDX-License-Identifier: Apache-2.0
// The sample pictures as units: what is in the picture is what is wrong with the unit.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "kiosk/commands/demo_units.h"
#include "vision/teaching_folder.h"

namespace lastlook::commands {

struct SampleUnit {
  LineUnit unit;
  std::filesystem::path picture;
};

struct Samples {
  std::filesystem::path folder;
  vision::TeachingFolder teaching;  // the good ones to teach from, and no other
  std::vector<SampleUnit> units;    // to look at; none of them was taught
};

// sample-images beside the program: labels.csv says what is in each picture, images.csv its code.
Result<Samples> read_samples();

}  // namespace lastlook::commands
