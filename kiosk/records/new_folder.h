// SPDX-License-Identifier: Apache-2.0
// A folder that appears when it is filled, or not at all. Private to the records.
#pragma once

#include <filesystem>

#include "analytics/result.h"

namespace lastlook::records {

class NewFolder {
 public:
  explicit NewFolder(const std::filesystem::path& target);
  ~NewFolder();  // takes away what was not put in place
  NewFolder(const NewFolder&) = delete;
  NewFolder& operator=(const NewFolder&) = delete;

  // part(), beside the target. refused: a folder of that name is there that is not ours.
  Status make();
  Status put_in_place();  // syncs and renames it to the target, which must be missing or empty
  const std::filesystem::path& part() const { return part_; }

 private:
  std::filesystem::path target_, part_;
  bool made_ = false, in_place_ = false;
};

}  // namespace lastlook::records
