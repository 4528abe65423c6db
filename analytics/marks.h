// SPDX-License-Identifier: Apache-2.0
// A chart is one list of marks. Layout makes the list; thin painters draw it on a screen, as SVG or
// on paper, so that what is seen and what is printed are one drawing.
//
// Coordinates are abstract pixels: x to the right, y down, origin at the chart's upper left corner.
// A painter may scale them all by one factor. Marks are drawn in the order of the list.
// A mark never says its colour, only its role; the painter's theme turns roles into ink.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace lastlook::analytics {

enum class Role {
  title,     // the chart's heading
  label,     // text that names a thing: a defect, a sample
  value,     // a number written beside what it measures
  note,      // quieter text: footnotes, units, the rule that was used
  axis,      // scale lines and their numbers
  grid,      // faint guides
  few,       // the few kinds that matter most
  many,      // the many others
  rest,      // all the rest, drawn as one
  series,    // measured points and the line that joins them
  centre,    // centre line
  limit,     // control limits, confidence limits
  signal,    // a point or a reason that asks for action
  excluded,  // data that is shown and not counted
  phase,     // borders between phases and their names
  good,      // agreement, conforming
  bad,       // disagreement, nonconforming
};

struct Point {
  double x = 0;
  double y = 0;
};

struct Box {
  double x = 0;
  double y = 0;
  double width = 0;
  double height = 0;
};

struct Line {
  Role role = Role::axis;
  Point from;
  Point to;
  double width = 1;
  bool dashed = false;
};

struct Bar {  // a filled rectangle
  Role role = Role::many;
  Box box;
};

struct Polyline {
  Role role = Role::series;
  std::vector<Point> points;
  double width = 1.5;
  bool dashed = false;
};

enum class Glyph { dot, ring, square, diamond, cross, triangle };

struct Symbol {
  Role role = Role::series;
  Glyph glyph = Glyph::dot;
  Point centre;
  double size = 6;  // across
};

enum class Anchor { start, middle, end };

struct Text {
  Role role = Role::label;
  Point at;  // on the baseline; which end of the text lies here is the anchor's to say
  Anchor anchor = Anchor::start;
  double size = 14;  // of the font, in pixels
  bool bold = false;
  std::string text;  // UTF-8, one line
};

using Mark = std::variant<Line, Bar, Polyline, Symbol, Text>;

// A photograph under all marks, pale so that text on it can be read. A screen draws its own.
struct Picture {
  Box box;
  std::string data_uri;
};

struct Chart {
  double width = 0;
  double height = 0;
  std::string title;        // for those who hear the chart instead of seeing it; not drawn
  std::string description;  // one sentence: what the chart says
  std::vector<Mark> marks;
  std::optional<Picture> picture;
};

// How wide text will be. Each painter brings the one of its own font.
class TextMeasure {
 public:
  virtual ~TextMeasure() = default;
  // Width in pixels of one line of UTF-8 at this font size.
  virtual double width(std::string_view text, double size, bool bold) const = 0;
};

// Widths of a wide sans serif, for drawings whose reader's font is not known: a common sans serif
// takes at most this much.
class WideSansMeasure final : public TextMeasure {
 public:
  double width(std::string_view text, double size, bool bold) const override;
};

// The rectangle that a text covers: from 0.8 of its size above the baseline to 0.25 below.
Box box_of(const Text& text, const TextMeasure& measure);

// True where the insides of two rectangles share a point; touching edges do not count.
bool overlap(const Box& a, const Box& b);

// The text, or its beginning and "…" so that it is no wider than `room`. Cuts between characters
// only; empty where not even "…" fits.
std::string shortened(std::string_view text, double room, double size, bool bold,
                      const TextMeasure& measure);

// The text in at most `most` lines, broken at blanks; what is left over is shortened in the last.
std::vector<std::string> wrapped(std::string_view text, double room, std::size_t most, double size,
                                 const TextMeasure& measure);

}  // namespace lastlook::analytics
