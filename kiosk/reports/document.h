// SPDX-License-Identifier: Apache-2.0
// A report before it is a page: what it says, in the order in which a person reads it. html.h makes
// a page for the screen of it, pdf.h sheets of paper.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "analytics/marks.h"

namespace lastlook::reports {

struct Heading {
  int nth = 0;  // its number
  std::string text;
};

enum class Tone {
  answer,  // the sentence that answers the heading
  alert,   // the same where something is to be done
  more,    // what belongs to it
};

struct Paragraph {
  Tone tone = Tone::more;
  std::string text;
};

struct Figure {
  std::string value, what, more;
  bool alert = false;
};
using Figures = std::vector<Figure>;

struct Table {
  std::vector<std::string> heading;
  std::vector<std::vector<std::string>> rows;
  std::string align;  // a letter a column, 'l' for words, 'r' for numbers
};

struct List {
  std::vector<std::string> items;
};

using Block = std::variant<Heading, Paragraph, Figures, Table, List, analytics::Chart>;

struct Document {
  std::string kind;             // "Shift report"; may be empty
  std::string title;            // "Early shift, 2026-11-25"
  std::string place;            // "Station LL-1, Electric coolant pump"; may be empty
  std::string language = "en";  // its code
  std::vector<Block> blocks;
  std::vector<std::string> foot;  // small print at the end

  // What each sheet of paper says, for sheets part from each other.
  std::string made_from;                      // which master data and which records; may be empty
  std::string numbering = "page {0} of {1}";  // {0}: this sheet's number, {1}: how many there are
  std::string made_at;  // "2026-11-25T06:12:03+01:00", of what was read; empty: it has no time
};

}  // namespace lastlook::reports
