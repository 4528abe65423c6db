// SPDX-License-Identifier: Apache-2.0
// Breaking a text into lines that fit a width. Pure; how wide text is comes from outside.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace lastlook::screens {

using Width = std::function<float(std::string_view)>;  // of one line, pixels

// Breaks at blanks, at line feeds always; a word wider than the line is cut between characters.
std::vector<std::string> wrapped(std::string_view text, float width_px, const Width& width);

// The text, or its beginning and "…".
std::string shortened(std::string_view text, float width_px, const Width& width);

}  // namespace lastlook::screens
