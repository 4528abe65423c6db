// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/project_plant.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <optional>

#include "kiosk/records/durable.h"
#include "kiosk/records/entry_line.h"
#include "kiosk/records/postgres_store.h"
#include "kiosk/records/replay.h"
#include "kiosk/records/rows_in_hand.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/sync/chain.h"
#include "kiosk/sync/network_share.h"

namespace lastlook::sync {
namespace {

using records::Entry;
using records::StationStateRow;

constexpr std::string_view file = "sqlite:", folder = "folder:";

template <class Store>
Result<std::unique_ptr<records::Store>> as_store(Result<std::unique_ptr<Store>> opened) {
  if (!opened) return tl::unexpected(opened.error());
  return std::unique_ptr<records::Store>(*std::move(opened));
}

Result<std::unique_ptr<records::SqliteStore>> open_file(const std::filesystem::path& store,
                                                        records::Access access) {
  std::error_code ignored;
  if (!std::filesystem::exists(store, ignored))
    return fail(Category::not_found, fmt::format("{}: no such file", store.string()));
  const std::filesystem::path rows = store.string() + ".rows";
  if (access == records::Access::read && !std::filesystem::exists(rows, ignored))
    return fail(Category::not_found,
                fmt::format("{}: nothing was projected in this store yet; see 'lastlook plant run'",
                            store.string()));
  if (Status local = check_local(rows); !local) return tl::unexpected(local.error());
  if (!std::filesystem::exists(rows, ignored))
    if (Status made = records::make_private(rows); !made) return tl::unexpected(made.error());
  auto opened = records::SqliteStore::open_rows(rows, access);
  if (!opened || access != records::Access::read) return opened;
  // All that is asked sees one instant.
  if (Status begun = (*opened)->connection().run("BEGIN"); !begun)
    return tl::unexpected(begun.error());
  return opened;
}

// How far a journal's entries are to be projected.
struct Aim {
  KnownJournal journal;
  std::int64_t end = 0;  // the last entry that belongs in the rows
};

// In an order in which each comes after the one that it follows.
std::vector<Aim> aims_of(const std::vector<KnownJournal>& journals) {
  std::vector<Aim> aims;
  for (const KnownJournal& one : journals) aims.push_back({one, end_of(one, journals)});
  const auto depth = [&](const Aim& aim) {
    std::size_t n = 0;
    for (std::string before = aim.journal.after_journal; !before.empty() && n < aims.size(); ++n) {
      const auto found = std::ranges::find(journals, before, &KnownJournal::journal);
      before = found == journals.end() ? std::string() : found->after_journal;
    }
    return n;
  };
  std::ranges::stable_sort(aims, {}, depth);
  return aims;
}

// What an entry says cannot be projected; anything else is the store's trouble and ends the walk.
bool is_of_the_entry(const Error& error) {
  return error.category == Category::refused || error.category == Category::damaged ||
         error.category == Category::newer;
}

// One walk over what has arrived.
class Walk {
 public:
  Walk(PlantStore& plant, records::Store& rows, const Projecting& projecting, std::int64_t batch)
      : plant_(plant), rows_(rows), projecting_(projecting), batch_(batch) {
    if (auto* server = dynamic_cast<records::PostgresStore*>(&rows)) hand_.emplace(*server);
  }

  Result<Projected> run(bool again) {
    const auto journals = plant_.journals();
    if (!journals) return tl::unexpected(journals.error());
    const std::vector<Aim> aims = aims_of(*journals);
    const auto lost = any_lost(aims);
    if (!lost) return tl::unexpected(lost.error());
    Status done = again || *lost ? all_in_one(aims) : each(aims);
    if (done) done = keep_stops();
    if (!done) return tl::unexpected(done.error());
    return std::move(projected_);
  }

 private:
  // A server is written many rows at once. Which entry made one that it cannot hold, or that
  // another contradicts, is found out row by row.
  bool row_by_row() const { return !hand_ || one_stops_; }
  records::Store& to() { return row_by_row() ? rows_ : *hand_; }

  // Whether a batch is to be done again because something in it was refused, and notes it.
  bool goes_row_by_row(bool whole, const Status& done) {
    const bool refused = done ? !whole : is_of_the_entry(done.error());
    if (row_by_row() || !refused) return false;
    one_stops_ = true;
    return true;
  }

  Result<Head> state_of(const std::string& journal) {
    const auto row = records::find<StationStateRow>(to(), {journal});
    if (!row) return tl::unexpected(row.error());
    if (!*row) return Head{};
    return Head{(*row)->seq, records::hash_from_hex((*row)->hash).value_or(records::Hash{})};
  }

  // Whether an entry is in the rows that its station lost, or that the store does not have (any
  // more: another file took its place). Counts what is to be done.
  Result<bool> any_lost(const std::vector<Aim>& aims) {
    const auto states = records::rows<StationStateRow>(rows_, {});
    if (!states) return tl::unexpected(states.error());
    std::map<std::string, std::int64_t> projected;
    for (const StationStateRow& state : *states) projected[state.journal] = state.seq;
    bool lost = false;
    for (const Aim& aim : aims) {
      const std::int64_t seq = projected[aim.journal.journal];
      lost = lost || seq > aim.end;
      waiting_ += std::max<std::int64_t>(0, aim.end - seq);
    }
    return lost || projected.size() > aims.size();
  }

  // Batch by batch, a transaction each.
  Status each(const std::vector<Aim>& aims) {
    for (const Aim& aim : aims) {
      bool goes_on = true;
      while (goes_on) {
        Status done = to().begin();
        if (!done) return done;
        const auto went = batch_of(aim, batch_);
        done = went ? Status() : tl::unexpected(went.error());
        const bool keep = went && went->whole;
        if (keep) done = to().commit();
        if (!keep || !done) to().rollback();
        if (went && goes_row_by_row(keep, done)) continue;
        if (!done) return done;
        if (keep) note(went->entries);
        one_stops_ = false;
        // After one that was not whole the same again, up to the entry that stopped it.
        goes_on = !keep || went->entries == batch_;
      }
    }
    return {};
  }

  // All in one transaction, from empty rows. An entry that cannot be projected may have left some
  // rows: then once more, and it stops before that entry.
  Status all_in_one(const std::vector<Aim>& aims) {
    while (true) {
      Status done = to().begin();
      bool whole = true;
      for (const records::Table* table : records::all_tables())
        if (done) done = to().clear(*table);
      projected_.entries = waiting_ = 0;
      for (const Aim& aim : aims) waiting_ += stop_of(aim);
      for (const Aim& aim : aims) {
        if (!done || !whole) break;
        const auto went = batch_of(aim, std::numeric_limits<std::int64_t>::max());
        if (!went) done = tl::unexpected(went.error());
        whole = went && went->whole;
        if (whole) note(went->entries);
      }
      if (done && whole) done = to().commit();
      if (done && whole) return {};
      to().rollback();
      if (goes_row_by_row(whole, done)) continue;
      if (!done) return done;
    }
  }

  struct Went {
    std::int64_t entries = 0;
    bool whole = true;  // else the last one may have left some of its rows
  };

  Result<Went> batch_of(const Aim& aim, std::int64_t most) {
    const KnownJournal& journal = aim.journal;
    auto at = state_of(journal.journal);
    if (!at) return tl::unexpected(at.error());
    if (!journal.after_journal.empty()) {
      const auto before = state_of(journal.after_journal);
      if (!before) return tl::unexpected(before.error());
      if (before->seq < journal.after_seq && at->seq < stop_of(aim))
        stop(aim, at->seq + 1,
             fmt::format("it goes on after entry {} of journal {}, which did not get so far",
                         journal.after_seq, journal.after_journal.substr(0, 12)));
    }
    Went went;
    if (at->seq >= stop_of(aim)) return went;
    Status broken;
    const Status read = plant_.entries(journal.journal, at->seq + 1, [&](const Entry& entry) {
      Status good = check_follows(*at, entry);
      if (good) good = check_links({&entry, 1});
      if (good) good = records::project_again(to(), entry);
      if (!good && !is_of_the_entry(good.error()))
        broken = good;
      else if (!good && row_by_row())
        stop(aim, entry.seq, good.error().message);
      went.whole = good.has_value();
      if (!good) return false;
      *at = {entry.seq, entry.hash};
      ++went.entries;
      return went.entries < most && entry.seq < stop_of(aim);
    });
    if (!read) return tl::unexpected(read.error());
    if (!broken) return tl::unexpected(broken.error());
    return went;
  }

  // The entry after which a journal ends, or stopped.
  std::int64_t stop_of(const Aim& aim) const {
    const auto& all = projected_.stopped;
    const auto stopped = std::ranges::find(all, aim.journal.journal, &records::StoppedRow::journal);
    return stopped == all.end() ? aim.end : stopped->seq - 1;
  }

  void stop(const Aim& aim, std::int64_t seq, const std::string& why) {
    projected_.stopped.push_back(
        {aim.journal.journal, aim.journal.station, seq, aim.end - seq + 1, why});
  }

  // What stopped is in the rows, for whoever asks how far they are.
  Status keep_stops() {
    std::ranges::sort(projected_.stopped, {}, &records::StoppedRow::journal);
    const auto known = records::rows<records::StoppedRow>(rows_, {});
    if (!known) return tl::unexpected(known.error());
    if (*known == projected_.stopped) return {};
    Status done = rows_.begin();
    if (!done) return done;
    done = rows_.clear(records::table_of<records::StoppedRow>());
    for (const records::StoppedRow& one : projected_.stopped)
      if (done) done = records::put(rows_, one);
    if (done) done = rows_.commit();
    if (!done) rows_.rollback();
    return done;
  }

  void note(std::int64_t entries) {
    projected_.entries += entries;
    if (projecting_ && entries > 0) projecting_(projected_.entries, waiting_);
  }

  PlantStore& plant_;
  records::Store& rows_;
  std::optional<records::RowsInHand> hand_;  // of a server
  bool one_stops_ = false;                   // an entry of the batch
  const Projecting& projecting_;
  const std::int64_t batch_;
  std::int64_t waiting_ = 0;
  Projected projected_;
};

}  // namespace

Result<std::unique_ptr<records::Store>> open_rows(const std::string& address,
                                                  records::Access access) {
  if (Status known = check_address(address); !known) return tl::unexpected(known.error());
  if (address.starts_with(folder))
    return fail(
        Category::bad_input,
        fmt::format("{}: a folder holds journals and no rows; 'lastlook plant gather' takes "
                    "them into a store at sqlite:FILE or postgresql://…",
                    address));
  if (address.starts_with(file)) return as_store(open_file(address.substr(file.size()), access));
  return as_store(records::PostgresStore::open(address, access));
}

Result<Projected> project_new(PlantStore& plant, records::Store& rows, const Projecting& projecting,
                              std::int64_t batch) {
  return Walk(plant, rows, projecting, batch).run(false);
}

Result<Projected> project_all(PlantStore& plant, records::Store& rows,
                              const Projecting& projecting) {
  return Walk(plant, rows, projecting, 0).run(true);
}

}  // namespace lastlook::sync
