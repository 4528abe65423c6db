// SPDX-License-Identifier: Apache-2.0
// A station in a folder of its own, for tests.
#pragma once

#include <gtest/gtest.h>
#include <sqlite3.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <memory>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/records/records.h"
#include "kiosk/records/sql.h"
#include "kiosk/text/master_json.h"
#include "tests/kiosk/domain/plant.h"

namespace lastlook::records::testing {

class TempFolder {
 public:
  TempFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "lastlook-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~TempFolder() { std::filesystem::remove_all(path_); }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

// 2026-11-25 06:00:00 at UTC+1, the start of the small plant's early shift.
class StillClock final : public domain::Clock {
 public:
  domain::Reading read() override { return now; }
  void pass(std::int64_t seconds) {
    now.wall_us += seconds * 1'000'000;
    now.mono_us += seconds * 1'000'000;
  }
  domain::Reading now{1'795'582'800'000'000, 1'000'000, "boot-1", 60};
};

// The value, or the test fails with what was said.
template <class T>
T must(Result<T> result) {
  if (!result) {
    ADD_FAILURE() << result.error().message;
    throw std::runtime_error(result.error().message);
  }
  return *std::move(result);
}
inline void must(const Status& status) {
  if (!status) {
    ADD_FAILURE() << status.error().message;
    throw std::runtime_error(status.error().message);
  }
}

// A station with the small plant's master data adopted, in a temporary folder.
class Station {
 public:
  explicit Station(const std::string& name = "LL-1")
      : records(must(Records::create(folder.path(), name, clock))) {
    happen(domain::MasterAdopted{7, text::write_master(domain::testing::small_plant()), "p-boss"});
  }

  // Each in its own append, one second after the other.
  template <class... Happening>
  void happen(const Happening&... happenings) {
    (append_one(happenings), ...);
  }
  Status try_one(const domain::Happening& happening) {
    clock.pass(1);
    return records->append({&happening, 1}, "p-1", clock.read());
  }
  void reopen() {
    records.reset();
    records = must(Records::open(folder.path()));
  }

  // A whole look with these findings (component, defect).
  void look(const std::string& id, const std::string& serial, std::int64_t number,
            domain::Disposition disposition,
            const std::vector<std::pair<std::string, std::string>>& findings = {}) {
    open_look(id, serial, number);
    int n = 0;
    for (const auto& [component, defect] : findings)
      happen(domain::FindingAdded{id,
                                  id + "-f" + std::to_string(++n),
                                  component,
                                  defect,
                                  domain::Severity::major,
                                  {},
                                  "",
                                  ""});
    happen(domain::LookClosed{id, disposition, "", ""});
  }
  void open_look(const std::string& id, const std::string& serial, std::int64_t number) {
    domain::LookOpened opened;
    opened.look = id;
    opened.serial = serial;
    opened.code = "CP210-" + serial;
    opened.tag_type = "CP210";
    opened.number = number;
    opened.variant = "CP-210";
    opened.variant_source = domain::VariantSource::build_record;
    opened.revision = 7;
    happen(opened);
  }
  // The look `of` was drawn for it.
  void open_second(const std::string& id, const std::string& serial, const std::string& of) {
    domain::LookOpened opened;
    opened.look = id;
    opened.serial = serial;
    opened.number = 1;
    opened.variant = "CP-210";
    opened.revision = 7;
    opened.second_of = of;
    happen(opened);
  }
  void open_under_ticket(const std::string& id, const std::string& ticket) {
    domain::LookOpened opened;
    opened.look = id;
    opened.ticket = ticket;
    opened.number = 0;
    opened.revision = 7;
    happen(opened);
  }

  TempFolder folder;
  StillClock clock;
  std::unique_ptr<Records> records;

 private:
  void append_one(const domain::Happening& happening) { must(try_one(happening)); }
};

// The rows of a query as any program would read them from the file, columns joined by '|'.
inline std::vector<std::string> sql(const std::filesystem::path& file, const std::string& text) {
  sqlite3* db = nullptr;
  EXPECT_EQ(sqlite3_open_v2(file.c_str(), &db, SQLITE_OPEN_READWRITE, nullptr), SQLITE_OK);
  std::vector<std::string> rows;
  char* message = nullptr;
  sqlite3_exec(
      db, text.c_str(),
      [](void* into, int n, char** values, char**) {
        std::string row;
        for (int i = 0; i < n; ++i) {
          if (i > 0) row += '|';
          row += values[i] ? values[i] : "null";
        }
        static_cast<std::vector<std::string>*>(into)->push_back(row);
        return 0;
      },
      &rows, &message);
  EXPECT_EQ(message, nullptr) << message;
  sqlite3_free(message);
  sqlite3_close(db);
  return rows;
}

// Puts a station's or a backup's file back to an older form, with its entries and its heads.
inline void put_back_to_form(const std::filesystem::path& file, int form) {
  const std::filesystem::path old = file.string() + ".old";
  std::ofstream(old, std::ios::binary).flush();  // an empty database
  for (const SqlText& migration : sqlite_migrations().first(static_cast<std::size_t>(form)))
    sql(old, std::string(migration.text));
  sql(old, "ATTACH '" + file.string() +
               "' AS now; INSERT INTO entry SELECT * FROM now.entry; "
               "INSERT INTO station_state (journal, station, generation, seq, hash, "
               "master_revision, signed_seq) SELECT journal, station, generation, seq, hash, "
               "master_revision, signed_seq FROM now.station_state; PRAGMA user_version=" +
               std::to_string(form));
  for (const char* left : {"-wal", "-shm"}) std::filesystem::remove(file.string() + left);
  std::filesystem::rename(old, file);
}

}  // namespace lastlook::records::testing
