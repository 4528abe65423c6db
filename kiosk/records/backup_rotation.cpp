// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <re2/re2.h>

#include <algorithm>

#include "kiosk/records/backup.h"
#include "kiosk/records/durable.h"
#include "kiosk/records/records.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;

// Of this station, oldest first: a name that is a time sorts by time.
Result<std::vector<fs::path>> backups_in(const fs::path& root, const std::string& station) {
  static const RE2 time(R"(\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d)");
  std::vector<fs::path> all;
  std::error_code error;
  for (fs::directory_iterator at(root, error), end; !error && at != end; at.increment(error)) {
    if (!RE2::FullMatch(at->path().filename().string(), time)) continue;
    const auto copy = Records::open_to_read(at->path());
    if (copy && (*copy)->station() == station) all.push_back(at->path());
  }
  if (error) return fail(Category::io, fmt::format("{}: {}", root.string(), error.message()));
  std::ranges::sort(all);
  return all;
}

}  // namespace

Result<Rotated> backup_and_rotate(const fs::path& folder, const fs::path& root, int keep,
                                  domain::Clock& clock) {
  if (keep < 1) return fail(Category::bad_input, "expected to keep at least 1 backup");
  if (Status made = make_folder(root); !made) return tl::unexpected(made.error());
  Rotated rotated;
  rotated.made = root / domain::file_time(clock.read());
  auto copied = backup(folder, rotated.made);
  if (!copied) return tl::unexpected(copied.error());
  rotated.copied = *std::move(copied);
  const auto station = Records::open_to_read(rotated.made);
  if (!station) return tl::unexpected(station.error());
  auto all = backups_in(root, (*station)->station());
  if (!all) return tl::unexpected(all.error());
  // A clock that was set back must not make the new one the oldest.
  std::erase(*all, rotated.made);
  all->push_back(rotated.made);
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
