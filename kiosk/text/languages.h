// SPDX-License-Identifier: Apache-2.0
// The languages that the screens speak: a file assets/strings/LANGUAGE.json for each, with the same
// keys and placeholders.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>

#include "kiosk/text/strings.h"

namespace lastlook::text {

class Languages {
 public:
  // Each file of two small letters (ISO 639-1) in the folder. not_found: there is none called
  // `usual`, the language of whoever has chosen none. That may be pseudo_code too, made of English:
  // it is spoken where it is usual, and is not among those that people choose from.
  static Result<Languages> load(const std::filesystem::path& folder, const std::string& usual);
  // Of one language; of the usual one where that is not (any more) among them.
  const Strings& in(const std::string& language) const;
  const std::string& usual() const { return usual_; }
  // By code; what each is called in its own words is its text "language.name".
  const std::map<std::string, Strings>& all() const { return all_; }

 private:
  std::map<std::string, Strings> all_;
  std::optional<Strings> pseudo_;
  std::string usual_;
};

}  // namespace lastlook::text
