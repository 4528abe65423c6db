// SPDX-License-Identifier: Apache-2.0
// A plant's store in one SQLite file, on a local disk or a stick that is carried from station to
// station. Kept without a log beside it (journal_mode DELETE), so that the file alone is the store.
#pragma once

#include <filesystem>
#include <memory>

#include "kiosk/records/sqlite.h"
#include "kiosk/sync/plant_store.h"
#include "kiosk/sync/sqlite_pictures.h"

namespace lastlook::sync {

class SqlitePlant final : public PlantStore {
 public:
  // make: one that is not there is made, with its journal beside it, both readable by the owner.
  // not_found: no such file; refused: a network share, where SQLite's locks cannot be relied on, or
  // a file that is no plant store.
  static Result<std::unique_ptr<SqlitePlant>> open(const std::filesystem::path& file, bool make);

  Result<std::vector<KnownJournal>> journals() override;
  Result<Head> head(const std::string& journal) override;
  Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) override;
  Result<Head> take(std::span<const records::Entry> entries) override;
  Status entries(const std::string& journal, std::int64_t from,
                 const std::function<bool(const records::Entry&)>& each) override;
  Result<std::string> office() override;
  Status make_office(const std::string& station) override;
  Result<std::optional<records::Entry>> newest_master() override;
  PictureStore* pictures() override { return &pictures_; }

 private:
  explicit SqlitePlant(std::unique_ptr<records::Connection> connection)
      : connection_(std::move(connection)), pictures_(*connection_) {}
  Status prepare_file();
  // 0: the file is empty. refused: it is another's; newer.
  Result<std::int64_t> form() const;
  Result<Head> take_all(std::span<const records::Entry> entries);
  Status begin_journal(const records::Entry& first);
  Status add(std::span<const records::Entry> entries);

  std::unique_ptr<records::Connection> connection_;
  SqlitePictures pictures_;
};

}  // namespace lastlook::sync
