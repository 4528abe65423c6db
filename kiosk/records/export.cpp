// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/export.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <map>

#include "kiosk/records/durable.h"
#include "kiosk/records/entry_line.h"
#include "kiosk/records/json_fields.h"
#include "kiosk/records/new_folder.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/records/tables.h"
#include "kiosk/text/csv.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;

std::string csv_line(const Entry& entry, const Stamp& stamp) {
  return fmt::format("{},{},{},{},{},{},{},{},{},{},{}", entry.journal, entry.seq,
                     domain::iso_time(stamp.reading.wall_us, stamp.reading.offset_min),
                     stamp.production_date, text::csv_field(stamp.shift),
                     text::csv_field(entry.actor), entry.kind, entry.version,
                     text::csv_field(entry.body), to_hex(entry.previous), to_hex(entry.hash));
}

struct Span {
  std::int64_t first = 0, last = 0;
  std::string last_hash;
};

class Export {
 public:
  Export(std::string from, std::string until, const fs::path& folder)
      : from_(std::move(from)),
        until_(std::move(until)),
        folder_(folder),
        lines_(folder / "entries.jsonl", std::ios::binary),
        table_(folder / "entries.csv", std::ios::binary) {
    table_ << "journal,seq,time,production_date,shift,actor,kind,version,body,previous,hash\n";
  }

  Status take(const Entry& entry) {
    const auto stamp = read_stamp(entry.stamp);
    if (!stamp)
      return fail(Category::damaged, fmt::format("journal {}, entry {}: {}", entry.journal,
                                                 entry.seq, stamp.error().message));
    const std::string& date = stamp->production_date;
    if (date < from_ || (!until_.empty() && date > until_)) return {};
    lines_ << write_line(entry) << '\n';
    table_ << csv_line(entry, *stamp) << '\n';
    Span& span = spans_[entry.journal];
    if (span.first == 0) span.first = entry.seq;
    span.last = entry.seq;
    span.last_hash = to_hex(entry.hash);
    ++entries_;
    return {};
  }

  Status finish(const std::string& station) {
    lines_.close();
    table_.close();
    if (!lines_ || !table_) return not_written();
    Json journals = Json::array();
    for (const auto& [journal, span] : spans_)
      journals.push_back({{"journal", journal},
                          {"first_seq", span.first},
                          {"last_seq", span.last},
                          {"last_hash", span.last_hash}});
    Json files = Json::array();
    for (const char* name : {"entries.jsonl", "entries.csv"}) {
      const auto hash = hash_of_file(folder_ / name);
      if (!hash) return tl::unexpected(hash.error());
      if (Status done = sync_to_disk(folder_ / name); !done) return done;
      std::error_code ignored;
      files.push_back({{"name", name},
                       {"bytes", fs::file_size(folder_ / name, ignored)},
                       {"blake2b_256", to_hex(*hash)}});
    }
    const Json manifest = {{"station", station},  {"from", from_},        {"until", until_},
                           {"entries", entries_}, {"journals", journals}, {"files", files}};
    const std::string text = manifest.dump(2) + '\n';
    return write_durably(folder_ / "manifest.json",
                         {reinterpret_cast<const unsigned char*>(text.data()), text.size()});
  }

  bool is_well() const { return lines_.good() && table_.good(); }
  Status not_written() const {
    return fail(Category::io,
                fmt::format("{}: cannot be written ({})", folder_.string(), std::strerror(errno)));
  }
  std::int64_t entries() const { return entries_; }

 private:
  std::string from_, until_;
  fs::path folder_;
  std::ofstream lines_, table_;
  std::map<std::string, Span> spans_;
  std::int64_t entries_ = 0;
};

Status export_all(JournalStore& store, Export& out, const Progress& progress) {
  const auto states = rows<StationStateRow>(store, {});
  if (!states) return tl::unexpected(states.error());
  std::int64_t done = 0, all = 0;
  for (const StationStateRow& state : *states) all += state.seq;
  const auto journals = journals_in_order(store);
  if (!journals) return tl::unexpected(journals.error());
  for (const std::string& journal : *journals) {
    Status wrong;
    const Status read = store.entries(journal, 1, [&](const Entry& entry) {
      wrong = out.take(entry);
      if (wrong && !out.is_well()) wrong = out.not_written();
      if (progress && ++done % 1'000 == 0) progress(done, all);
      return wrong.has_value();
    });
    if (!read) return read;
    if (!wrong) return wrong;
  }
  return out.finish(states->empty() ? std::string() : states->front().station);
}

}  // namespace

Result<Exported> export_entries(const fs::path& folder, const std::string& from,
                                const std::string& until, const fs::path& target,
                                const Progress& progress) {
  std::error_code ignored;
  if (!fs::exists(folder / "records.db", ignored))
    return fail(Category::not_found, fmt::format("{}: there is no station here", folder.string()));
  if (fs::exists(target, ignored))
    return fail(Category::refused, fmt::format("{}: is there already", target.string()));
  auto store = SqliteStore::open(folder / "records.db", Access::read);
  if (!store) return tl::unexpected(store.error());
  NewFolder place(target);
  if (Status done = place.make(); !done) return tl::unexpected(done.error());
  Export out(from, until, place.part());
  if (Status done = export_all(**store, out, progress); !done) return tl::unexpected(done.error());
  if (Status done = place.put_in_place(); !done) return tl::unexpected(done.error());
  return Exported{out.entries()};
}

}  // namespace lastlook::records
