// SPDX-License-Identifier: Apache-2.0
// What the station keeps, and whether there is a second copy of it.
#include <fmt/format.h>
#include <sys/stat.h>

#include <optional>

#include "kiosk/commands/checkup.h"
#include "kiosk/records/backup.h"
#include "kiosk/records/sqlite_store.h"

namespace lastlook::commands {
namespace {

namespace fs = std::filesystem;

// That a backup may be old without anybody looking at it: over a weekend.
constexpr std::int64_t longest_us = 3LL * 24 * 3600 * 1'000'000;

std::string at_time(const records::Entry& entry) {
  const auto stamp = records::read_stamp(entry.stamp);
  if (!stamp) return "a time that cannot be read";
  return domain::iso_time(stamp->reading.wall_us, stamp->reading.offset_min);
}

Outcome how_bad(Category category) {
  return category == Category::refused ? Outcome::look : Outcome::broken;
}

Result<std::optional<records::Entry>> last_entry(records::Records& station) {
  return station.store().last_entry(station.journal());
}

Status quick_check(const fs::path& folder) {
  const auto store = records::SqliteStore::open_any_form(folder / "records.db");
  if (!store) return tl::unexpected(store.error());
  return (*store)->quick_check();
}

// The last entry of a backup, of whatever form its rows are; an error where it is not sound.
Result<records::Entry> end_of_backup(const fs::path& folder) {
  if (Status sound = quick_check(folder); !sound) return tl::unexpected(sound.error());
  const auto store = records::SqliteStore::open_any_form(folder / "records.db");
  if (!store) return tl::unexpected(store.error());
  const auto journals = records::journals_in_order(**store);
  if (!journals) return tl::unexpected(journals.error());
  if (journals->empty()) return fail(Category::damaged, folder.string() + ": has no entry");
  auto last = (*store)->last_entry(journals->back());
  if (!last) return tl::unexpected(last.error());
  if (!*last) return fail(Category::damaged, folder.string() + ": has no entry");
  return **last;
}

bool on_one_disk(const fs::path& a, const fs::path& b) {
  struct stat one {
  }, other{};
  return stat(a.c_str(), &one) == 0 && stat(b.c_str(), &other) == 0 && one.st_dev == other.st_dev;
}

}  // namespace

Check check_records(Patient& patient) {
  const char* what = "records";
  auto opened = records::Records::open_to_read(patient.dir);
  if (!opened && opened.error().category == Category::not_found)
    return broken(what, "there is no station here",
                  "name the station's folder, or restore the newest backup");
  if (!opened)
    return from_error(what, how_bad(opened.error().category), opened.error(),
                      "restore the newest backup");
  if (const Status whole = quick_check(patient.dir); !whole)
    return from_error(what, Outcome::broken, whole.error(), "restore the newest backup");
  patient.records = *std::move(opened);
  const auto last = last_entry(*patient.records);
  if (!last || !*last)
    return broken(what, last ? "the journal has no entry" : last.error().message,
                  "restore the newest backup");
  return well(what, fmt::format("station {}, up to entry {} of {}", patient.records->station(),
                                (*last)->seq, at_time(**last)));
}

Check check_backup(const Patient& patient) {
  const char* what = "backup";
  const fs::path root =
      patient.backups.empty() ? patient.dir / "backups" : fs::path(patient.backups);
  const std::string again = fmt::format(
      "run 'lastlook records backup --keep 14 --dir {} --to FOLDER', with a folder on "
      "another disk",
      shell_word(patient.dir));
  if (!patient.records)
    return look_at(what, "whose backups to look for is not known without the records",
                   "see to the records first");
  std::error_code missing;
  if (!fs::exists(root, missing))
    return look_at(what, fmt::format("none in {}", root.string()),
                   patient.backups.empty() ? again + "; or name theirs with --backups" : again);
  const auto all = records::backups_in(root, patient.records->station());
  if (!all) return from_error(what, Outcome::broken, all.error(), again);
  if (all->empty()) return look_at(what, fmt::format("none in {}", root.string()), again);
  const auto end = end_of_backup(all->back());
  if (!end) return from_error(what, Outcome::broken, end.error(), again);
  const auto here = patient.records->store().entry(end->journal, end->seq);
  if (!here || !*here || (*here)->hash != end->hash)
    return broken(what,
                  fmt::format("{} tells another story than the station from entry {} on",
                              all->back().string(), end->seq),
                  fmt::format("run 'lastlook records verify --dir {}'", shell_word(patient.dir)));
  const auto last = last_entry(*patient.records);
  const bool all_in = last && *last && (*last)->hash == end->hash;
  const auto stamp = records::read_stamp(end->stamp);
  const std::int64_t age_us = stamp ? patient.now.wall_us - stamp->reading.wall_us : 0;
  const std::string found =
      fmt::format("{}, whole, up to entry {} of {}", all->back().string(), end->seq, at_time(*end));
  if (!all_in && age_us > longest_us)
    return look_at(what,
                   fmt::format("{}: what came in {} since is not in it", found, for_a_time(age_us)),
                   again);
  if (on_one_disk(patient.dir, root))
    return look_at(what, found + ", on the disk that the station is on: lost with it", again);
  return well(what, found);
}

}  // namespace lastlook::commands
