// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/durable.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sodium.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <vector>

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;

tl::unexpected<Error> failed(const fs::path& path, const char* what) {
  const int why = errno;
  const auto category = why == ENOENT ? Category::not_found : Category::io;
  return fail(category, fmt::format("{}: cannot be {} ({})", path.string(), what, strerror(why)));
}

class File {
 public:
  File(const fs::path& path, int flags, mode_t mode = 0644)
      : number_(::open(path.c_str(), flags | O_CLOEXEC, mode)) {}
  ~File() {
    if (is_open()) close(number_);
  }
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  bool is_open() const { return number_ >= 0; }
  int number() const { return number_; }

 private:
  int number_;
};

bool write_all(int file, std::span<const unsigned char> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(file, bytes.data(), bytes.size());
    if (written < 0 && errno != EINTR) return false;
    if (written > 0) bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return true;
}

// Calls `each` with the file's bytes, piece by piece.
template <class Each>
Status read_all(const fs::path& path, Each each) {
  const File file(path, O_RDONLY);
  if (!file.is_open()) return failed(path, "read");
  std::vector<unsigned char> piece(1 << 18);
  while (true) {
    const ssize_t size = ::read(file.number(), piece.data(), piece.size());
    if (size < 0 && errno == EINTR) continue;
    if (size < 0) return failed(path, "read");
    if (size == 0) return {};
    if (Status done = each(std::span(piece).first(static_cast<std::size_t>(size))); !done)
      return done;
  }
}

// Writes through `fill` under a temporary name, then gives it its own.
template <class Fill>
Status place(const fs::path& path, Fill fill) {
  // The process number keeps two programs that write the same picture apart.
  const fs::path temporary = fmt::format("{}.{}.part", path.string(), getpid());
  const auto give_up = [&](const char* what) {
    auto error = failed(path, what);
    unlink(temporary.c_str());
    return error;
  };
  {
    const File file(temporary, O_WRONLY | O_CREAT | O_TRUNC);
    if (!file.is_open()) return failed(path, "written");
    if (Status done = fill(file.number()); !done) {
      unlink(temporary.c_str());
      return done;
    }
    if (fsync(file.number()) != 0) return give_up("synced to disk");
  }
  if (rename(temporary.c_str(), path.c_str()) != 0) return give_up("renamed");
  return sync_to_disk(path.parent_path());
}

}  // namespace

Status sync_to_disk(const fs::path& path) {
  const File file(path, O_RDONLY);
  if (!file.is_open() || fsync(file.number()) != 0) return failed(path, "synced to disk");
  return {};
}

Status write_durably(const fs::path& path, std::span<const unsigned char> bytes) {
  return place(path, [&](int file) -> Status {
    if (!write_all(file, bytes)) return failed(path, "written");
    return {};
  });
}

Status copy_durably(const fs::path& from, const fs::path& to) {
  return place(to, [&](int file) {
    return read_all(from, [&](std::span<const unsigned char> piece) -> Status {
      if (!write_all(file, piece)) return failed(to, "written");
      return {};
    });
  });
}

Status make_folder(const fs::path& folder) {
  std::error_code error;
  if (folder.empty() || fs::is_directory(folder, error)) return {};
  const fs::path parent = fs::absolute(folder).parent_path();
  if (Status done = make_folder(parent); !done) return done;
  if (mkdir(folder.c_str(), 0755) != 0 && errno != EEXIST) return failed(folder, "made");
  return sync_to_disk(parent);
}

Status make_private(const fs::path& path) {
  const File file(path, O_RDWR | O_CREAT, 0600);
  if (!file.is_open() || fchmod(file.number(), 0600) != 0) return failed(path, "kept private");
  return {};
}

Hash hash_of_bytes(std::string_view bytes) {
  Hash hash{};
  crypto_generichash(hash.data(), hash.size(), reinterpret_cast<const unsigned char*>(bytes.data()),
                     bytes.size(), nullptr, 0);
  return hash;
}

Result<Hash> hash_of_file(const fs::path& path) {
  crypto_generichash_state state;
  crypto_generichash_init(&state, nullptr, 0, sizeof(Hash));
  const Status done = read_all(path, [&](std::span<const unsigned char> piece) -> Status {
    crypto_generichash_update(&state, piece.data(), piece.size());
    return {};
  });
  if (!done) return tl::unexpected(done.error());
  Hash hash{};
  crypto_generichash_final(&state, hash.data(), hash.size());
  return hash;
}

}  // namespace lastlook::records
