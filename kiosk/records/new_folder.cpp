// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/new_folder.h"

#include <fmt/format.h>

#include "kiosk/records/durable.h"

namespace lastlook::records {

namespace fs = std::filesystem;

// Says that a folder is one of ours that is being filled.
constexpr const char* mark = ".being-made";

NewFolder::NewFolder(const fs::path& target)
    : target_(fs::absolute(target).lexically_normal()), part_(target_.string()) {
  if (!target_.has_filename()) part_ = target_ = target_.parent_path();  // "folder/"
  part_ += ".part";
}

NewFolder::~NewFolder() {
  std::error_code ignored;
  if (made_ && !in_place_) fs::remove_all(part_, ignored);
}

Status NewFolder::make() {
  std::error_code ignored;
  if (fs::exists(part_, ignored)) {
    if (!fs::exists(part_ / mark, ignored))
      return fail(Category::refused,
                  fmt::format("{}: is there already and not ours to take away", part_.string()));
    fs::remove_all(part_, ignored);  // of a try that was cut off
  }
  if (Status done = make_folder(part_); !done) return done;
  made_ = true;
  return write_durably(part_ / mark, {});
}

Status NewFolder::put_in_place() {
  std::error_code error;
  fs::remove(part_ / mark, error);
  if (Status done = sync_to_disk(part_); !done) return done;
  fs::rename(part_, target_, error);
  if (error)
    return fail(Category::io,
                fmt::format("{}: cannot be made ({})", target_.string(), error.message()));
  in_place_ = true;
  return sync_to_disk(target_.parent_path());
}

}  // namespace lastlook::records
