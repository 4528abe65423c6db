// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/text_layout.h"

#include <algorithm>

namespace lastlook::screens {
namespace {

constexpr std::string_view closing = "，。、：；？！）》」』】〕”’…％,.:;?!)]}%°";
constexpr std::string_view opening = "（《「『【〔“‘([{";

// Where the character that begins at `at` ends.
std::size_t next_character(std::string_view text, std::size_t at) {
  ++at;
  while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) ++at;
  return at;
}

bool is_one_of(std::string_view character, std::string_view all) {
  for (std::size_t at = 0; at < all.size(); at = next_character(all, at))
    if (all.substr(at, next_character(all, at) - at) == character) return true;
  return false;
}

// Written without blanks: U+3000 to U+9FFF, U+F900 to U+FAFF, U+FF00 to U+FFEF.
bool is_han(std::string_view character) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(character[i]); };
  if (character.size() != 3) return false;
  if (byte(0) < 0xEF) return byte(0) >= 0xE3 && byte(0) <= 0xE9;
  return byte(1) >= 0xBC || (byte(1) >= 0xA4 && byte(1) <= 0xAB);
}

bool may_part(std::string_view before, std::string_view after) {
  return (is_han(before) || is_han(after)) && !is_one_of(before, opening) &&
         !is_one_of(after, closing);
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
    const bool after_blank = text.front() == ' ';
    if (after_blank) text.remove_prefix(1);
    if (text.empty()) break;
    std::string_view piece = text.substr(0, unbroken(text));
    text.remove_prefix(piece.size());
    std::string longer = line + (after_blank && !line.empty() ? " " : "") + std::string(piece);
    if (width(longer) <= width_px) {
      line = std::move(longer);
      continue;
    }
    if (!line.empty()) lines.push_back(line);
    while (!piece.empty() && width(piece) > width_px) {
      const std::size_t part = fitting(piece, width_px, width);
      if (part == piece.size()) break;
      lines.emplace_back(piece.substr(0, part));
      piece.remove_prefix(part);
    }
    line = std::string(piece);
  }
  lines.push_back(line);
}

}  // namespace

std::size_t unbroken(std::string_view text) {
  std::size_t begin = 0, end = 0;
  while (end < text.size() && text[end] != ' ' && text[end] != '\n') {
    const std::size_t next = next_character(text, end);
    if (end > 0 && may_part(text.substr(begin, end - begin), text.substr(end, next - end))) break;
    begin = end;
    end = next;
  }
  return end;
}

float widest_word(std::string_view text, const Width& width) {
  float widest = 0;
  while (!text.empty()) {
    const std::string_view word = text.substr(0, unbroken(text));
    if (word.find('/') == std::string_view::npos) widest = std::max(widest, width(word));
    text.remove_prefix(std::max<std::size_t>(word.size(), 1));  // or the blank
  }
  return widest;
}

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
