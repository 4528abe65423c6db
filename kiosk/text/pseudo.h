// SPDX-License-Identifier: Apache-2.0
// A language that nobody speaks, made of another one: it reads as that one does, and is as long as
// translations grow. What has no room for it will have none for one of them.
#pragma once

#include "kiosk/text/strings.h"

namespace lastlook::text {

inline constexpr std::string_view pseudo_code = "qps";  // of those that ISO 639 leaves for own use

// Letters get marks, every vowel stands twice, and brackets show where a text begins and ends: all
// in all 35 to 40 % longer. Placeholders and line feeds stay as they are, and so do the texts that
// are no words: the decimal sign and the letters to type.
Strings pseudo(const Strings& say);

}  // namespace lastlook::text
