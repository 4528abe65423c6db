// SPDX-License-Identifier: Apache-2.0
// A document as a page of its own: style within, nothing fetched from anywhere. Whatever a person
// or a tag wrote stays text.
#pragma once

#include <string>
#include <string_view>

#include "kiosk/reports/document.h"

namespace lastlook::reports {

// Text as text: nothing in it is markup any more. Control characters other than tab and line feed
// are left out.
std::string escaped(std::string_view text);

std::string to_html(const Document& document);

}  // namespace lastlook::reports
