// SPDX-License-Identifier: Apache-2.0
// Journals as files that are never changed, for a network share, where no database file is safe:
//
//   FOLDER/JOURNAL/000000000001-000000001000-HASH.jsonl
//
// one file a batch, its first and last entry and the last one's hash in its name. A file is written
// under another name, synced and renamed, so whoever gathers them never sees half of one. Beside
// the journals is what folder_office.h and folder_pictures.h say.
#pragma once

#include <filesystem>
#include <memory>

#include "kiosk/sync/folder_office.h"
#include "kiosk/sync/folder_pictures.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

class FolderPlant final : public PlantStore {
 public:
  // not_found: no such folder, unless it is made.
  static Result<std::unique_ptr<FolderPlant>> open(const std::filesystem::path& folder, bool make);

  Result<std::vector<KnownJournal>> journals() override;
  Result<Head> head(const std::string& journal) override;
  Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) override;
  Result<Head> take(std::span<const records::Entry> entries) override;
  Status entries(const std::string& journal, std::int64_t from,
                 const std::function<bool(const records::Entry&)>& each) override;
  Result<std::string> office() override { return office_.station(); }
  // Finds what the station has adopted already, which reads back to its newest master data once. A
  // program that knew no office marked none of it; saying it anew finds what such a one sent later.
  Status make_office(const std::string& station) override;
  Result<std::optional<records::Entry>> newest_master() override;
  PictureStore* pictures() override { return &pictures_; }

 private:
  struct Segment {
    std::int64_t first = 0;
    Head last;
    std::filesystem::path file;
  };
  explicit FolderPlant(std::filesystem::path folder)
      : folder_(std::move(folder)), pictures_(folder_), office_(folder_) {}
  // Of a journal, in order. damaged: one is missing between two others.
  Result<std::vector<Segment>> segments(const std::string& journal) const;
  // Mark where the newest master data lies: among entries that are about to be kept in a file, or
  // in a journal that is here.
  Status mark_master(std::span<const records::Entry> fresh, const std::string& file);
  Status mark_adopted(const KnownJournal& one, std::span<const KnownJournal> all);

  std::filesystem::path folder_;
  FolderPictures pictures_;
  FolderOffice office_;
};

}  // namespace lastlook::sync
