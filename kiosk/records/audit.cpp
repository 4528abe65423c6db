// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/audit.h"

#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>
#include <map>
#include <set>

#include "kiosk/records/pictures.h"
#include "kiosk/records/replay.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/records/tables.h"

namespace lastlook::records {
namespace {

Result<Hash> hash_of_rows(Store& store, const Table& table) {
  crypto_generichash_state state;
  crypto_generichash_init(&state, nullptr, 0, sizeof(Hash));
  const Status done = store.rows(table, {}, [&](const Row& row) {
    const std::string line = line_of(table, row) + '\n';
    crypto_generichash_update(&state, reinterpret_cast<const unsigned char*>(line.data()),
                              line.size());
    return true;
  });
  if (!done) return tl::unexpected(done.error());
  Hash hash{};
  crypto_generichash_final(&state, hash.data(), hash.size());
  return hash;
}

bool is_there(const Pictures& pictures, const std::string& picture) {
  std::error_code ignored;
  return std::filesystem::exists(pictures.path_of(picture), ignored);
}

// What was taken away to make room is not missed, until an entry after that names it again.
void forget_pruned(const domain::PicturesPruned& pruned, std::set<std::string>& checked,
                   std::vector<MissingPicture>& missing) {
  const std::set<std::string_view> gone(pruned.pictures.begin(), pruned.pictures.end());
  for (const std::string& picture : pruned.pictures) checked.erase(picture);
  std::erase_if(missing, [&](const MissingPicture& one) { return gone.contains(one.picture); });
}

// One walk over everything in a folder.
class Audit {
 public:
  Audit(const std::filesystem::path& folder, SqliteStore& store, SqliteStore& again,
        const Progress& progress)
      : store_(store), again_(again), pictures_(folder / "pictures"), progress_(progress) {}

  Verdict run() {
    read_heads();
    const auto journals = journals_in_order(store_);
    if (!journals) {
      note({}, 0, journals.error().message);
    } else {
      for (const std::string& journal : *journals) walk(journal);
      for (const auto& [journal, head] : heads_)
        if (std::ranges::find(*journals, journal) == journals->end())
          note(journal, 1, "the journal is missing");
    }
    verdict_.older_form = store_.older_form();
    if (verdict_.whole() && verdict_.older_form == 0) compare_rows();
    if (Status whole = store_.full_check(); !whole) note({}, 0, whole.error().message);
    return std::move(verdict_);
  }

 private:
  void note(const std::string& journal, std::int64_t seq, std::string what) {
    if (verdict_.faults.size() < max_faults)
      verdict_.faults.push_back({journal, seq, std::move(what)});
  }

  // In the columns that every form has.
  void read_heads() {
    auto states = store_.connection().prepare("SELECT journal, seq, hash FROM station_state");
    if (!states) return note({}, 0, states.error().message);
    const Reset reset(*states);
    while (true) {
      const auto row = states->step();
      if (!row) return note({}, 0, row.error().message);
      if (!*row) return;
      heads_[states->text(0)] = {states->integer(1), states->text(2)};
      all_ += states->integer(1);
    }
  }

  void walk(const std::string& journal) {
    previous_ = Hash{};
    next_ = 1;
    const Status read = store_.entries(journal, 1, [&](const Entry& entry) {
      check(journal, entry);
      ++verdict_.entries;
      if (progress_ && verdict_.entries % progress_step == 0) progress_(verdict_.entries, all_);
      return verdict_.faults.size() < max_faults;
    });
    if (!read) note(journal, next_, read.error().message);
    verdict_.head = to_hex(previous_);
    const auto head = heads_.find(journal);
    if (head == heads_.end()) {
      note(journal, next_, "nothing says where this journal ends");
    } else if (head->second.seq >= next_) {
      note(journal, next_,
           fmt::format("the end of the journal is missing, entries {} to {}", next_,
                       head->second.seq));
    } else if (head->second.seq != next_ - 1 || head->second.hash != verdict_.head) {
      note(journal, next_ - 1, "this is not the entry that was written last");
    }
  }

  void check(const std::string& journal, const Entry& entry) {
    if (entry.seq != next_)
      note(journal, next_, fmt::format("the entry is missing; entry {} follows", entry.seq));
    else if (entry.previous != previous_)
      note(journal, entry.seq, "it does not follow the entry before it");
    if (hash_of(entry) != entry.hash)
      note(journal, entry.seq, "its bytes are not those that were written");
    else
      check_meaning(journal, entry);
    previous_ = entry.hash;
    next_ = entry.seq + 1;
  }

  void check_meaning(const std::string& journal, const Entry& entry) {
    const auto happening = decode(entry);
    if (!happening) return note(journal, entry.seq, happening.error().message);
    if (const auto* start = std::get_if<domain::JournalStarted>(&*happening))
      check_predecessor(journal, *start);
    for (const std::string& picture : pictures_of(*happening)) check_picture(entry, picture);
    if (const auto* pruned = std::get_if<domain::PicturesPruned>(&*happening))
      forget_pruned(*pruned, checked_, verdict_.missing_pictures);
    if (!verdict_.whole()) return;
    if (Status done = project_again(again_, entry); !done)
      note(journal, entry.seq, done.error().message);
  }

  void check_predecessor(const std::string& journal, const domain::JournalStarted& start) {
    if (start.after_journal.empty()) return;
    const auto before = store_.last_entry(start.after_journal);
    if (!before || !*before || (*before)->seq != start.after_seq ||
        to_hex((*before)->hash) != start.after_hash)
      note(journal, 1,
           fmt::format("it follows entry {} of journal {}, which is not there as it was",
                       start.after_seq, start.after_journal));
  }

  void check_picture(const Entry& entry, const std::string& picture) {
    if (!checked_.insert(picture).second) return;
    if (!is_there(pictures_, picture))
      return verdict_.missing_pictures.push_back({entry.journal, entry.seq, picture});
    const auto whole = pictures_.is_whole(picture);
    if (!whole)
      note(entry.journal, entry.seq, whole.error().message);
    else if (!*whole)
      note(entry.journal, entry.seq, fmt::format("its picture {} is altered", picture));
  }

  void compare_rows() {
    for (const Table* table : all_tables()) {
      const auto stored = hash_of_rows(store_, *table);
      const auto made = hash_of_rows(again_, *table);
      if (!stored)
        note({}, 0, stored.error().message);
      else if (!made)
        note({}, 0, made.error().message);
      else if (*stored != *made)
        note({}, 0,
             fmt::format("the rows of {} are not those that the journal makes; 'lastlook records "
                         "rebuild' makes them again",
                         table->name));
    }
  }

  SqliteStore& store_;
  SqliteStore& again_;  // the rows as the journal makes them
  Pictures pictures_;
  const Progress& progress_;
  struct End {
    std::int64_t seq = 0;
    std::string hash;  // hex
  };
  std::map<std::string, End> heads_;  // where each journal was last written
  std::set<std::string> checked_;     // pictures
  std::int64_t all_ = 0, next_ = 1;
  Hash previous_{};
  Verdict verdict_;
};

}  // namespace

Result<Verdict> verify(const std::filesystem::path& folder, const Progress& progress) {
  std::error_code ignored;
  const auto file = folder / "records.db";
  if (!std::filesystem::exists(file, ignored))
    return fail(Category::not_found, fmt::format("{}: there is no station here", folder.string()));
  auto store = SqliteStore::open_any_form(file);
  if (!store && store.error().category == Category::damaged) {
    Verdict unread;
    unread.faults.push_back({"", 0, store.error().message});
    return unread;
  }
  if (!store) return tl::unexpected(store.error());
  // A file of its own that vanishes when it is closed.
  auto again = SqliteStore::open("", Access::create);
  if (!again) return tl::unexpected(again.error());
  for (SqliteStore* one : {store->get(), again->get()}) {
    if (Status done = one->connection().run("BEGIN"); !done) return tl::unexpected(done.error());
  }
  return Audit(folder, **store, **again, progress).run();
}

Result<std::vector<MissingPicture>> missing_pictures(JournalStore& store,
                                                     const std::filesystem::path& folder) {
  const Pictures pictures(folder / "pictures");
  const auto journals = journals_in_order(store);
  if (!journals) return tl::unexpected(journals.error());
  std::vector<MissingPicture> missing;
  std::set<std::string> checked;
  for (const std::string& journal : *journals) {
    Status decoded;
    const Status read = store.entries(journal, 1, [&](const Entry& entry) {
      const auto happening = decode(entry);
      if (!happening) decoded = tl::unexpected(happening.error());
      if (!happening) return false;
      for (const std::string& picture : pictures_of(*happening))
        if (checked.insert(picture).second && !is_there(pictures, picture))
          missing.push_back({journal, entry.seq, picture});
      if (const auto* pruned = std::get_if<domain::PicturesPruned>(&*happening))
        forget_pruned(*pruned, checked, missing);
      return true;
    });
    if (!read) return tl::unexpected(read.error());
    if (!decoded) return tl::unexpected(decoded.error());
  }
  return missing;
}

}  // namespace lastlook::records
