// SPDX-License-Identifier: Apache-2.0
#include "analytics/marks.h"

#include <array>
#include <cstdint>

namespace lastlook::analytics {
namespace {

constexpr double kAscent = 0.8;
constexpr double kDescent = 0.25;
constexpr double kBoldFactor = 1.15;
constexpr std::string_view kEllipsis = "…";

// Advance widths of DejaVu Sans, one of the widest common sans serifs, in thousandths of the size,
// for the characters from space to tilde.
constexpr std::array<std::uint16_t, 95> kAsciiWidths = {
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 501, 838, 318, 361,  318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531, 1001, 685, 687, 699, 771, 632,
    576, 775, 752, 295, 295, 656, 558, 863, 749, 788, 604, 788, 695, 635,  611, 732, 685, 989, 686,
    611, 686, 391, 337, 391, 838, 501, 501, 613, 635, 550, 635, 616, 353,  635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592,  525, 637, 337, 637, 838};

bool continues(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

double thousandths(unsigned char first_byte) {
  if (first_byte < 0x20) return 0;
  if (first_byte < 0x7F) return kAsciiWidths[first_byte - 0x20U];
  // Two bytes in UTF-8: Latin with marks, Greek, Cyrillic. More: anything up to a full square.
  return first_byte < 0xE0 ? 850 : 1000;
}

}  // namespace

double WideSansMeasure::width(std::string_view text, double size, bool bold) const {
  double sum = 0;
  for (const char byte : text) {
    if (!continues(byte)) sum += thousandths(static_cast<unsigned char>(byte));
  }
  return sum / 1000 * size * (bold ? kBoldFactor : 1);
}

Box box_of(const Text& text, const TextMeasure& measure) {
  const double width = measure.width(text.text, text.size, text.bold);
  double left = text.at.x;
  if (text.anchor == Anchor::middle) left -= width / 2;
  if (text.anchor == Anchor::end) left -= width;
  return {left, text.at.y - kAscent * text.size, width, (kAscent + kDescent) * text.size};
}

bool overlap(const Box& a, const Box& b) {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

std::string shortened(std::string_view text, double room, double size, bool bold,
                      const TextMeasure& measure) {
  room += 1e-6;  // what is lost where room was made for this very text and other widths added
  if (measure.width(text, size, bold) <= room) return std::string(text);
  for (std::size_t end = text.size(); end-- > 0;) {
    if (continues(text[end])) continue;
    std::string candidate(text.substr(0, end));
    while (!candidate.empty() && candidate.back() == ' ') candidate.pop_back();
    candidate += kEllipsis;
    if (measure.width(candidate, size, bold) <= room) return candidate;
  }
  return {};
}

std::vector<std::string> wrapped(std::string_view text, double room, std::size_t most, double size,
                                 const TextMeasure& measure) {
  std::vector<std::string> lines;
  while (lines.size() + 1 < most && measure.width(text, size, false) > room) {
    std::size_t end = text.rfind(' ');
    while (end != text.npos && end > 0 && measure.width(text.substr(0, end), size, false) > room)
      end = text.rfind(' ', end - 1);
    if (end == text.npos || end == 0) break;
    lines.emplace_back(text.substr(0, end));
    text.remove_prefix(end + 1);
  }
  lines.push_back(shortened(text, room, size, false, measure));
  return lines;
}

}  // namespace lastlook::analytics
