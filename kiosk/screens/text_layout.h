// SPDX-License-Identifier: Apache-2.0
// Breaking a text into lines that fit a width. Pure; how wide text is comes from outside.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace lastlook::screens {

using Width = std::function<float(std::string_view)>;  // of one line, pixels

// How many bytes from the beginning of the text stay on one line: up to a blank or a line feed, and
// of what is written without blanks (Chinese) one character, with the punctuation that does not
// begin a line behind it or does not end one before it (after the classes of UAX #14).
std::size_t unbroken(std::string_view text);

// Of what stays on one line. The path of a file is no word: cutting it is all one can do.
float widest_word(std::string_view text, const Width& width);

// Breaks at blanks and between Han letters, at line feeds always; what is wider than the line is
// cut between characters.
std::vector<std::string> wrapped(std::string_view text, float width_px, const Width& width);

// The text, or its beginning and "…".
std::string shortened(std::string_view text, float width_px, const Width& width);

}  // namespace lastlook::screens
