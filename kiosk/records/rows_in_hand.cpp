// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/rows_in_hand.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace lastlook::records {
namespace {

bool begins_with(const Row& key, const Row& prefix) {
  return key.size() >= prefix.size() && std::equal(prefix.begin(), prefix.end(), key.begin());
}

Row first_of(const Row& values, std::size_t columns) {
  return {values.begin(), values.begin() + static_cast<std::ptrdiff_t>(columns)};
}

// Rows of one look or unit are few, and where one is asked for the others follow.
bool is_of_one_thing(const Table& table) {
  return table.columns.front() == "look" || table.columns.front() == "serial";
}

}  // namespace

void RowsInHand::forget(bool open) {
  sheets_.clear();
  changes_ = 0;
  open_ = open;
}

Status RowsInHand::begin() {
  const Status begun = server_.begin();
  forget(begun.has_value());
  return begun;
}

Status RowsInHand::commit() {
  if (Status written = write(); !written) return written;
  forget(false);
  return server_.commit();
}

void RowsInHand::rollback() {
  forget(false);
  server_.rollback();
}

RowsInHand::Sheet& RowsInHand::sheet_of(const Table& table) {
  Sheet& sheet = sheets_[table.name];
  sheet.table = &table;
  return sheet;
}

// What is held already is newer than what the server has.
Status RowsInHand::read(Sheet& sheet, const Row& prefix) {
  for (std::size_t columns = 0; columns <= prefix.size(); ++columns)
    if (sheet.read.contains(first_of(prefix, columns))) return {};
  const Status done = server_.rows(*sheet.table, prefix, [&](const Row& row) {
    sheet.rows.try_emplace(first_of(row, sheet.table->key_columns), Held{row, false});
    return true;
  });
  if (done) sheet.read.insert(prefix);
  return done;
}

Result<std::optional<Row>> RowsInHand::find(const Table& table, const Row& key) {
  if (!open_) return server_.find(table, key);
  Sheet& sheet = sheet_of(table);
  if (!sheet.rows.contains(key))
    if (const Status done = read(sheet, is_of_one_thing(table) ? first_of(key, 1) : key); !done)
      return tl::unexpected(done.error());
  const auto held = sheet.rows.find(key);
  return held == sheet.rows.end() ? std::nullopt : held->second.row;
}

Status RowsInHand::change(const Table& table, const Row& key, std::optional<Row> row) {
  Held& held = sheet_of(table).rows[key];
  held.row = std::move(row);
  if (std::exchange(held.changed, true)) return {};
  return ++changes_ < most_changes_ ? Status() : write();
}

Status RowsInHand::put(const Table& table, const Row& row) {
  if (!open_) return server_.put(table, row);
  return PostgresStore::check(table, row).and_then([&] {
    return change(table, first_of(row, table.key_columns), row);
  });
}

Status RowsInHand::erase(const Table& table, const Row& key) {
  if (!open_) return server_.erase(table, key);
  return change(table, key, std::nullopt);
}

Status RowsInHand::clear(const Table& table) {
  sheets_.erase(table.name);
  return server_.clear(table);
}

Status RowsInHand::rows(const Table& table, const Row& prefix,
                        const std::function<bool(const Row&)>& each) {
  if (!open_) return server_.rows(table, prefix, each);
  Sheet& sheet = sheet_of(table);
  const bool of_one = !prefix.empty() && is_of_one_thing(table);
  if (const Status done = read(sheet, of_one ? first_of(prefix, 1) : prefix); !done) return done;
  std::vector<Row> all;  // `each` may change rows
  for (auto it = sheet.rows.lower_bound(prefix);
       it != sheet.rows.end() && begins_with(it->first, prefix); ++it)
    if (it->second.row) all.push_back(*it->second.row);
  for (const Row& row : all)
    if (!each(row)) break;
  return {};
}

Status RowsInHand::query(std::string_view name, const Row& parameters,
                         const std::function<void(const Row&)>& each) {
  return write().and_then([&] { return server_.query(name, parameters, each); });
}

// Nothing is held afterwards.
Status RowsInHand::write() {
  for (const auto& [name, sheet] : sheets_) {
    std::vector<Row> there, gone;
    for (const auto& [key, held] : sheet.rows)
      if (held.changed && held.row)
        there.push_back(*held.row);
      else if (held.changed)
        gone.push_back(key);
    Status done = gone.empty() ? Status() : server_.erase_all(*sheet.table, gone);
    if (done && !there.empty()) done = server_.put_all(*sheet.table, there);
    if (!done) return done;
  }
  forget(open_);
  return {};
}

}  // namespace lastlook::records
