// SPDX-License-Identifier: Apache-2.0
// What the screens and reports say, by key, from assets/strings/LANGUAGE.json.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/result.h"

namespace lastlook::text {

class Strings {
 public:
  using Texts = std::map<std::string, std::string, std::less<>>;

  static Result<Strings> load(const std::filesystem::path& file);
  static Strings of(Texts texts);
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

// With the decimal sign of the language: "0.93", "0,93".
std::string decimal(const Strings& say, double value, int decimals);

}  // namespace lastlook::text
