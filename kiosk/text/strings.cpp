// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/strings.h"

#include <fmt/format.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

namespace lastlook::text {
namespace {

std::size_t length_of_character(unsigned char first) {
  if (first < 0x80) return 1;
  if (first < 0xE0) return 2;
  return first < 0xF0 ? 3 : 4;
}

}  // namespace

Result<Strings> Strings::load(const std::filesystem::path& file) {
  std::ifstream in(file);
  if (!in) return fail(Category::not_found, fmt::format("{}: cannot be read", file.string()));
  try {
    const nlohmann::json document = nlohmann::json::parse(in);
    Strings strings;
    for (const auto& [key, value] : document.items()) {
      if (!value.is_string())
        return fail(Category::bad_input, fmt::format("{}: '{}' is not a text", file.string(), key));
      strings.texts_[key] = value.get<std::string>();
    }
    return strings;
  } catch (const nlohmann::json::exception& error) {
    return fail(Category::bad_input, fmt::format("{}: {}", file.string(), error.what()));
  }
}

Strings Strings::of(Texts texts) {
  Strings strings;
  strings.texts_ = std::move(texts);
  return strings;
}

std::string Strings::operator()(std::string_view key) const {
  const auto found = texts_.find(key);
  return found == texts_.end() ? fmt::format("[{}]", key) : found->second;
}

std::string Strings::operator()(std::string_view key,
                                const std::vector<std::string>& values) const {
  const std::string text = (*this)(key);
  std::string filled;
  for (std::size_t at = 0; at < text.size();) {
    const auto close = text.find('}', at);
    const std::size_t index =
        text[at] == '{' && close == at + 2 ? static_cast<std::size_t>(text[at + 1] - '0') : 10;
    if (index < values.size()) {
      filled += values[index];
      at = close + 1;
    } else {
      filled += text[at++];
    }
  }
  return filled;
}

std::string Strings::characters() const {
  std::set<std::string> seen;
  for (const auto& [key, value] : texts_)
    for (std::size_t at = 0; at < value.size();) {
      const std::size_t length = length_of_character(static_cast<unsigned char>(value[at]));
      seen.insert(value.substr(at, length));
      at += length;
    }
  std::string all;
  for (const std::string& character : seen) all += character;
  return all;
}

std::string decimal(const Strings& say, double value, int decimals) {
  std::string words = fmt::format("{:.{}f}", value, decimals);
  if (const auto point = words.find('.'); point != words.npos)
    words.replace(point, 1, say("language.decimal_sign"));
  return words;
}

}  // namespace lastlook::text
