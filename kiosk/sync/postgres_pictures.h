// SPDX-License-Identifier: Apache-2.0
// Pictures in a plant's store on a server, by the functions that a station's login may call.
#pragma once

#include <pqxx/pqxx>

#include "kiosk/sync/picture_store.h"

namespace lastlook::sync {

class PostgresPictures final : public PictureStore {
 public:
  explicit PostgresPictures(pqxx::connection& connection) : connection_(connection) {}

  Result<std::int64_t> complete_to(const std::string& journal) override;
  Status note_complete_to(const std::string& journal, std::int64_t seq) override;
  Result<HeldPicture> held(const PictureName& name) override;
  // The server cannot tell whose bytes they are: the sender does before, whoever reads them after.
  Status take(const PictureName& name, std::int64_t from, std::span<const unsigned char> part,
              bool last) override;
  Result<std::vector<std::string>> whole(const std::string& journal) override;
  Result<std::string> bytes(const PictureName& name) override;

 private:
  pqxx::connection& connection_;
};

}  // namespace lastlook::sync
