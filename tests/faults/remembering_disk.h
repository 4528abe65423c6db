// SPDX-License-Identifier: Apache-2.0
// A disk for SQLite that remembers every write and every sync, so that a power cut can be played at
// any moment: what was synced is there; what was not is there, or not, or torn at a sector.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace lastlook::faults {

struct DiskAct {
  enum Kind { write, truncate, sync, remove };
  Kind kind = write;
  std::string file;     // its name without folder
  std::int64_t at = 0;  // write: offset; truncate: new size
  std::string bytes;
};

// While it lives, every file that SQLite opens in this process goes through it.
class RememberingDisk {
 public:
  RememberingDisk();
  ~RememberingDisk();
  RememberingDisk(const RememberingDisk&) = delete;
  RememberingDisk& operator=(const RememberingDisk&) = delete;

  const std::vector<DiskAct>& acts() const;
};

// Makes `after` what the disk holds when the power failed before act `cut` of those that followed
// the state `before`. Of the writes not yet synced, chance decides for each whether it arrived, was
// lost, or arrived only up to some sector of 512 bytes.
void cut_power(const std::filesystem::path& before, const std::vector<DiskAct>& acts,
               std::size_t cut, unsigned chance, const std::filesystem::path& after);

}  // namespace lastlook::faults
