// SPDX-License-Identifier: Apache-2.0
// Journals as files that are never changed, for a network share, where no database file is safe:
//
//   FOLDER/JOURNAL/000000000001-000000001000-HASH.jsonl
//
// one file a batch, its first and last entry and the last one's hash in its name. A file is written
// under another name, synced and renamed, so whoever gathers them never sees half of one.
#pragma once

#include <filesystem>
#include <memory>

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
  PictureStore* pictures() override { return &pictures_; }

 private:
  struct Segment {
    std::int64_t first = 0;
    Head last;
    std::filesystem::path file;
  };
  explicit FolderPlant(std::filesystem::path folder)
      : folder_(std::move(folder)), pictures_(folder_) {}
  // Of a journal, in order. damaged: one is missing between two others.
  Result<std::vector<Segment>> segments(const std::string& journal) const;

  std::filesystem::path folder_;
  FolderPictures pictures_;
};

}  // namespace lastlook::sync
