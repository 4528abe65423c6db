// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/sqlite_plant.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/durable.h"
#include "kiosk/sync/chain.h"
#include "kiosk/sync/network_share.h"
#include "kiosk/sync/sql.h"
#include "kiosk/sync/sqlite_rows.h"

namespace lastlook::sync {
namespace {

using records::Access;
using records::Connection;
using records::Entry;
using records::Hash;
using records::Statement;

constexpr std::int64_t newest_form = 3;
constexpr std::int64_t mark = 0x4c4c5053;  // application_id, "LLPS": this file is a plant's store

Status insert(Statement& into, const Entry& entry) {
  into.bind_text(1, entry.journal);
  into.bind_integer(2, entry.seq);
  into.bind_text(3, entry.stamp);
  into.bind_text(4, entry.actor);
  into.bind_text(5, entry.kind);
  into.bind_integer(6, entry.version);
  into.bind_text(7, entry.body);
  into.bind_bytes(8, entry.previous);
  into.bind_bytes(9, entry.hash);
  records::Reset reset(into);
  const auto done = into.step();
  return done ? Status() : tl::unexpected(done.error());
}

Entry entry_of(const Statement& row) {
  return {row.text(0),
          row.integer(1),
          row.text(2),
          row.text(3),
          row.text(4),
          row.integer(5),
          row.text(6),
          records::hash_from_bytes(row.text(7)),
          records::hash_from_bytes(row.text(8))};
}

}  // namespace

Result<std::unique_ptr<SqlitePlant>> SqlitePlant::open(const std::filesystem::path& file,
                                                       bool make) {
  std::error_code ignored;
  const bool there = std::filesystem::exists(file, ignored);
  if (!there && !make)
    return fail(Category::not_found, fmt::format("{}: no such file", file.string()));
  if (Status local = check_local(file); !local) return tl::unexpected(local.error());
  if (!there)
    if (Status made = records::make_private(file); !made) return tl::unexpected(made.error());
  auto connection = Connection::open(file, Access::write);
  if (!connection) return tl::unexpected(connection.error());
  std::unique_ptr<SqlitePlant> plant(new SqlitePlant(*std::move(connection)));
  if (Status ready = plant->prepare_file(); !ready) return tl::unexpected(ready.error());
  return plant;
}

Result<std::int64_t> SqlitePlant::form() const {
  // In this order: who makes the store meanwhile sets both at once.
  const auto tables = connection_->integer("SELECT count(*) FROM sqlite_master");
  if (!tables) return tables;
  const auto found = connection_->integer("PRAGMA application_id");
  if (!found) return found;
  if (*found != mark && (*found != 0 || *tables != 0))
    return fail(Category::refused,
                fmt::format("{}: is no plant's store", connection_->file().string()));
  if (*found != mark) return 0;
  const auto form = connection_->integer("PRAGMA user_version");
  if (!form || *form <= newest_form) return form;
  return fail(Category::newer,
              fmt::format("{}: a plant's store in form {}, and this version knows form {}",
                          connection_->file().string(), *form, newest_form));
}

Status SqlitePlant::prepare_file() {
  // Before anything is set: a file that is another's is left as it is.
  auto form = this->form();
  if (!form) return tl::unexpected(form.error());
  if (Status set = connection_->run("PRAGMA journal_mode=DELETE; PRAGMA synchronous=EXTRA"); !set)
    return set;
  if (*form == newest_form) return {};
  if (Status begun = connection_->run("BEGIN IMMEDIATE"); !begun) return begun;
  form = this->form();  // another program may have been first
  Status done = form ? Status() : tl::unexpected(form.error());
  if (done && *form < 1) done = connection_->run(std::string(sql("sqlite_plant")).c_str());
  if (done && *form < 2) done = connection_->run(std::string(sql("sqlite_plant_2")).c_str());
  if (done && *form < 3) done = connection_->run(std::string(sql("sqlite_plant_3")).c_str());
  const std::string marks =
      fmt::format("PRAGMA application_id={};PRAGMA user_version={}", mark, newest_form);
  if (done) done = connection_->run(marks.c_str());
  if (done) done = connection_->run("COMMIT");
  if (!done) (void)connection_->run("ROLLBACK");  // what matters is the first error
  return done;
}

Result<std::vector<KnownJournal>> SqlitePlant::journals() {
  std::vector<KnownJournal> all;
  const Status done =
      read_rows(connection_->prepare("SELECT journal, station, head_seq, head_hash, after_journal, "
                                     "after_seq FROM plant_journal ORDER BY station, came"),
                {}, [&](const Statement& row) {
                  all.push_back({row.text(0),
                                 row.text(1),
                                 {row.integer(2), records::hash_from_bytes(row.text(3))},
                                 row.text(4),
                                 row.integer(5)});
                  return true;
                });
  if (!done) return tl::unexpected(done.error());
  return all;
}

Result<Head> SqlitePlant::head(const std::string& journal) {
  Head head;
  const Status done = read_rows(
      connection_->prepare("SELECT head_seq, head_hash FROM plant_journal WHERE journal = ?1"),
      {journal}, [&](const Statement& row) {
        head = {row.integer(0), records::hash_from_bytes(row.text(1))};
        return false;
      });
  if (!done) return tl::unexpected(done.error());
  return head;
}

Result<Hash> SqlitePlant::hash_at(const std::string& journal, std::int64_t seq) {
  std::optional<Hash> hash;
  const Status done = read_rows(
      connection_->prepare("SELECT hash FROM plant_entry WHERE journal = ?1 AND seq = ?2"),
      {journal, seq}, [&](const Statement& row) {
        hash = records::hash_from_bytes(row.text(0));
        return false;
      });
  if (!done) return tl::unexpected(done.error());
  if (!hash)
    return fail(Category::not_found,
                fmt::format("journal {}: the store has no entry {}", journal, seq));
  return *hash;
}

Result<Head> SqlitePlant::take(std::span<const Entry> entries) {
  if (Status begun = connection_->run("BEGIN IMMEDIATE"); !begun)
    return tl::unexpected(begun.error());
  auto head = take_all(entries);
  if (head) {
    if (Status done = connection_->run("COMMIT"); done)
      return head;
    else
      head = tl::unexpected(done.error());
  }
  // The transaction may have ended by itself (a full disk); what matters is the first error.
  (void)connection_->run("ROLLBACK");
  return head;
}

Result<Head> SqlitePlant::take_all(std::span<const Entry> entries) {
  const auto head = this->head(entries.front().journal);
  if (!head) return head;
  const auto fresh = admitted(*this, *head, entries);
  if (!fresh) return tl::unexpected(fresh.error());
  if (fresh->empty()) return head;
  if (head->seq == 0)
    if (Status begun = begin_journal(fresh->front()); !begun) return tl::unexpected(begun.error());
  if (Status added = add(*fresh); !added) return tl::unexpected(added.error());
  return Head{fresh->back().seq, fresh->back().hash};
}

Status SqlitePlant::begin_journal(const Entry& first) {
  const auto begun = beginning_of(first);
  if (!begun) return tl::unexpected(begun.error());
  return read_rows(
      connection_->prepare(
          "INSERT INTO plant_journal (journal, station, came, after_journal, after_seq, "
          "head_seq, head_hash) "
          "SELECT ?1, ?2, count(*), ?3, ?4, 0, zeroblob(32) FROM plant_journal"),
      {begun->journal, begun->station, begun->after_journal, begun->after_seq},
      [](const Statement&) { return true; });
}

Status SqlitePlant::add(std::span<const Entry> entries) {
  auto into =
      connection_->prepare("INSERT INTO plant_entry VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)");
  if (!into) return tl::unexpected(into.error());
  for (const Entry& entry : entries)
    if (Status done = insert(*into, entry); !done) return done;
  auto moved = connection_->prepare(
      "UPDATE plant_journal SET head_seq = ?2, head_hash = ?3 WHERE journal = ?1");
  if (!moved) return tl::unexpected(moved.error());
  moved->bind_text(1, entries.back().journal);
  moved->bind_integer(2, entries.back().seq);
  moved->bind_bytes(3, entries.back().hash);
  const auto done = moved->step();
  return done ? Status() : tl::unexpected(done.error());
}

Status SqlitePlant::entries(const std::string& journal, std::int64_t from,
                            const std::function<bool(const Entry&)>& each) {
  return read_rows(
      connection_->prepare("SELECT journal, seq, stamp, actor, kind, version, body, previous, hash "
                           "FROM plant_entry WHERE journal = ?1 AND seq >= ?2 ORDER BY seq"),
      {journal, from}, [&](const Statement& row) { return each(entry_of(row)); });
}

Result<std::string> SqlitePlant::office() {
  std::string station;
  const Status done = read_rows(connection_->prepare("SELECT station FROM plant_office"), {},
                                [&](const Statement& row) {
                                  station = row.text(0);
                                  return false;
                                });
  if (!done) return tl::unexpected(done.error());
  return station;
}

Status SqlitePlant::make_office(const std::string& station) {
  return run(connection_->prepare("INSERT INTO plant_office VALUES (1, ?1) ON CONFLICT DO UPDATE "
                                  "SET station = excluded.station"),
             {station});
}

Result<std::optional<Entry>> SqlitePlant::newest_master() {
  std::optional<Entry> newest;
  Head head;
  const Status found = read_rows(
      connection_->prepare(
          "SELECT e.journal, e.seq, e.stamp, e.actor, e.kind, e.version, e.body, e.previous, "
          "e.hash, j.head_seq, j.head_hash FROM plant_office o "
          "JOIN plant_journal j ON j.station = o.station "
          "JOIN plant_entry e ON e.journal = j.journal AND e.kind = 'master_adopted' "
          "ORDER BY j.came DESC, e.seq DESC LIMIT 1"),
      {}, [&](const Statement& row) {
        newest = entry_of(row);
        head = {row.integer(9), records::hash_from_bytes(row.text(10))};
        return false;
      });
  if (!found) return tl::unexpected(found.error());
  if (!newest) return newest;
  std::vector<Entry> around;  // the one before it and the one after it
  const Status read =
      entries(newest->journal, std::max<std::int64_t>(newest->seq - 1, 1), [&](const Entry& entry) {
        around.push_back(entry);
        return entry.seq <= newest->seq;
      });
  if (!read) return tl::unexpected(read.error());
  const bool at_head = around.back().seq == head.seq;
  if (Status kept = check_kept(around, at_head ? head.hash : around.back().hash); !kept)
    return tl::unexpected(kept.error());
  return newest;
}

}  // namespace lastlook::sync
