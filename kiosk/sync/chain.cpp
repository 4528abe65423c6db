// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/chain.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::sync {

using records::Entry;

std::string fingerprint(const records::Hash& hash) {
  return records::to_hex(hash).substr(0, 12);
}

Status check_links(std::span<const Entry> entries) {
  const Entry* before = nullptr;
  for (const Entry& entry : entries) {
    const auto wrong = [&](const char* what) {
      return fail(Category::refused,
                  fmt::format("journal {}, entry {}: {}", entry.journal, entry.seq, what));
    };
    if (records::hash_of(entry) != entry.hash) return wrong("its hash is not that of its bytes");
    if (before && (entry.journal != before->journal || entry.seq != before->seq + 1))
      return wrong("it does not follow the entry before it");
    if (before && entry.previous != before->hash)
      return wrong("it names another entry as the one before it");
    before = &entry;
  }
  return {};
}

namespace {

tl::unexpected<Error> forked(const std::string& journal, std::int64_t seq,
                             const records::Hash& store, const records::Hash& station) {
  return fail(Category::refused,
              fmt::format("journal {} has forked at entry {}: the store has {}, the station {}; "
                          "two copies of one station are in use",
                          journal.substr(0, 12), seq, fingerprint(store), fingerprint(station)));
}

}  // namespace

Status check_follows(const Head& head, const Entry& first) {
  if (first.seq != head.seq + 1)
    return fail(Category::refused,
                fmt::format("journal {}: entry {} cannot follow entry {}, the last one here",
                            first.journal, first.seq, head.seq));
  if (first.previous != head.hash)
    return forked(first.journal, head.seq, head.hash, first.previous);
  return {};
}

Status check_same(PlantStore& store, const std::string& journal, const Head& station) {
  if (station.seq == 0) return {};
  const auto stored = store.hash_at(journal, station.seq);
  if (!stored) return tl::unexpected(stored.error());
  if (*stored != station.hash) return forked(journal, station.seq, *stored, station.hash);
  return {};
}

Status check_kept(std::span<const Entry> entries, const records::Hash& last) {
  if (const Status links = check_links(entries); !links)
    return fail(Category::damaged, links.error().message);
  if (entries.empty() || entries.back().hash == last) return {};
  return fail(Category::damaged, fmt::format("journal {}, entry {}: the store took {} and has {}",
                                             entries.back().journal, entries.back().seq,
                                             fingerprint(last), fingerprint(entries.back().hash)));
}

Status PlantStore::would_take(std::span<const Entry> entries) {
  const auto head = this->head(entries.front().journal);
  if (!head) return tl::unexpected(head.error());
  return admitted(*this, *head, entries).map([](const auto&) {});
}

Result<GivenResults> PlantStore::results_after(const std::string& mark, int) {
  return GivenResults{{}, mark};
}

Result<std::string> PlantStore::office() {
  return std::string();
}

Status PlantStore::make_office(const std::string&) {
  return fail(Category::refused, "this store has no office");
}

Result<std::optional<Entry>> PlantStore::newest_master() {
  return std::nullopt;
}

std::int64_t end_of(const KnownJournal& journal, std::span<const KnownJournal> all) {
  std::int64_t end = journal.head.seq;
  for (const KnownJournal& other : all)
    if (other.after_journal == journal.journal) end = std::min(end, other.after_seq);
  return end;
}

Result<KnownJournal> beginning_of(const Entry& first) {
  const auto happening = records::decode(first);
  if (!happening) return tl::unexpected(happening.error());
  const auto* started = std::get_if<domain::JournalStarted>(&*happening);
  if (!started)
    return fail(Category::refused,
                fmt::format("journal {}: its first entry is '{}' and not the start of a journal",
                            first.journal, first.kind));
  return KnownJournal{
      first.journal, started->station, {}, started->after_journal, started->after_seq};
}

namespace {

// What a store has already is compared and left out.
Result<std::span<const Entry>> skip_known(PlantStore& store, const Head& head,
                                          std::span<const Entry> entries) {
  while (!entries.empty() && entries.front().seq <= head.seq) {
    const Entry& sent_again = entries.front();
    if (Status same = check_same(store, sent_again.journal, {sent_again.seq, sent_again.hash});
        !same)
      return tl::unexpected(same.error());
    entries = entries.subspan(1);
  }
  return entries;
}

// It is the first of its name, or follows one that nothing else follows.
Status check_beginning(const KnownJournal& begun, const Entry& first,
                       std::span<const KnownJournal> of_station) {
  if (of_station.empty()) return {};
  const KnownJournal* taken = &of_station.back();
  if (!begun.after_journal.empty()) {
    const auto followed = [&](const KnownJournal& one) {
      return one.after_journal == begun.after_journal;
    };
    const auto rival = std::ranges::find_if(of_station, followed);
    const bool known =
        std::ranges::count(of_station, begun.after_journal, &KnownJournal::journal) > 0;
    if (known && rival == of_station.end()) return {};
    if (rival != of_station.end()) taken = &*rival;
  }
  return fail(
      Category::refused,
      fmt::format("two stations are called {}: the store knows one with journal {} at entry {} "
                  "({}), and this one begins journal {} ({}); give one of them another name",
                  begun.station, taken->journal.substr(0, 12), taken->head.seq,
                  fingerprint(taken->head.hash), begun.journal.substr(0, 12),
                  fingerprint(first.hash)));
}

// No other has taken over after a restore.
Status check_not_followed(const std::string& journal, std::span<const KnownJournal> of_station) {
  for (const KnownJournal& one : of_station)
    if (one.after_journal == journal)
      return fail(Category::refused,
                  fmt::format("journal {} ended at entry {}, where journal {} ({}) took over after "
                              "a restore; two copies of station {} are in use",
                              journal.substr(0, 12), one.after_seq, one.journal.substr(0, 12),
                              fingerprint(one.head.hash), one.station));
  return {};
}

}  // namespace

Result<std::span<const Entry>> admitted(PlantStore& store, const Head& head,
                                        std::span<const Entry> entries) {
  if (Status links = check_links(entries); !links) return tl::unexpected(links.error());
  auto fresh = skip_known(store, head, entries);
  if (!fresh || fresh->empty()) return fresh;
  const Entry& first = fresh->front();
  if (Status follows = check_follows(head, first); !follows) return tl::unexpected(follows.error());
  auto known = store.journals();
  if (!known) return tl::unexpected(known.error());
  if (Status free = check_not_followed(first.journal, *known); !free)
    return tl::unexpected(free.error());
  if (head.seq > 0) return fresh;
  const auto begun = beginning_of(first);
  if (!begun) return tl::unexpected(begun.error());
  std::erase_if(*known, [&](const KnownJournal& one) { return one.station != begun->station; });
  if (Status may = check_beginning(*begun, first, *known); !may) return tl::unexpected(may.error());
  return fresh;
}

}  // namespace lastlook::sync
