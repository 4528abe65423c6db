// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/backup.h"

#include <fmt/format.h>

#include "kiosk/records/durable.h"
#include "kiosk/records/new_folder.h"
#include "kiosk/records/sqlite_store.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;

// Copies one database into a plain file without a log beside it, so that it can be read from a disk
// that cannot be written.
Status copy_database(Connection& from, const fs::path& to) {
  if (Status done = make_private(to); !done) return done;
  if (Status done = from.copy_to(to); !done) return done;
  {
    auto copy = Connection::open(to, Access::write);
    if (!copy) return tl::unexpected(copy.error());
    if (Status done = (*copy)->run("PRAGMA journal_mode=DELETE"); !done) return done;
  }
  return sync_to_disk(to);
}

Result<std::int64_t> copy_pictures(const fs::path& from, const fs::path& to) {
  std::int64_t copied = 0;
  std::error_code error;
  if (!fs::exists(from, error)) return copied;
  for (fs::recursive_directory_iterator at(from, error), end; at != end && !error;
       at.increment(error)) {
    if (!at->is_regular_file() || at->path().extension() == ".part") continue;
    const fs::path copy = to / fs::relative(at->path(), from);
    if (Status done = make_folder(copy.parent_path()); !done) return tl::unexpected(done.error());
    if (Status done = copy_durably(at->path(), copy); !done) return tl::unexpected(done.error());
    ++copied;
  }
  if (error)
    return fail(Category::io,
                fmt::format("{}: cannot be read ({})", from.string(), error.message()));
  return copied;
}

// The newest journal's head as this connection sees it.
Result<Copied> head_of(SqliteStore& store) {
  const auto journals = journals_in_order(store);
  if (!journals) return tl::unexpected(journals.error());
  Copied copied;
  for (const std::string& journal : *journals) {
    const auto last = store.last_entry(journal);
    if (!last) return tl::unexpected(last.error());
    copied.entries += (*last)->seq;
    copied.head = to_hex((*last)->hash);
    copied.journal = journal;
  }
  return copied;
}

// Fills a folder with a copy of a station.
Result<Copied> copy_station(const fs::path& from, const fs::path& to) {
  auto store = SqliteStore::open_any_form(from / "records.db");
  if (!store) return tl::unexpected(store.error());
  // From here on this connection sees one instant, whatever the station writes.
  if (Status done = (*store)->connection().run("BEGIN"); !done) return tl::unexpected(done.error());
  if (Status whole = (*store)->quick_check(); !whole) return tl::unexpected(whole.error());
  auto copied = head_of(**store);
  if (!copied) return copied;
  if (Status done = copy_database((*store)->connection(), to / "records.db"); !done)
    return tl::unexpected(done.error());
  std::error_code ignored;
  if (fs::exists(from / "people.db", ignored)) {
    auto people = Connection::open(from / "people.db", Access::read);
    if (!people) return tl::unexpected(people.error());
    if (Status done = copy_database(**people, to / "people.db"); !done)
      return tl::unexpected(done.error());
  }
  // Nothing more is read from the database: copying pictures must not keep its log from ending.
  store->reset();
  // Pictures last: those that the entries name were on disk before them.
  const auto pictures = copy_pictures(from / "pictures", to / "pictures");
  if (!pictures) return tl::unexpected(pictures.error());
  copied->pictures = *pictures;
  return copied;
}

Status check_station(const fs::path& folder) {
  std::error_code ignored;
  if (fs::exists(folder / "records.db", ignored)) return {};
  return fail(Category::not_found, fmt::format("{}: there is no station here", folder.string()));
}

tl::unexpected<Error> damaged(const fs::path& backup, const std::string& what) {
  return fail(Category::damaged, fmt::format("{}: this backup is damaged, {}; take an older one",
                                             backup.string(), what));
}

// Brings the copy of a backup up to this program's form and reads all of it. The backup itself
// stays as it was made.
Status check_copy(const fs::path& copy, const fs::path& backup, const Progress& progress) {
  {
    const auto store = SqliteStore::open(copy / "records.db", Access::write);
    const bool disk = !store && (store.error().category == Category::io ||
                                 store.error().category == Category::busy);
    if (disk || (!store && store.error().category == Category::newer))
      return tl::unexpected(store.error());
    if (!store) return damaged(backup, store.error().message);
  }
  const auto verdict = verify(copy, progress);
  if (!verdict) return tl::unexpected(verdict.error());
  if (verdict->whole()) return {};
  const Fault& first = verdict->faults.front();
  return damaged(backup, fmt::format("entry {}: {}", first.seq, first.what));
}

}  // namespace

Result<Copied> backup(const fs::path& folder, const fs::path& target) {
  if (Status there = check_station(folder); !there) return tl::unexpected(there.error());
  std::error_code ignored;
  if (fs::exists(target, ignored))
    return fail(Category::refused, fmt::format("{}: is there already, and a backup never "
                                               "overwrites another",
                                               target.string()));
  NewFolder copy(target);
  if (Status done = copy.make(); !done) return tl::unexpected(done.error());
  auto copied = copy_station(folder, copy.part());
  if (!copied) return copied;
  if (Status done = copy.put_in_place(); !done) return tl::unexpected(done.error());
  return copied;
}

Result<Copied> restore(const fs::path& backup, const fs::path& folder, domain::Clock& clock,
                       const Progress& progress, const Refill& refill) {
  if (Status there = check_station(backup); !there) return tl::unexpected(there.error());
  std::error_code ignored;
  if (fs::exists(folder, ignored) && !fs::is_empty(folder, ignored))
    return fail(Category::refused,
                fmt::format("{}: is not empty; restore into a new folder", folder.string()));
  NewFolder station(folder);
  if (Status done = station.make(); !done) return tl::unexpected(done.error());
  auto copied = copy_station(backup, station.part());
  if (!copied) return copied;
  if (Status whole = check_copy(station.part(), backup, progress); !whole)
    return tl::unexpected(whole.error());
  if (refill) {
    auto store = SqliteStore::open(station.part() / "records.db", Access::write);
    if (!store) return tl::unexpected(store.error());
    const auto taken = refill(**store);
    if (!taken) return tl::unexpected(taken.error());
    const auto head = head_of(**store);
    if (!head) return head;
    copied->entries = head->entries;
    copied->head = head->head;
    copied->taken_back = *taken;
  }
  {
    const auto store = SqliteStore::open(station.part() / "records.db", Access::read);
    if (!store) return tl::unexpected(store.error());
    auto missing = missing_pictures(**store, station.part());
    if (!missing) return tl::unexpected(missing.error());
    copied->missing_pictures = *std::move(missing);
  }
  {
    auto records = Records::open(station.part());
    if (!records) return tl::unexpected(records.error());
    if (Status done = (*records)->start_new_journal(clock.read()); !done)
      return tl::unexpected(done.error());
    copied->journal = (*records)->journal();
  }
  if (Status done = station.put_in_place(); !done) return tl::unexpected(done.error());
  return copied;
}

}  // namespace lastlook::records
