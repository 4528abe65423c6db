// SPDX-License-Identifier: Apache-2.0
// Pictures in a plant's store of one file.
#pragma once

#include "kiosk/records/sqlite.h"
#include "kiosk/sync/picture_store.h"

namespace lastlook::sync {

class SqlitePictures final : public PictureStore {
 public:
  explicit SqlitePictures(records::Connection& connection) : connection_(connection) {}

  Result<std::int64_t> complete_to(const std::string& journal) override;
  Status note_complete_to(const std::string& journal, std::int64_t seq) override;
  Result<HeldPicture> held(const PictureName& name) override;
  Status take(const PictureName& name, std::int64_t from, std::span<const unsigned char> part,
              bool last) override;
  Result<std::vector<std::string>> whole(const std::string& journal) override;
  Result<std::string> bytes(const PictureName& name) override;

 private:
  Status add(const PictureName& name, std::int64_t from, std::span<const unsigned char> part,
             bool last);
  Status drop(const PictureName& name);
  Result<std::string> joined(const PictureName& name);

  records::Connection& connection_;
};

}  // namespace lastlook::sync
