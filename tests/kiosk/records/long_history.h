// SPDX-License-Identifier: Apache-2.0
// A station that has had the days on its file many times over: the same happenings and rows, each
// time a day earlier and under ids of its own.
#pragma once

#include <sqlite3.h>

#include <filesystem>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "kiosk/records/tables.h"

namespace lastlook::records::testing {

class HistoryRepeater {
 public:
  explicit HistoryRepeater(const std::filesystem::path& file) {
    if (sqlite3_open_v2(file.c_str(), &db_, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK)
      throw std::runtime_error(file.string() + " cannot be opened");
  }
  ~HistoryRepeater() { sqlite3_close(db_); }
  HistoryRepeater(const HistoryRepeater&) = delete;
  HistoryRepeater& operator=(const HistoryRepeater&) = delete;

  // What still is to be done stays as it is: that is no history.
  void repeat(int days) {
    run("PRAGMA synchronous=OFF; PRAGMA cache_size=-1000000; BEGIN; CREATE TEMP TABLE day AS WITH "
        "RECURSIVE c (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM c WHERE n < " +
        std::to_string(days) + ") SELECT n, (SELECT max(seq) FROM entry) AS span FROM c");
    copy("entry",
         {"journal", "seq", "stamp", "actor", "kind", "version", "body", "previous", "hash"},
         "true");
    for (const Table* table : all_tables()) {
      const std::string name(table->name);
      if (!is_to_do(name))
        copy(name, {table->columns.begin(), table->columns.end()},
             name == "waiting"     ? "why <> 'second_look'"
             : name == "reaction"  ? "settled_us <> 0"
             : name == "help_call" ? "came_us <> 0"
                                   : "true");
    }
    run("UPDATE station_state SET (seq, hash) = (SELECT seq, lower(hex(hash)) FROM entry ORDER BY "
        "seq DESC LIMIT 1); COMMIT; PRAGMA wal_checkpoint(TRUNCATE)");
  }
  static bool is_to_do(const std::string& table) {
    return std::set<std::string>{"station_state", "open_look_entry", "proof_entry", "stopped"}
        .contains(table);
  }
  void run(const std::string& sql) {
    if (sqlite3_exec(db_, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK)
      throw std::runtime_error(sql + ": " + sqlite3_errmsg(db_));
  }

 private:
  // One column of a copy; `n` days before.
  static std::string copied(const std::string& table, const std::string& column) {
    static const std::set<std::string> ids{"look",       "serial",   "ticket",      "finding",
                                           "first_look", "showing",  "second_look", "second_of",
                                           "voided_by",  "study",    "claim",       "picture",
                                           "lot",        "reaction", "help"};
    const bool is_id = ids.contains(column) || (table == "concession" && column == "number") ||
                       (table == "sign_in_allowance" && column == "person") ||
                       (table == "first_opinion" && column == "model");
    if (is_id) return "iif(" + column + " = '', '', printf('%05d~%s', n, " + column + "))";
    if (column == "seq") return "seq + n * span";
    if (table == "master" && column == "revision") return "revision + n * 1000";
    if (column == "production_date")
      return "iif(production_date = '', '', date(production_date, '-' || n || ' days'))";
    if (column == "expires_us")  // of a concession, which may have years to go
      return "(SELECT max(wall_us) FROM station_state) - n * 86400000000";
    if (column.ends_with("_us"))
      return "iif(" + column + " = 0, 0, " + column + " - n * 86400000000)";
    return column;
  }

  void copy(const std::string& table, const std::vector<std::string>& columns,
            const std::string& which) {
    std::string into, values;
    for (const std::string& column : columns) {
      into += (into.empty() ? "" : ", ") + column;
      values += (values.empty() ? "" : ", ") + copied(table, column);
    }
    run("CREATE TEMP TABLE once AS SELECT * FROM main." + table + " WHERE " + which +
        "; INSERT INTO main." + table + " (" + into + ") SELECT " + values +
        " FROM day CROSS JOIN once; DROP TABLE once");
  }

  sqlite3* db_ = nullptr;
};

}  // namespace lastlook::records::testing
