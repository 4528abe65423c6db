// SPDX-License-Identifier: Apache-2.0
#include "vision/code_head.h"

#include <algorithm>
#include <cctype>

namespace lastlook::vision {

std::string code_head(std::string_view text) {
  const auto is_word = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
  const auto is_letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
  const auto separator = std::find_if_not(text.begin(), text.end(), is_word);
  if (separator != text.end()) return {text.begin(), separator};
  return {text.begin(), std::find_if_not(text.begin(), text.end(), is_letter)};
}

}  // namespace lastlook::vision
