// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/folder_plant.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <optional>

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
    const std::string name = at->path().filename().string();
    if (at->path().extension() != ".jsonl" || name.size() != 96) continue;  // one being written
    const auto first = number(name.substr(0, 12));
    const auto last = number(name.substr(13, 12));
    const auto hash = records::hash_from_hex(name.substr(26, 64));
    if (first && last && hash) all.push_back({*first, {*last, *hash}, at->path()});
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
  const auto depth = [&](const KnownJournal& one) {
    std::size_t n = 0;
    for (std::string before = one.after_journal; !before.empty() && n < all.size(); ++n) {
      const auto found = std::ranges::find(all, before, &KnownJournal::journal);
      before = found == all.end() ? std::string() : found->after_journal;
    }
    return n;
  };
  std::vector<std::pair<std::pair<std::string, std::size_t>, KnownJournal>> keyed;
  for (const KnownJournal& one : all) keyed.push_back({{one.station, depth(one)}, one});
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
  if (Status made = records::make_folder(file.parent_path()); !made)
    return tl::unexpected(made.error());
  const auto bytes = std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size());
  if (Status done = records::write_durably(file, bytes); !done) return tl::unexpected(done.error());
  return Head{fresh->back().seq, fresh->back().hash};
}

}  // namespace lastlook::sync
