// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/pseudo.h"

#include <array>

namespace lastlook::text {
namespace {

constexpr std::array small{"á", "ƀ", "ç", "ð", "é", "ƒ", "ĝ", "ĥ", "í", "ĵ", "ķ", "ļ", "m",
                           "ñ", "ó", "þ", "q", "ř", "š", "ţ", "ú", "v", "ŵ", "x", "ý", "ž"};
constexpr std::array large{"Á", "Ɓ", "Ç", "Ð", "É", "Ƒ", "Ĝ", "Ĥ", "Í", "Ĵ", "Ķ", "Ļ", "M",
                           "Ñ", "Ó", "Þ", "Q", "Ř", "Š", "Ţ", "Ú", "V", "Ŵ", "X", "Ý", "Ž"};

std::string marked(char letter) {
  if (letter >= 'a' && letter <= 'z') return small[static_cast<std::size_t>(letter - 'a')];
  if (letter >= 'A' && letter <= 'Z') return large[static_cast<std::size_t>(letter - 'A')];
  return {letter};
}

std::string pseudo(const std::string& text) {
  constexpr std::string_view vowels = "aeiouyAEIOUY";
  std::string out;
  for (const char letter : text) {
    out += marked(letter);
    if (vowels.find(letter) != vowels.npos)
      out += marked(static_cast<char>(letter | 0x20));  // the second one is small
  }
  return "[" + out + "]";
}

}  // namespace

Strings pseudo(const Strings& say) {
  Strings::Texts texts;
  for (const auto& [key, text] : say.all()) {
    const bool words = key != "language.decimal_sign" && key != "keypad.letters";
    texts[key] = words ? pseudo(text) : text;
  }
  texts["language.code"] = pseudo_code;
  return Strings::of(std::move(texts));
}

}  // namespace lastlook::text
