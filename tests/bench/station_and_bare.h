// SPDX-License-Identifier: Apache-2.0
// A station to measure, and the same rows written by statements alone.
#pragma once

#include <sqlite3.h>
#include <stdlib.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "kiosk/records/records.h"
#include "kiosk/text/master_json.h"
#include "tests/kiosk/domain/plant.h"

namespace lastlook::records::bench {

namespace fs = std::filesystem;
using domain::Answer;
using std::chrono::steady_clock;

template <class T>
T must(Result<T> result) {
  if (!result) {
    std::fprintf(stderr, "%s\n", result.error().message.c_str());
    std::abort();
  }
  return *std::move(result);
}
inline void must(const Status& status) {
  if (status) return;
  std::fprintf(stderr, "%s\n", status.error().message.c_str());
  std::abort();
}

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "lastlook-bench-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path_); }
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

class SteadyClock final : public domain::Clock {
 public:
  domain::Reading read() override {
    now_.wall_us += 3'000'000;
    now_.mono_us += 3'000'000;
    return now_;
  }

 private:
  domain::Reading now_{1'795'582'800'000'000, 1'000'000, "boot-1", 60};
};

struct Station {
  Station() : records(must(Records::create(folder.path(), "LL-1", clock))) {
    happen(domain::MasterAdopted{7, text::write_master(domain::testing::small_plant()), "p-1"});
  }
  void happen(const domain::Happening& happening) {
    must(records->append({&happening, 1}, "p-1", clock.read()));
  }
  void open_look(const std::string& look) {
    happen(domain::LookOpened{look, look, "", look, false, "CP210", 1, "CP-210",
                              domain::VariantSource::build_record, 7});
  }
  void answer(const std::string& look, int step) {
    happen(domain::StepAnswered{look, "component-" + std::to_string(step), Answer::conforming,
                                Answer::not_answered, "present"});
  }
  void find(const std::string& look) {
    happen(domain::FindingAdded{look, "f-1", "lid", "missing", domain::Severity::major,
                                domain::Place{0.5, 0.5}, "", ""});
  }
  void close(const std::string& look) {
    happen(domain::LookClosed{look, domain::Disposition::rework, "", ""});
  }
  Folder folder;
  SteadyClock clock;
  std::unique_ptr<Records> records;
};

// A database with the same settings and tables, and statements run as they come.
class Bare {
 public:
  explicit Bare(const fs::path& file) {
    sqlite3_open(file.c_str(), &db_);
    run("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA journal_size_limit=67108864");
  }
  ~Bare() {
    for (sqlite3_stmt* one : statements_) sqlite3_finalize(one);
    sqlite3_close(db_);
  }
  Bare(const Bare&) = delete;
  Bare& operator=(const Bare&) = delete;

  void run(const std::string& sql) {
    char* message = nullptr;
    if (sqlite3_exec(db_, sql.c_str(), nullptr, nullptr, &message) == SQLITE_OK) return;
    std::fprintf(stderr, "%s\n", message);
    std::abort();
  }
  sqlite3_stmt* prepare(const char* sql) {
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v2(db_, sql, -1, &statement, nullptr) != SQLITE_OK) std::abort();
    statements_.push_back(statement);
    return statement;
  }
  // Numbers are bound as themselves, all else as text.
  static void run(sqlite3_stmt* statement, const Row& values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
      const int at = static_cast<int>(i) + 1;
      if (const auto* whole = std::get_if<std::int64_t>(&values[i]))
        sqlite3_bind_int64(statement, at, *whole);
      else if (const auto* text = std::get_if<std::string>(&values[i]))
        sqlite3_bind_text(statement, at, text->c_str(), -1, SQLITE_STATIC);
      else
        sqlite3_bind_null(statement, at);
    }
    if (sqlite3_step(statement) != SQLITE_DONE) std::abort();
    sqlite3_reset(statement);
  }

 private:
  sqlite3* db_ = nullptr;
  std::vector<sqlite3_stmt*> statements_;
};

inline double median_us(std::vector<double> times) {
  std::ranges::nth_element(times, times.begin() + static_cast<std::ptrdiff_t>(times.size() / 2));
  return times[times.size() / 2];
}

template <class Work>
double timed_us(Work work) {
  const auto begin = steady_clock::now();
  work();
  return std::chrono::duration<double, std::micro>(steady_clock::now() - begin).count();
}

// A fresh file with the tables of a station and none of its rows.
inline void make_tables(Bare& bare, const fs::path& station) {
  sqlite3* from = nullptr;
  sqlite3_open(station.c_str(), &from);
  std::string all;
  sqlite3_exec(
      from, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND type <> 'trigger'",
      [](void* into, int, char** text, char**) {
        static_cast<std::string*>(into)->append(text[0]).append(";");
        return 0;
      },
      &all, nullptr);
  sqlite3_close(from);
  bare.run(all);
}

// The rows that touches change, written without Records but with bytes of the same length.
class BareTouch {
 public:
  BareTouch(Station& station, const fs::path& file) : bare_(file) {
    make_tables(bare_, station.folder.path() / "records.db");
    begin_ = bare_.prepare("BEGIN IMMEDIATE");
    commit_ = bare_.prepare("COMMIT");
    entry_ = bare_.prepare(
        "INSERT INTO entry VALUES (?1,?2,?3,?4,?5,?6,?7,zeroblob(32),randomblob(32))");
    answer_ = bare_.prepare(
        "INSERT INTO step_answer VALUES (?1,?2,?3,?4,?5,?6,?7,?8) ON CONFLICT DO NOTHING");
    open_ = bare_.prepare("INSERT INTO open_look_entry VALUES (?1,?2,?3,?4)");
    head_ = bare_.prepare(
        "INSERT INTO station_state VALUES (?1,?2,?3,?4,?5,?6,?7,?8,60) ON CONFLICT DO UPDATE SET "
        "seq = excluded.seq, hash = excluded.hash, wall_us = excluded.wall_us");
    look_ = bare_.prepare(
        "INSERT INTO look VALUES (?1,?2,'LL-1',?1,'',1,'CP-210','build_record','CP210',7,?3,?4,0,"
        "?4,'',?5,'','','p-1',?4,'2026-11-25','early',24) ON CONFLICT DO UPDATE SET state = "
        "excluded.state, disposition = excluded.disposition, closed_us = excluded.closed_us");
    forget_ = bare_.prepare("DELETE FROM open_look_entry WHERE look = ?1");
    finding_ = bare_.prepare(
        "INSERT INTO finding VALUES (?1,'f-1','lid','missing','major',0.5,0.5,'','','p-1',?2,0,'',"
        "?3) ON CONFLICT DO UPDATE SET first_look = excluded.first_look");
    count_ = bare_.prepare(
        "INSERT INTO count_look VALUES ('2026-11-25','early',24,'LL-1','CP-210',1,1,0,0,1,0,0) ON "
        "CONFLICT DO UPDATE SET looks = looks + 1, first_looks = first_looks + 1, rework = rework "
        "+ 1");
    defect_ = bare_.prepare(
        "INSERT INTO count_defect VALUES ('2026-11-25','early',24,'LL-1','CP-210','lid','missing',"
        "'major',1,1) ON CONFLICT DO UPDATE SET findings = findings + 1, units = units + 1");
    model_ = must(station.records->store().last_entry(station.records->journal())).value();
  }
  void begin() { Bare::run(begin_, {}); }
  void commit() { Bare::run(commit_, {}); }
  void answer(const std::string& look, int step) {
    const std::string component = "component-" + std::to_string(step), word = "conforming";
    enter();
    Bare::run(answer_, {look, component, word, word, std::string("present"), std::int64_t{0},
                        std::string("p-1"), seq_});
    Bare::run(open_, {look, std::int64_t{0}, seq_, model_.journal});
  }
  void open(const std::string& look) {
    enter();
    Bare::run(look_, {look, model_.journal, std::string("open"), seq_, Value()});
    Bare::run(open_, {look, std::int64_t{0}, seq_, model_.journal});
  }
  void find(const std::string& look) {
    enter();
    Bare::run(finding_, {look, seq_, std::string()});
    Bare::run(open_, {look, std::int64_t{0}, seq_, model_.journal});
  }
  void close(const std::string& look) {
    enter();
    Bare::run(look_, {look, model_.journal, std::string("closed"), seq_, std::string("rework")});
    Bare::run(forget_, {look});
    Bare::run(finding_, {look, seq_, look});
    Bare::run(count_, {});
    Bare::run(defect_, {});
  }

 private:
  void enter() {
    ++seq_;
    Bare::run(entry_, {model_.journal, seq_, model_.stamp, model_.actor, model_.kind,
                       std::int64_t{1}, model_.body});
    Bare::run(head_, {model_.journal, std::string("LL-1"), std::int64_t{0}, seq_,
                      to_hex(model_.hash), std::int64_t{7}, std::int64_t{0}, seq_});
  }

  Bare bare_;
  sqlite3_stmt *begin_, *commit_, *entry_, *answer_, *open_, *head_, *look_, *forget_, *finding_,
      *count_, *defect_;
  Entry model_;
  std::int64_t seq_ = 0;
};

}  // namespace lastlook::records::bench
