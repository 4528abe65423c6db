// SPDX-License-Identifier: Apache-2.0
// FOLDER/lock or FILE.lock: one writer at a time, and whether the last one ended in order.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "analytics/result.h"

namespace lastlook::records {

// How a folder's lock is, without taking it.
struct LockState {
  bool held = false;
  std::string process;  // the writer's, or the last one's that did not come to its end; or empty
};

class FolderLock {
 public:
  // busy: another program has the folder open; the sentence names it. io: cannot be made.
  static Result<std::unique_ptr<FolderLock>> take(const std::filesystem::path& folder);
  // The same for one file in a folder that others write too.
  static Result<std::unique_ptr<FolderLock>> take_for(const std::filesystem::path& file);
  static LockState state_of(const std::filesystem::path& folder);
  ~FolderLock();  // gives it back; the end was in order

  // The writer before did not come to its end: it was killed, or the power failed.
  bool after_unclean_end() const { return after_unclean_end_; }
  // What that end did to the file is not known yet: as long as it is not, this end counts as one
  // too.
  void set_in_doubt(bool doubt) { in_doubt_ = doubt; }

 private:
  FolderLock(int file, bool after_unclean_end)
      : file_(file), after_unclean_end_(after_unclean_end) {}
  static Result<std::unique_ptr<FolderLock>> take(const std::filesystem::path& what,
                                                  const std::string& path,
                                                  std::string_view is_doing);
  int file_;
  bool after_unclean_end_;
  bool in_doubt_ = false;
};

}  // namespace lastlook::records
