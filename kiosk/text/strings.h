// SPDX-License-Identifier: Apache-2.0
// What the screens and reports say, by key, from assets/strings/LANGUAGE.json.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "analytics/result.h"

namespace lastlook::text {

class Strings {
 public:
  using Texts = std::map<std::string, std::string, std::less<>>;
  Strings() = default;
  explicit Strings(Texts texts) : texts_(std::move(texts)) {}
  static Result<Strings> load(const std::filesystem::path& file);
  // The text of a key; the key itself in brackets when there is none, so that it is seen.
  std::string operator()(std::string_view key) const;
  // With its placeholders {0}, {1}, … filled in.
  std::string operator()(std::string_view key, const std::vector<std::string>& values) const;
  // Every character in use, for the font atlas (UTF-8, each once).
  std::string characters() const;
  const Texts& all() const { return texts_; }

 private:
  Texts texts_;
};

}  // namespace lastlook::text
