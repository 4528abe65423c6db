// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/text_layout.h"

namespace lastlook::screens {
namespace {

// Where the character that begins at `at` ends.
std::size_t next_character(std::string_view text, std::size_t at) {
  ++at;
  while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) ++at;
  return at;
}

// How many bytes of whole characters fit; at least one character.
std::size_t fitting(std::string_view text, float width_px, const Width& width) {
  std::size_t end = next_character(text, 0);
  while (end < text.size()) {
    const std::size_t next = next_character(text, end);
    if (width(text.substr(0, next)) > width_px) break;
    end = next;
  }
  return end;
}

void wrap_paragraph(std::string_view text, float width_px, const Width& width,
                    std::vector<std::string>& lines) {
  std::string line;
  while (!text.empty()) {
    const std::size_t blank = std::min(text.find(' '), text.size());
    std::string_view word = text.substr(0, blank);
    text.remove_prefix(std::min(blank + 1, text.size()));
    const std::string longer = line.empty() ? std::string(word) : line + ' ' + std::string(word);
    if (width(longer) <= width_px) {
      line = longer;
      continue;
    }
    if (!line.empty()) lines.push_back(line);
    while (!word.empty() && width(word) > width_px) {
      const std::size_t part = fitting(word, width_px, width);
      if (part == word.size()) break;
      lines.emplace_back(word.substr(0, part));
      word.remove_prefix(part);
    }
    line = std::string(word);
  }
  lines.push_back(line);
}

}  // namespace

std::vector<std::string> wrapped(std::string_view text, float width_px, const Width& width) {
  std::vector<std::string> lines;
  while (true) {
    const std::size_t feed = text.find('\n');
    wrap_paragraph(text.substr(0, feed), width_px, width, lines);
    if (feed == std::string_view::npos) return lines;
    text.remove_prefix(feed + 1);
  }
}

std::string shortened(std::string_view text, float width_px, const Width& width) {
  if (width(text) <= width_px) return std::string(text);
  std::string best = "…";
  for (std::size_t end = 0; end < text.size(); end = next_character(text, end)) {
    std::string tried = std::string(text.substr(0, end)) + "…";
    if (width(tried) > width_px) break;
    best = std::move(tried);
  }
  return best;
}

}  // namespace lastlook::screens
