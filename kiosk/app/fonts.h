// SPDX-License-Identifier: Apache-2.0
// The three sizes of type: Inter, with Latin, Latin Extended and Greek, and for Chinese the Han
// letters in assets/fonts, which has those of the screens' own words.
#pragma once

#include <imgui.h>

#include <span>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/screens/canvas.h"

namespace lastlook::app {

// In each of these sizes. Fills the atlas with the glyphs of those ranges and of the characters
// given besides (UTF-8). not_found: the font's files, and the package that brings them. The toolkit
// does not load glyphs later, so a character outside both shows as a box.
Result<std::vector<screens::Scale>> load_fonts(ImFontAtlas& atlas,
                                               std::span<const screens::Sizes> all,
                                               const std::string& characters);

}  // namespace lastlook::app
