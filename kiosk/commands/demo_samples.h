// SPDX-License-Identifier: Apache-2.0
// The sample pictures as units: what is in the picture is what is wrong with the unit.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "kiosk/commands/demo_units.h"
#include "kiosk/domain/master.h"
#include "vision/teaching_folder.h"

namespace lastlook::commands {

struct SampleUnit {
  LineUnit unit;
  std::filesystem::path picture;
};

// A challenge part of the plant, as the sample picture whose tag it has.
struct SamplePart {
  std::string serial, code;
  std::filesystem::path picture;
};

struct Samples {
  std::filesystem::path folder;
  vision::TeachingFolder teaching;  // the good ones to teach from, and no other
  std::vector<SampleUnit> units;    // to look at; none of them was taught
  std::vector<SamplePart> parts;    // to prove the camera with; no units, and not taught either
};

// sample-images beside the program: labels.csv says what is in each picture, images.csv its code.
Result<Samples> read_samples(const domain::Master& master);

// The pictures as a camera at the line would see them, in a folder within the plant's: first the
// challenge parts, then the units.
Result<std::filesystem::path> camera_folder(const std::filesystem::path& plant,
                                            const Samples& samples);

}  // namespace lastlook::commands
