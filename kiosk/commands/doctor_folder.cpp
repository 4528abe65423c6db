// SPDX-License-Identifier: Apache-2.0
// The station's folder as the system sees it: whose it is, who may read what, on which disk.
#include <fcntl.h>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <pwd.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include "kiosk/commands/checkup.h"
#include "kiosk/records/folder_lock.h"
#include "kiosk/records/room.h"
#include "kiosk/records/sqlite.h"
#include "kiosk/sync/network_share.h"

namespace lastlook::commands {
namespace {

namespace fs = std::filesystem;

std::string user_name(uid_t user) {
  const passwd* known = getpwuid(user);
  return known ? known->pw_name : std::to_string(user);
}

// What a kiosk that runs as the folder's owner could not write: left by a command that ran as
// another user.
std::vector<std::string> owned_by_others(const fs::path& folder, uid_t owner) {
  std::vector<std::string> others;
  std::error_code error;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    struct stat about {};
    if (lstat(at->path().c_str(), &about) == 0 && about.st_uid != owner)
      others.push_back(at->path().filename().string());
  }
  return others;
}

bool is_read_only(const fs::path& folder) {
  struct statvfs about {};
  return statvfs(folder.c_str(), &about) == 0 && (about.f_flag & ST_RDONLY) != 0;
}

// Who can sign in; an error where that cannot be read.
Result<std::int64_t> count_people(const fs::path& file) {
  const auto people = records::Connection::open(file, records::Access::read);
  if (!people) return tl::unexpected(people.error());
  return (*people)->integer("SELECT count(*) FROM person");
}

}  // namespace

Check check_folder(const Patient& patient) {
  const char* what = "folder";
  const std::string folder = patient.dir.string();
  struct stat about {};
  if (stat(folder.c_str(), &about) != 0)
    return broken(what, fmt::format("{}: {}", folder, strerror(errno)),
                  "name the station's folder, and see whether its disk is mounted");
  if (!S_ISDIR(about.st_mode))
    return broken(what, folder + " is no folder", "name the station's folder");
  if (is_read_only(folder))
    return broken(what, folder + " is on a disk that can only be read, as one is that fails",
                  "see what 'dmesg' says of the disk");
  const std::string owner = user_name(about.st_uid);
  const auto others = owned_by_others(patient.dir, about.st_uid);
  if (!others.empty())
    return broken(what,
                  fmt::format("is {}'s, and has files of others that the kiosk may not write: {}",
                              owner, fmt::join(others, ", ")),
                  fmt::format("run 'chown -R {} {}'", owner, shell_word(patient.dir)));
  if (faccessat(AT_FDCWD, folder.c_str(), W_OK | X_OK, AT_EACCESS) != 0)
    return broken(what,
                  fmt::format("is {}'s, and {} may not write there", owner, user_name(geteuid())),
                  fmt::format("run this as {}, as the kiosk does", owner));
  if ((about.st_mode & S_IWOTH) != 0)
    return look_at(what,
                   fmt::format("is {}'s, and every user of this machine may write there", owner),
                   fmt::format("run 'chmod o-w {}'", shell_word(patient.dir)));
  return well(what, fmt::format("{}, is {}'s", folder, owner));
}

Check check_people(const Patient& patient) {
  const char* what = "people";
  const fs::path file = patient.dir / "people.db";
  const std::string add = fmt::format("run 'lastlook people add --dir {} --name NAME --role ROLE'",
                                      shell_word(patient.dir));
  struct stat about {};
  if (stat(file.c_str(), &about) != 0)
    return broken(what,
                  fmt::format("{}: {}, so nobody can sign in", file.string(), strerror(errno)),
                  patient.records ? add : "see to the records first");
  const unsigned mode = about.st_mode & 0777U;
  if ((mode & 0077U) != 0)
    return broken(what,
                  fmt::format("people.db has names and PIN hashes and can be read by others than "
                              "its owner (mode {:04o}, expected 0600)",
                              mode),
                  fmt::format("run 'chmod 600 {}'", shell_word(file)));
  const auto people = count_people(file);
  if (!people)
    return from_error(what, Outcome::broken, people.error(), "restore the newest backup");
  if (*people == 0) return broken(what, "nobody can sign in", add);
  return well(what, fmt::format("{} can sign in, and only the owner can read people.db", *people));
}

Check check_disk(const Patient& patient) {
  const char* what = "disk";
  const auto share = sync::share_of(patient.dir);
  if (share && *share)
    return broken(what,
                  fmt::format("the folder is on a network share ({}), where records can be "
                              "damaged",
                              *share),
                  "move it to a local disk");
  const auto room = records::room_of(patient.dir);
  if (!room) return from_error(what, Outcome::broken, room.error(), "see what 'dmesg' says");
  const auto days = room->days();
  std::string found =
      fmt::format("{:.1f} of {:.1f} GB free", static_cast<double>(room->free_bytes) / 1e9,
                  static_cast<double>(room->whole_bytes) / 1e9);
  if (days)
    found += *days > 365 ? ", enough for more than a year"
                         : fmt::format(", enough for about {:.0f} days", *days);
  const std::string mend = fmt::format(
      "free room, or run 'lastlook records prune --older-than 180 --dir {}', which "
      "says what it could take away",
      shell_word(patient.dir));
  switch (room->level()) {
    case records::RoomLevel::enough:
      return well(what, found);
    case records::RoomLevel::low:
      return look_at(what, "low: " + found, mend);
    case records::RoomLevel::scarce:
      return broken(what, "scarce: " + found, mend);
  }
  return well(what, found);
}

Check check_writer(Patient& patient) {
  const char* what = "writer";
  const records::LockState lock = records::FolderLock::state_of(patient.dir);
  patient.in_use = lock.held;
  if (lock.held) return well(what, fmt::format("process {} has the station open", lock.process));
  if (lock.process.empty()) return well(what, "nothing has the station open");
  return look_at(what,
                 fmt::format("nothing has the station open, and the last one that had (process {}) "
                             "was cut off",
                             lock.process),
                 fmt::format("run 'lastlook records verify --dir {}'", shell_word(patient.dir)));
}

}  // namespace lastlook::commands
