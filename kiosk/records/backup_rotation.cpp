// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <re2/re2.h>

#include <algorithm>

#include "kiosk/records/backup.h"
#include "kiosk/records/durable.h"
#include "kiosk/records/sqlite.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;

// The station whose records are in a folder, in columns that every form has; empty: none.
Result<std::string> station_in(const fs::path& folder) {
  const auto file = Connection::open(folder / "records.db", Access::read);
  if (!file && file.error().category == Category::not_found) return std::string();
  if (!file) return tl::unexpected(file.error());
  auto newest =
      (*file)->prepare("SELECT station FROM station_state ORDER BY generation DESC LIMIT 1");
  if (!newest) return tl::unexpected(newest.error());
  const auto row = newest->step();
  if (!row) return tl::unexpected(row.error());
  return *row ? newest->text(0) : std::string();
}

// The database is in order, but a bit may have turned over within an entry: then the older ones are
// the last that are good.
Status may_replace_others(const fs::path& made) {
  const auto verdict = verify(made);
  if (!verdict) return tl::unexpected(verdict.error());
  if (verdict->whole()) return {};
  const Fault& first = verdict->faults.front();
  return fail(Category::damaged,
              fmt::format("{}: entry {}: {}; no older backup was taken away, expected a station in "
                          "which 'records verify' finds no fault",
                          made.string(), first.seq, first.what));
}

}  // namespace

Result<std::vector<fs::path>> backups_in(const fs::path& root, const std::string& station) {
  static const RE2 time(R"(\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d)");
  std::vector<fs::path> all;
  std::error_code error;
  for (fs::directory_iterator at(root, error), end; !error && at != end; at.increment(error)) {
    if (!RE2::FullMatch(at->path().filename().string(), time)) continue;
    const auto found = station_in(at->path());
    if (!found) return tl::unexpected(found.error());
    if (*found == station) all.push_back(at->path());
  }
  if (error) return fail(Category::io, fmt::format("{}: {}", root.string(), error.message()));
  std::ranges::sort(all);  // a name that is a time sorts by time
  return all;
}

Result<Rotated> backup_and_rotate(const fs::path& folder, const fs::path& root, int keep,
                                  domain::Clock& clock) {
  if (keep < 1) return fail(Category::bad_input, "expected to keep at least 1 backup");
  if (Status made = make_folder(root); !made) return tl::unexpected(made.error());
  Rotated rotated;
  rotated.made = root / domain::file_time(clock.read());
  auto copied = backup(folder, rotated.made);
  if (!copied) return tl::unexpected(copied.error());
  rotated.copied = *std::move(copied);
  const auto station = station_in(rotated.made);
  if (!station) return tl::unexpected(station.error());
  auto all = backups_in(root, *station);
  if (!all) return tl::unexpected(all.error());
  // A clock that was set back must not make the new one the oldest.
  std::erase(*all, rotated.made);
  all->push_back(rotated.made);
  if (std::ssize(*all) > keep)
    if (const Status sound = may_replace_others(rotated.made); !sound)
      return tl::unexpected(sound.error());
  while (std::ssize(*all) > keep) {
    std::error_code error;
    fs::remove_all(all->front(), error);
    if (error)
      return fail(Category::io, fmt::format("{}: cannot be taken away ({})", all->front().string(),
                                            error.message()));
    rotated.taken_away.push_back(all->front());
    all->erase(all->begin());
  }
  return rotated;
}

}  // namespace lastlook::records
