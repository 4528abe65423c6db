// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/anchors.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "kiosk/records/audit.h"
#include "kiosk/records/replay.h"
#include "kiosk/sync/chain.h"

namespace lastlook::sync {
namespace {

using records::Entry;

// A journal as it stands at the station.
struct Local {
  Head sound;                   // the last entry up to which all is as a station writes it
  std::optional<Entry> broken;  // the one after it, where that is there
  std::int64_t last = 0;        // whatever is there
};

Result<Local> read_local(records::JournalStore& station, const std::string& journal) {
  Local local;
  const Status read = station.entries(journal, 1, [&](const Entry& entry) {
    local.last = entry.seq;
    if (local.broken) return true;
    Status good = check_follows(local.sound, entry);
    if (good) good = check_links({&entry, 1});
    if (good)
      local.sound = {entry.seq, entry.hash};
    else
      local.broken = entry;
    return true;
  });
  // What the damaged file does not give is missing: what the store says of it is the answer.
  if (!read && read.error().category != Category::damaged) return tl::unexpected(read.error());
  return local;
}

Result<bool> is_same(records::JournalStore& station, PlantStore& plant, const std::string& journal,
                     std::int64_t seq) {
  const auto here = station.entry(journal, seq);
  if (!here) return tl::unexpected(here.error());
  const auto there = plant.hash_at(journal, seq);
  if (!there) return tl::unexpected(there.error());
  return *here && (*here)->hash == *there;
}

// Of sound entries, each of which holds the hash of the one before, all after one that differs do.
Result<std::int64_t> first_other(records::JournalStore& station, PlantStore& plant,
                                 const std::string& journal, std::int64_t other) {
  std::int64_t same = 0;
  while (other - same > 1) {
    const std::int64_t middle = same + (other - same) / 2;
    const auto is = is_same(station, plant, journal, middle);
    if (!is) return tl::unexpected(is.error());
    (*is ? same : other) = middle;
  }
  return other;
}

Result<Difference> difference_at(PlantStore& plant, const std::string& journal, std::int64_t seq,
                                 const Entry* here) {
  const auto there = plant.hash_at(journal, seq);
  if (!there) return tl::unexpected(there.error());
  const std::string mark = here && here->seq == seq ? fingerprint(records::hash_of(*here)) : "";
  return Difference{seq, mark, fingerprint(*there)};
}

Result<Anchored> compare_one(records::JournalStore& station, PlantStore& plant,
                             const std::string& journal, bool is_followed) {
  const auto head = plant.head(journal);
  if (!head) return tl::unexpected(head.error());
  const auto read = read_local(station, journal);
  if (!read) return tl::unexpected(read.error());
  const Local& local = *read;
  Anchored result{journal, local.sound.seq, head->seq, 0, 0, {}, {}};
  result.not_sent = std::max<std::int64_t>(0, local.last - head->seq);
  const std::int64_t common = std::min(local.sound.seq, head->seq);
  const auto same = common == 0 ? Result<bool>(true) : is_same(station, plant, journal, common);
  if (!same) return tl::unexpected(same.error());
  std::int64_t seq = 0;
  std::optional<Entry> here = local.broken;
  if (!*same) {
    const auto first = first_other(station, plant, journal, common);
    if (!first) return tl::unexpected(first.error());
    seq = *first;
    const auto entry = station.entry(journal, seq);
    if (!entry) return tl::unexpected(entry.error());
    here = *entry;
  } else if (head->seq > local.sound.seq && is_followed && !local.broken) {
    result.lost = head->seq - local.sound.seq;
  } else if (head->seq > local.sound.seq) {
    seq = local.sound.seq + 1;
  }
  if (seq == 0) return result;
  const auto differs = difference_at(plant, journal, seq, here ? &*here : nullptr);
  if (!differs) return tl::unexpected(differs.error());
  result.differs = *differs;
  return result;
}

// Why the store would refuse the beginning of a journal; empty: it would not.
Result<std::string> why_not_taken(records::JournalStore& station, PlantStore& plant,
                                  const std::string& journal) {
  const auto first = station.entry(journal, 1);
  if (!first) return tl::unexpected(first.error());
  if (!*first) return std::string();  // what is wrong here is the station's own to tell
  const Status taken = plant.would_take({&**first, 1});
  if (taken) return std::string();
  if (taken.error().category != Category::refused) return tl::unexpected(taken.error());
  return taken.error().message;
}

// Takes back entries of one journal from `from` to `to`.
Result<std::int64_t> take_entries(records::JournalStore& station, PlantStore& plant,
                                  const std::string& journal, Head at, std::int64_t to) {
  const std::int64_t before = at.seq;
  if (at.seq >= to) return 0;
  Status done;
  const Status read = plant.entries(journal, at.seq + 1, [&](const Entry& entry) {
    done = check_follows(at, entry);
    if (done) done = check_links({&entry, 1});
    if (done) done = station.append(entry);
    if (done) done = records::project_again(station, entry);
    if (done) at = {entry.seq, entry.hash};
    return done && at.seq < to;
  });
  if (!read) return tl::unexpected(read.error());
  if (!done) return tl::unexpected(done.error());
  return at.seq - before;
}

// Brings one journal up to where the store, or the journal that follows it there, has it.
Result<std::int64_t> catch_up(records::JournalStore& station, PlantStore& plant,
                              const KnownJournal& known, std::int64_t end) {
  const auto last = station.last_entry(known.journal);
  if (!last) return tl::unexpected(last.error());
  const Head at = *last ? Head{(*last)->seq, (*last)->hash} : Head{};
  if (at.seq > end)
    return fail(
        Category::refused,
        fmt::format("journal {}: another took over after entry {}, and this copy goes on to "
                    "entry {}; take an older backup",
                    known.journal.substr(0, 12), end, at.seq));
  if (Status same = check_same(plant, known.journal, at); !same)
    return tl::unexpected(same.error());
  return take_entries(station, plant, known.journal, at, end);
}

Result<std::int64_t> take_all(records::JournalStore& station, PlantStore& plant) {
  auto ours = records::journals_in_order(station);
  if (!ours) return tl::unexpected(ours.error());
  const auto known = plant.journals();
  if (!known) return tl::unexpected(known.error());
  const std::size_t n_here = ours->size();  // those that follow in the store are added
  std::int64_t taken = 0;
  for (std::size_t i = 0; i < ours->size(); ++i) {
    const auto one = std::ranges::find(*known, (*ours)[i], &KnownJournal::journal);
    if (one == known->end()) continue;  // nothing of it was sent
    for (const KnownJournal& next : *known)
      if (next.after_journal == one->journal && std::ranges::count(*ours, next.journal) == 0)
        ours->push_back(next.journal);
    // A station that went on from an older entry, in a journal of its own, has its own story.
    if (i + 1 < n_here) continue;
    const auto went = catch_up(station, plant, *one, end_of(*one, *known));
    if (!went) return went;
    taken += *went;
  }
  return taken;
}

}  // namespace

Result<std::vector<Anchored>> compare(records::JournalStore& station, PlantStore& plant) {
  const auto journals = records::journals_in_order(station);
  if (!journals) return tl::unexpected(journals.error());
  std::vector<Anchored> all;
  for (const std::string& journal : *journals) {
    auto one = compare_one(station, plant, journal, journal != journals->back());
    if (!one) return tl::unexpected(one.error());
    // Those that follow one that was never sent are judged when they are sent after it.
    if (one->store_seq == 0 && (all.empty() || all.back().store_seq > 0)) {
      auto refused = why_not_taken(station, plant, journal);
      if (!refused) return tl::unexpected(refused.error());
      one->not_taken = *std::move(refused);
    }
    all.push_back(*std::move(one));
  }
  return all;
}

Result<std::int64_t> take_back(records::JournalStore& station, PlantStore& plant) {
  if (Status begun = station.begin(); !begun) return tl::unexpected(begun.error());
  auto taken = take_all(station, plant);
  Status done = taken ? station.commit() : tl::unexpected(taken.error());
  if (done) return taken;
  station.rollback();
  return tl::unexpected(done.error());
}

}  // namespace lastlook::sync
