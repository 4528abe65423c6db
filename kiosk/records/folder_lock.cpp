// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/folder_lock.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <sstream>
#include <string>

namespace lastlook::records {
namespace {

// The process that wrote its number there; empty when the last writer ended in order.
std::string read_owner(int file) {
  std::array<char, 32> text{};
  const ssize_t size = pread(file, text.data(), text.size(), 0);
  return size > 0 ? std::string(text.data(), static_cast<std::size_t>(size)) : std::string();
}

// Whether this process holds an exclusive lock on a file, as the kernel lists it:
// "2: FLOCK  ADVISORY  WRITE 4711 08:02:131 0 EOF".
bool holds(const std::string& process, ino_t file) {
  std::ifstream all("/proc/locks");
  const std::string inode = ":" + std::to_string(file);
  for (std::string line; std::getline(all, line);) {
    std::istringstream words(line);
    std::string number, kind, advice, how, owner, place;
    words >> number >> kind >> advice >> how >> owner >> place;
    if (kind == "FLOCK" && how == "WRITE" && owner == process && place.ends_with(inode))
      return true;
  }
  return false;
}

}  // namespace

Result<std::unique_ptr<FolderLock>> FolderLock::take(const std::filesystem::path& folder) {
  return take(folder, folder / "lock",
              "has this station open; close it, or use a command that only reads");
}

Result<std::unique_ptr<FolderLock>> FolderLock::take_for(const std::filesystem::path& file) {
  return take(file, file.string() + ".lock", "is writing this file");
}

Result<std::unique_ptr<FolderLock>> FolderLock::take(const std::filesystem::path& what,
                                                     const std::string& path,
                                                     std::string_view is_doing) {
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
  if (file < 0)
    return fail(Category::io, fmt::format("{}: cannot be opened ({})", path, strerror(errno)));
  const bool taken = flock(file, LOCK_EX | LOCK_NB) == 0;
  const std::string owner = read_owner(file);
  if (!taken) {
    close(file);
    return fail(Category::busy, fmt::format("{}: another Lastlook (process {}) {}", what.string(),
                                            owner, is_doing));
  }
  const std::string mine = std::to_string(getpid());
  if (ftruncate(file, 0) != 0 || pwrite(file, mine.data(), mine.size(), 0) < 0) {
    const int why = errno;
    close(file);
    return fail(Category::io, fmt::format("{}: cannot be written ({})", path, strerror(why)));
  }
  return std::unique_ptr<FolderLock>(new FolderLock(file, !owner.empty()));
}

LockState FolderLock::state_of(const std::filesystem::path& folder) {
  const int file = ::open((folder / "lock").c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return {};
  LockState state;
  state.process = read_owner(file);
  struct stat about {};
  // Asked of the kernel's list: to try the lock, even a shared one, could keep a kiosk that starts
  // in this moment from opening.
  state.held = fstat(file, &about) == 0 && holds(state.process, about.st_ino);
  close(file);
  return state;
}

FolderLock::~FolderLock() {
  // If this fails the next writer checks the file once more than it needs to.
  if (!in_doubt_) (void)!ftruncate(file_, 0);
  close(file_);
}

}  // namespace lastlook::records
