// SPDX-License-Identifier: Apache-2.0
// Pictures in a folder, which may be a network share.
//
//   FOLDER/JOURNAL/pictures/HASH           whole
//   FOLDER/JOURNAL/pictures/HASH.part      what came of it
//   FOLDER/JOURNAL/pictures/complete.json  up to which entry all came
#pragma once

#include <filesystem>

#include "kiosk/sync/picture_store.h"

namespace lastlook::sync {

class FolderPictures final : public PictureStore {
 public:
  explicit FolderPictures(std::filesystem::path folder) : folder_(std::move(folder)) {}

  Result<std::int64_t> complete_to(const std::string& journal) override;
  Status note_complete_to(const std::string& journal, std::int64_t seq) override;
  Result<HeldPicture> held(const PictureName& name) override;
  Status take(const PictureName& name, std::int64_t from, std::span<const unsigned char> part,
              bool last) override;
  Result<std::vector<std::string>> whole(const std::string& journal) override;
  Result<std::string> bytes(const PictureName& name) override;

 private:
  std::filesystem::path folder_of(const std::string& journal) const;

  std::filesystem::path folder_;
};

}  // namespace lastlook::sync
