// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/app/stretched.h"

#include <string>
#include <string_view>

namespace lastlook::app {
namespace {

// Each vowel twice.
std::string stretched(const std::string& text) {
  std::string longer;
  for (const char c : text) {
    constexpr std::string_view vowels = "aeiouAEIOU";
    constexpr std::string_view accented[] = {"āą", "ėę", "īį", "őø", "ūų", "ĀĄ", "ĖĘ", "ĪĮ", "ŐØ", "ŪŲ"};
    const auto vowel = vowels.find(c);
    if (vowel == vowels.npos)
      longer += c;
    else
      longer += accented[vowel];
  }
  return longer;
}

}  // namespace

text::Strings stretched(const text::Strings& say) {
  text::Strings::Texts longer;
  for (const auto& [key, text] : say.all()) longer[key] = stretched(text);
  return text::Strings(std::move(longer));
}

}  // namespace lastlook::app
