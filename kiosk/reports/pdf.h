// SPDX-License-Identifier: Apache-2.0
// A document as sheets of paper: a PDF with text that can be selected and all fonts in it. At the
// foot of each sheet stand its number of how many, what it is, and what it was made from. The same
// document gives the same bytes on machines with the same fonts.
#pragma once

#include <string>

#include "analytics/result.h"
#include "kiosk/reports/document.h"

namespace lastlook::reports {

enum class Paper { a4, letter };

struct Pdf {
  std::string bytes;
  // Letters that no font of this machine has, each once; a box with the letter's number stands for
  // it on the paper.
  std::string missing;
};

// io: there is no font at all, or no memory.
Result<Pdf> to_pdf(const Document& document, Paper paper);

}  // namespace lastlook::reports
