// SPDX-License-Identifier: Apache-2.0
// The part of a code's text that tells the type: what stands before its first separator, else its
// leading letters. "CP210-26330-00417" -> "CP210"; "JB26330" -> "JB".
#pragma once

#include <string>
#include <string_view>

namespace lastlook::vision {

std::string code_head(std::string_view text);

}  // namespace lastlook::vision
