// SPDX-License-Identifier: Apache-2.0
// Which pictures of a look are on file, and where on them its findings lie.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "kiosk/screens/review_facts.h"

namespace lastlook::app {

// Photos of findings first, then the camera's picture, each once. A finding without a photo lies on
// the camera's: where a person touched it, else where the camera looked for its component. `name`
// says what a finding is called.
std::vector<screens::StoryPicture> story_pictures(
    const records::UnitStory& story, const std::string& look,
    const std::function<std::string(const records::FindingRow&)>& name);

}  // namespace lastlook::app
