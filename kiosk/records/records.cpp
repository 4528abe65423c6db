// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/records.h"

#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <utility>

#include "kiosk/domain/calendar.h"
#include "kiosk/records/folder_lock.h"
#include "kiosk/records/projector.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/records/tables.h"
#include "kiosk/text/master_json.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;
using domain::Happening;

// Wall time and the forward clock may drift apart by this much between two entries unremarked.
constexpr std::int64_t clock_jump_us = 5'000'000;

constexpr std::uintmax_t small_file = 64u << 20;  // checked in about 0.1 s

constexpr const char* file_name = "records.db";

std::string new_journal_id() {
  std::array<unsigned char, 16> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  std::array<char, 33> hex{};
  sodium_bin2hex(hex.data(), hex.size(), bytes.data(), bytes.size());
  return hex.data();
}

std::optional<std::int64_t> clock_jump(const domain::Reading& before, const domain::Reading& now) {
  if (before.boot.empty() || before.boot != now.boot) return std::nullopt;
  const auto by = (now.wall_us - before.wall_us) - (now.mono_us - before.mono_us);
  if (std::abs(by) < clock_jump_us) return std::nullopt;
  return by;
}

// What an append changes in memory; put back when it fails.
struct Head {
  std::int64_t seq = 0;
  Hash hash{};
  domain::Reading reading;  // of the last entry; no boot: none is known
  domain::Master master;
};

}  // namespace

struct Records::Inside {
  fs::path folder;
  std::unique_ptr<FolderLock> lock;  // before the store: given back after it is closed
  std::unique_ptr<SqliteStore> store;
  std::string journal, station;
  Head head;
  bool in_bulk = false;
  Head before_bulk;
  std::optional<Error> bulk_failed;
  bool in_doubt = false;
  std::optional<Error> damage;  // found by who checked the file

  Status load();
  Status append_all(std::span<const Happening> happenings, const std::string& actor,
                    const domain::Reading& now);
  Status append_one(const Happening& happening, const std::string& actor,
                    const domain::Reading& now);
};

namespace {

Status no_station(const fs::path& folder) {
  return fail(Category::not_found, fmt::format("{}: there is no station here", folder.string()));
}

}  // namespace

// The journal written last, its head and the master data in force.
Status Records::Inside::load() {
  const auto states = rows<StationStateRow>(*store, {});
  if (!states) return tl::unexpected(states.error());
  const auto newest = std::ranges::max_element(*states, {}, &StationStateRow::generation);
  if (newest == states->end()) return no_station(folder);
  journal = newest->journal;
  station = newest->station;
  const auto last = store->last_entry(journal);
  if (!last) return tl::unexpected(last.error());
  if (!*last || (*last)->seq != newest->seq || to_hex((*last)->hash) != newest->hash)
    return fail(Category::damaged,
                fmt::format("{}: the journal should end at entry {} and does not; see what "
                            "'lastlook records verify' says, then restore the newest backup",
                            folder.string(), newest->seq));
  head.seq = newest->seq;
  head.hash = (*last)->hash;
  const auto stamp = read_stamp((*last)->stamp);
  if (!stamp) return tl::unexpected(stamp.error());
  head.reading = stamp->reading;
  if (newest->master_revision == 0) return {};
  const auto row = find<MasterRow>(*store, {station, newest->master_revision});
  if (!row) return tl::unexpected(row.error());
  if (!*row)
    return fail(Category::damaged, fmt::format("{}: master data revision {} is missing",
                                               folder.string(), newest->master_revision));
  auto master = text::read_master((*row)->document);
  if (!master) return tl::unexpected(master.error());
  head.master = *std::move(master);
  return {};
}

Status Records::Inside::append_one(const Happening& happening, const std::string& actor,
                                   const domain::Reading& now) {
  const auto when = domain::shift_of(head.master, now);
  const Stamp stamp{now, head.master.revision, when.production_date, when.shift, when.quarter};
  Entry entry;
  entry.journal = journal;
  entry.seq = head.seq + 1;
  entry.stamp = write_stamp(stamp);
  entry.actor = actor;
  entry.kind = domain::kind_of(happening);
  entry.version = newest_version(happening);
  entry.body = encode(happening);
  entry.previous = head.hash;
  entry.hash = hash_of(entry);
  if (Status done = store->append(entry); !done) return done;
  if (Status done = project(*store, entry, stamp, happening); !done) return done;
  if (const auto* adopted = std::get_if<domain::MasterAdopted>(&happening)) {
    auto master = text::read_master(adopted->document);
    if (!master) return tl::unexpected(master.error());
    head.master = *std::move(master);
  }
  head.seq = entry.seq;
  head.hash = entry.hash;
  head.reading = now;
  return {};
}

Status Records::Inside::append_all(std::span<const Happening> happenings, const std::string& actor,
                                   const domain::Reading& now) {
  if (const auto by = clock_jump(head.reading, now)) {
    if (Status done = append_one(domain::ClockJumped{*by}, "station", now); !done) return done;
  }
  for (const Happening& happening : happenings) {
    if (Status done = append_one(happening, actor, now); !done) return done;
  }
  return {};
}

Records::Records(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}

Records::~Records() {
  if (inside_->in_bulk) inside_->store->rollback();
}

Result<std::unique_ptr<Records>> Records::create(const fs::path& folder, const std::string& station,
                                                 domain::Clock& clock) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error)
    return fail(Category::io,
                fmt::format("{}: cannot be made ({})", folder.string(), error.message()));
  auto inside = std::make_unique<Inside>();
  inside->folder = folder;
  auto lock = FolderLock::take(folder);
  if (!lock) return tl::unexpected(lock.error());
  inside->lock = *std::move(lock);
  auto store = SqliteStore::open(folder / file_name, Access::create);
  if (!store) return tl::unexpected(store.error());
  inside->store = *std::move(store);
  const auto journals = inside->store->journals();
  if (!journals) return tl::unexpected(journals.error());
  if (!journals->empty())
    return fail(Category::refused,
                fmt::format("{}: there is a station here already", folder.string()));
  inside->journal = new_journal_id();
  inside->station = station;
  std::unique_ptr<Records> records(new Records(std::move(inside)));
  const Happening started = domain::JournalStarted{station, LASTLOOK_VERSION, "", 0, ""};
  if (Status done = records->append({&started, 1}, "station", clock.read()); !done)
    return tl::unexpected(done.error());
  return records;
}

Result<std::unique_ptr<Records>> Records::open(const fs::path& folder, Check check) {
  std::error_code ignored;
  if (!fs::exists(folder / file_name, ignored)) return tl::unexpected(no_station(folder).error());
  auto inside = std::make_unique<Inside>();
  inside->folder = folder;
  auto lock = FolderLock::take(folder);
  if (!lock) return tl::unexpected(lock.error());
  inside->lock = *std::move(lock);
  auto store = SqliteStore::open(folder / file_name, Access::write);
  if (!store) return tl::unexpected(store.error());
  inside->store = *std::move(store);
  // Always when it takes no time that anyone notices, and after an end that may have hurt the file.
  const bool is_small = fs::file_size(folder / file_name, ignored) < small_file;
  inside->in_doubt = inside->lock->after_unclean_end();
  inside->lock->set_in_doubt(inside->in_doubt);
  if (is_small || (inside->in_doubt && check == Check::first)) {
    if (Status whole = inside->store->quick_check(); !whole) return tl::unexpected(whole.error());
    inside->in_doubt = false;
    inside->lock->set_in_doubt(false);
  }
  if (Status done = inside->load(); !done) return tl::unexpected(done.error());
  return std::unique_ptr<Records>(new Records(std::move(inside)));
}

Result<std::unique_ptr<Records>> Records::open_to_read(const fs::path& folder) {
  std::error_code ignored;
  if (!fs::exists(folder / file_name, ignored)) return tl::unexpected(no_station(folder).error());
  auto inside = std::make_unique<Inside>();
  inside->folder = folder;
  auto store = SqliteStore::open(folder / file_name, Access::read);
  if (!store) return tl::unexpected(store.error());
  inside->store = *std::move(store);
  // As of one instant: the writer beside it may append between two questions, and the end of the
  // journal would look lost.
  Connection& connection = inside->store->connection();
  Status done = connection.run("BEGIN");
  if (done) done = inside->load();
  if (done) done = connection.run("COMMIT");
  if (!done) return tl::unexpected(done.error());
  return std::unique_ptr<Records>(new Records(std::move(inside)));
}

Status Records::append(std::span<const Happening> happenings, const std::string& actor,
                       const domain::Reading& now) {
  Inside& in = *inside_;
  if (!in.lock) return fail(Category::refused, "these records are open for reading only");
  if (in.damage) return tl::unexpected(*in.damage);
  if (in.bulk_failed) return tl::unexpected(*in.bulk_failed);
  if (in.in_bulk) {
    Status done = in.append_all(happenings, actor, now);
    if (!done) in.bulk_failed = done.error();
    return done;
  }
  const Head before = in.head;
  if (Status done = in.store->begin(); !done) return done;
  Status done = in.append_all(happenings, actor, now);
  if (done) done = in.store->commit();
  if (done) return done;
  in.store->rollback();
  in.head = before;
  return done;
}

Status Records::start_new_journal(const domain::Reading& now) {
  Inside& in = *inside_;
  const std::string before = in.journal;
  const Head head_before = in.head;
  const Happening started = domain::JournalStarted{in.station, LASTLOOK_VERSION, before,
                                                   in.head.seq, to_hex(in.head.hash)};
  in.journal = new_journal_id();
  in.head.seq = 0;
  in.head.hash = Hash{};
  in.head.reading = now;  // the old journal's clock may have been another machine's
  Status done = append({&started, 1}, "station", now);
  if (done) return done;
  in.journal = before;
  in.head = head_before;
  return done;
}

bool Records::is_in_doubt() const {
  return inside_->in_doubt;
}

void Records::checked(const Status& whole) {
  if (!whole) {
    inside_->damage = whole.error();
    return;
  }
  inside_->in_doubt = false;
  inside_->lock->set_in_doubt(false);
}

Status check_file(const fs::path& folder) {
  const auto store = SqliteStore::open(folder / file_name, Access::read);
  if (!store) return tl::unexpected(store.error());
  return (*store)->quick_check();
}

Status Records::begin_bulk() {
  Inside& in = *inside_;
  if (!in.lock) return fail(Category::refused, "these records are open for reading only");
  if (Status done = in.store->begin(); !done) return done;
  in.in_bulk = true;
  in.before_bulk = in.head;
  in.bulk_failed.reset();
  return {};
}

Status Records::end_bulk() {
  Inside& in = *inside_;
  if (!in.in_bulk) return fail(Category::refused, "no group of appends was begun");
  in.in_bulk = false;
  Status done = in.bulk_failed ? Status(tl::unexpected(*std::exchange(in.bulk_failed, {})))
                               : in.store->commit();
  if (done) return done;
  in.store->rollback();
  in.head = in.before_bulk;
  return done;
}

const domain::Master& Records::master() const {
  return inside_->head.master;
}
const std::string& Records::station() const {
  return inside_->station;
}
const std::string& Records::journal() const {
  return inside_->journal;
}
const fs::path& Records::folder() const {
  return inside_->folder;
}
JournalStore& Records::store() {
  return *inside_->store;
}

}  // namespace lastlook::records
