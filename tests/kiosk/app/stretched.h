// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/text/strings.h"

namespace lastlook::app {

// Each text longer by a third and with accents above and below, as a language may be that is not
// there yet. Placeholders stay as they are.
text::Strings stretched(const text::Strings& say);

}  // namespace lastlook::app
