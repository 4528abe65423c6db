// SPDX-License-Identifier: Apache-2.0
// Pictures as files named by the hash of their bytes, on disk before the entry that names them.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <string_view>

#include "analytics/result.h"

namespace lastlook::records {

class Pictures {
 public:
  explicit Pictures(std::filesystem::path folder);  // FOLDER/pictures of a station
  // Writes (temporary name, fsync, rename, fsync of the folder) and says the hash, hex. Idempotent.
  Result<std::string> keep(std::span<const unsigned char> bytes);
  Result<std::string> keep(std::string_view bytes);
  // Takes the bytes away. Nothing to do where they are not there.
  Status take_away(const std::string& hash);
  std::filesystem::path path_of(const std::string& hash) const;
  // True if the file is there and its bytes have that hash.
  Result<bool> is_whole(const std::string& hash) const;

 private:
  std::filesystem::path folder_;
};

}  // namespace lastlook::records
