// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/tag_code.h"

#include <fmt/format.h>
#include <re2/re2.h>

namespace lastlook::domain {
namespace {

std::string_view without_blanks(std::string_view text) {
  constexpr std::string_view blanks = " \t\r\n";
  const auto from = text.find_first_not_of(blanks);
  if (from == std::string_view::npos) return {};
  return text.substr(from, text.find_last_not_of(blanks) - from + 1);
}

}  // namespace

Result<TagCode> read_code(const Master& master, std::string_view code) {
  const std::string_view text = without_blanks(code);
  RE2 pattern(master.tag_pattern, RE2::Quiet);
  if (!pattern.ok())
    return fail(Category::bad_input, fmt::format("tag_pattern: {}", pattern.error()));
  std::vector<re2::StringPiece> groups(static_cast<std::size_t>(pattern.NumberOfCapturingGroups()) +
                                       1);
  const re2::StringPiece piece(text.data(), text.size());
  if (!pattern.Match(piece, 0, text.size(), RE2::ANCHOR_BOTH, groups.data(),
                     static_cast<int>(groups.size())))
    return fail(Category::bad_input,
                fmt::format("'{}' is not a code of this plant, expected the form {}", text,
                            master.tag_pattern));
  const auto group = [&](const char* name) -> std::string {
    const auto& names = pattern.NamedCapturingGroups();
    const auto found = names.find(name);
    if (found == names.end()) return {};
    const auto& match = groups[static_cast<std::size_t>(found->second)];
    return match.data() == nullptr ? std::string() : std::string(match.data(), match.size());
  };
  TagCode tag{std::string(text), group("serial"), group("type")};
  if (tag.serial.empty())
    return fail(Category::bad_input,
                fmt::format("'{}' holds no serial by the form {}", text, master.tag_pattern));
  return tag;
}

}  // namespace lastlook::domain
