// SPDX-License-Identifier: Apache-2.0
// Which station is the plant's office, and where the master data that it adopts lies, in a folder,
// which may be a network share. Files that are never changed, found by their names: a station that
// asks every 20 s lists two short folders and reads two files, however many years lie there.
//
//   FOLDER/office/000000000001-HASH.json          which station it is; the last one counts
//   FOLDER/master/STATION/00001-000000000042-JOURNAL-FILE
//
// The first has the hash of its own bytes in its name. The second is empty; STATION is the
// beginning of the hash of a station's name, and it says in which FILE of JOURNAL the station's
// 42nd entry lies, where that is master data; 00001: after one restore. It is put there before
// FILE, so where a try to send was cut it leads nowhere.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::sync {

// An entry of master data in a folder.
struct MasterPlace {
  std::int64_t restores = 0;  // of its station, before this journal
  std::int64_t seq = 0;
  std::string journal, file;
};

class FolderOffice {
 public:
  explicit FolderOffice(std::filesystem::path folder) : folder_(std::move(folder)) {}

  // Empty: nobody has said. damaged: what was said last is not as it was written.
  Result<std::string> station() const;
  Status say(const std::string& station);

  Status mark(const std::string& station, const MasterPlace& place);
  // The newest first.
  Result<std::vector<MasterPlace>> places(const std::string& station) const;

 private:
  std::filesystem::path folder_;
};

}  // namespace lastlook::sync
