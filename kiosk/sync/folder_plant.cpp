// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/folder_plant.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <optional>
#include <ranges>

#include "kiosk/records/durable.h"
#include "kiosk/records/entry_line.h"
#include "kiosk/sync/chain.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;
using records::Entry;
using records::Hash;

bool is_journal_id(const std::string& name) {
  return name.size() == 32 && name.find_first_not_of("0123456789abcdef") == std::string::npos;
}

std::string name_of(const Entry& first, const Entry& last) {
  return fmt::format("{:012}-{:012}-{}.jsonl", first.seq, last.seq, records::to_hex(last.hash));
}

std::optional<std::int64_t> number(std::string_view digits) {
  std::int64_t n = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), n);
  if (error != std::errc() || end != digits.data() + digits.size()) return std::nullopt;
  return n;
}

// Its first entry and its last, as a file's name says them; nullopt: one being written.
std::optional<std::pair<std::int64_t, Head>> range_of(const std::string& name) {
  if (name.size() != 96 || !name.ends_with(".jsonl")) return std::nullopt;
  const auto first = number(std::string_view(name).substr(0, 12));
  const auto last = number(std::string_view(name).substr(13, 12));
  const auto hash = records::hash_from_hex(name.substr(26, 64));
  if (!first || !last || !hash) return std::nullopt;
  return std::pair{*first, Head{*last, *hash}};
}

// Reads a file line by line until `each` returns false. damaged: which line, and why.
Status read_segment(const fs::path& file, const std::function<bool(const Entry&)>& each) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return fail(Category::io, fmt::format("{}: cannot be read", file.string()));
  std::string line;
  for (int at = 1; std::getline(in, line); ++at) {
    const auto entry = records::read_line(line);
    if (!entry)
      return fail(Category::damaged,
                  fmt::format("{}: line {}: {}", file.string(), at, entry.error().message));
    if (!each(*entry)) return {};
  }
  return {};
}

// How many journals a journal comes after, as a restore leaves them.
std::int64_t restores_before(const KnownJournal& one, std::span<const KnownJournal> all) {
  std::int64_t n = 0;
  for (std::string before = one.after_journal; !before.empty() && n < std::ssize(all); ++n) {
    const auto found = std::ranges::find(all, before, &KnownJournal::journal);
    before = found == all.end() ? std::string() : found->after_journal;
  }
  return n;
}

// The last entry with master data; nullopt: there is none.
std::optional<std::int64_t> master_in(std::span<const Entry> entries) {
  const auto last = std::find_if(entries.rbegin(), entries.rend(), [](const Entry& entry) {
    return entry.kind == domain::kind_of(domain::MasterAdopted{});
  });
  return last == entries.rend() ? std::nullopt : std::optional(last->seq);
}

Result<std::vector<Entry>> whole_segment(const fs::path& file) {
  std::vector<Entry> all;
  const Status read = read_segment(file, [&](const Entry& entry) {
    all.push_back(entry);
    return true;
  });
  if (!read) return tl::unexpected(read.error());
  return all;
}

// damaged: the file it lies in is not as it was taken, from its first entry to the hash in its
// name.
Result<Entry> kept_entry(const fs::path& file, const MasterPlace& place) {
  const auto all = whole_segment(file);
  if (!all) return tl::unexpected(all.error());
  const auto range = range_of(place.file);
  if (const Status kept = check_kept(*all, range ? range->second.hash : Hash{}); !kept)
    return tl::unexpected(kept.error());
  const auto found = std::ranges::find(*all, place.seq, &Entry::seq);
  if (found != all->end() && found->journal == place.journal) return *found;
  return fail(Category::damaged, fmt::format("journal {}, entry {}: it is not where it was put",
                                             place.journal, place.seq));
}

}  // namespace

Result<std::unique_ptr<FolderPlant>> FolderPlant::open(const fs::path& folder, bool make) {
  std::error_code ignored;
  if (!fs::is_directory(folder, ignored)) {
    if (!make) return fail(Category::not_found, fmt::format("{}: no such folder", folder.string()));
    if (Status made = records::make_folder(folder); !made) return tl::unexpected(made.error());
  }
  return std::unique_ptr<FolderPlant>(new FolderPlant(folder));
}

Result<std::vector<FolderPlant::Segment>> FolderPlant::segments(const std::string& journal) const {
  std::vector<Segment> all;
  std::error_code error;
  for (fs::directory_iterator at(folder_ / journal, error), end; !error && at != end;
       at.increment(error)) {
    if (const auto range = range_of(at->path().filename().string()))
      all.push_back({range->first, range->second, at->path()});
  }
  if (error && error != std::errc::no_such_file_or_directory)
    return fail(Category::io, fmt::format("{}: {}", (folder_ / journal).string(), error.message()));
  std::ranges::sort(all, {}, &Segment::first);
  std::int64_t next = 1;
  for (const Segment& one : all) {
    if (one.first != next)
      return fail(
          Category::damaged,
          fmt::format("{}: entry {} should come next and {} begins with {}",
                      (folder_ / journal).string(), next, one.file.filename().string(), one.first));
    next = one.last.seq + 1;
  }
  return all;
}

Result<Head> FolderPlant::head(const std::string& journal) {
  const auto all = segments(journal);
  if (!all) return tl::unexpected(all.error());
  return all->empty() ? Head{} : all->back().last;
}

Result<Hash> FolderPlant::hash_at(const std::string& journal, std::int64_t seq) {
  std::optional<Hash> hash;
  const Status read = entries(journal, seq, [&](const Entry& entry) {
    if (entry.seq == seq) hash = entry.hash;
    return false;
  });
  if (!read) return tl::unexpected(read.error());
  if (!hash)
    return fail(Category::not_found,
                fmt::format("journal {}: the store has no entry {}", journal, seq));
  return *hash;
}

Status FolderPlant::entries(const std::string& journal, std::int64_t from,
                            const std::function<bool(const Entry&)>& each) {
  const auto all = segments(journal);
  if (!all) return tl::unexpected(all.error());
  bool go_on = true;
  for (const Segment& one : *all) {
    if (one.last.seq < from) continue;
    const Status read = read_segment(
        one.file, [&](const Entry& entry) { return go_on = entry.seq < from || each(entry); });
    if (!read || !go_on) return read;
  }
  return {};
}

Result<std::vector<KnownJournal>> FolderPlant::journals() {
  std::vector<KnownJournal> all;
  std::error_code error;
  for (fs::directory_iterator at(folder_, error), end; !error && at != end; at.increment(error)) {
    const std::string journal = at->path().filename().string();
    if (!is_journal_id(journal)) continue;
    const auto last = head(journal);
    if (!last) return tl::unexpected(last.error());
    if (last->seq == 0) continue;
    Result<KnownJournal> begun = fail(Category::damaged, journal + ": has no first entry");
    const Status read = entries(journal, 1, [&](const Entry& first) {
      begun = beginning_of(first);
      return false;
    });
    if (!read) return tl::unexpected(read.error());
    if (!begun) return tl::unexpected(begun.error());
    begun->head = *last;
    all.push_back(*std::move(begun));
  }
  if (error) return fail(Category::io, fmt::format("{}: {}", folder_.string(), error.message()));
  // A journal comes after the one that it follows.
  std::vector<std::pair<std::pair<std::string, std::int64_t>, KnownJournal>> keyed;
  for (const KnownJournal& one : all)
    keyed.push_back({{one.station, restores_before(one, all)}, one});
  std::ranges::stable_sort(keyed, {}, [](const auto& one) { return one.first; });
  for (std::size_t i = 0; i < all.size(); ++i) all[i] = keyed[i].second;
  return all;
}

Result<Head> FolderPlant::take(std::span<const Entry> entries) {
  const std::string& journal = entries.front().journal;
  if (!is_journal_id(journal))
    return fail(Category::refused, fmt::format("'{}' is no journal's id", journal));
  const auto head = this->head(journal);
  if (!head) return head;
  const auto fresh = admitted(*this, *head, entries);
  if (!fresh) return tl::unexpected(fresh.error());
  if (fresh->empty()) return head;
  std::string text;
  for (const Entry& entry : *fresh) text += records::write_line(entry) + '\n';
  const fs::path file = folder_ / journal / name_of(fresh->front(), fresh->back());
  if (Status marked = mark_master(*fresh, file.filename().string()); !marked)
    return tl::unexpected(marked.error());
  if (Status made = records::make_folder(file.parent_path()); !made)
    return tl::unexpected(made.error());
  const auto bytes = std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size());
  if (Status done = records::write_durably(file, bytes); !done) return tl::unexpected(done.error());
  return Head{fresh->back().seq, fresh->back().hash};
}

Status FolderPlant::mark_master(std::span<const Entry> fresh, const std::string& file) {
  const auto seq = master_in(fresh);
  if (!seq) return {};
  auto known = journals();
  if (!known) return tl::unexpected(known.error());
  if (fresh.front().seq == 1) {
    auto begun = beginning_of(fresh.front());
    if (!begun) return tl::unexpected(begun.error());
    known->push_back(*std::move(begun));
  }
  const auto& journal = fresh.front().journal;
  const auto one = std::ranges::find(*known, journal, &KnownJournal::journal);
  if (one == known->end()) return fail(Category::damaged, journal + ": has no first entry");
  return office_.mark(one->station, {restores_before(*one, *known), *seq, journal, file});
}

Status FolderPlant::mark_adopted(const KnownJournal& one, std::span<const KnownJournal> all) {
  const auto files = segments(one.journal);
  if (!files) return tl::unexpected(files.error());
  for (const Segment& segment : std::views::reverse(*files)) {
    const auto entries = whole_segment(segment.file);
    if (!entries) return tl::unexpected(entries.error());
    if (const auto seq = master_in(*entries))
      return office_.mark(one.station, {restores_before(one, all), *seq, one.journal,
                                        segment.file.filename().string()});
  }
  return {};
}

Status FolderPlant::make_office(const std::string& station) {
  const auto known = journals();
  if (!known) return tl::unexpected(known.error());
  for (const KnownJournal& one : *known) {
    if (one.station != station) continue;
    if (Status marked = mark_adopted(one, *known); !marked) return marked;
  }
  return office_.say(station);
}

Result<std::optional<Entry>> FolderPlant::newest_master() {
  const auto station = office_.station();
  if (!station) return tl::unexpected(station.error());
  if (station->empty()) return std::nullopt;
  const auto places = office_.places(*station);
  if (!places) return tl::unexpected(places.error());
  for (const MasterPlace& place : *places) {
    const fs::path file = folder_ / place.journal / place.file;
    std::error_code error;
    const bool there = fs::exists(file, error);
    if (error) return fail(Category::io, fmt::format("{}: {}", file.string(), error.message()));
    if (there)
      return kept_entry(file, place).map([](Entry&& entry) {
        return std::optional(std::move(entry));
      });
  }
  return std::nullopt;
}

}  // namespace lastlook::sync
