// SPDX-License-Identifier: Apache-2.0
#include "tests/faults/remembering_disk.h"

#include <sqlite3.h>

#include <cstring>
#include <fstream>
#include <map>
#include <new>
#include <random>
#include <set>

namespace lastlook::faults {
namespace {

namespace fs = std::filesystem;

std::vector<DiskAct>* remembered = nullptr;
sqlite3_vfs* real_disk = nullptr;
sqlite3_vfs our_disk;
sqlite3_io_methods our_methods;

// One open file: ours in front of the real one, which SQLite keeps right behind it.
struct OurFile {
  sqlite3_file base;
  std::string* name;
  sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};

OurFile* ours(sqlite3_file* file) {
  return reinterpret_cast<OurFile*>(file);
}
sqlite3_file* real(sqlite3_file* file) {
  return ours(file)->real();
}
void remember(sqlite3_file* file, DiskAct act) {
  act.file = *ours(file)->name;
  if (remembered) remembered->push_back(std::move(act));
}

int close_file(sqlite3_file* file) {
  delete ours(file)->name;
  return real(file)->pMethods->xClose(real(file));
}
int write_file(sqlite3_file* file, const void* bytes, int n, sqlite3_int64 at) {
  remember(file, {DiskAct::write, "", at,
                  std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(n))});
  return real(file)->pMethods->xWrite(real(file), bytes, n, at);
}
int truncate_file(sqlite3_file* file, sqlite3_int64 size) {
  remember(file, {DiskAct::truncate, "", size, ""});
  return real(file)->pMethods->xTruncate(real(file), size);
}
int sync_file(sqlite3_file* file, int flags) {
  const int done = real(file)->pMethods->xSync(real(file), flags);
  remember(file, {DiskAct::sync, "", 0, ""});
  return done;
}

// The rest goes straight to the real file.
void fill_methods() {
  our_methods.iVersion = 2;  // without memory-mapped reading
  our_methods.xClose = close_file;
  our_methods.xWrite = write_file;
  our_methods.xTruncate = truncate_file;
  our_methods.xSync = sync_file;
  our_methods.xRead = [](sqlite3_file* f, void* into, int n, sqlite3_int64 at) {
    return real(f)->pMethods->xRead(real(f), into, n, at);
  };
  our_methods.xFileSize = [](sqlite3_file* f, sqlite3_int64* size) {
    return real(f)->pMethods->xFileSize(real(f), size);
  };
  our_methods.xLock = [](sqlite3_file* f, int how) {
    return real(f)->pMethods->xLock(real(f), how);
  };
  our_methods.xUnlock = [](sqlite3_file* f, int how) {
    return real(f)->pMethods->xUnlock(real(f), how);
  };
  our_methods.xCheckReservedLock = [](sqlite3_file* f, int* out) {
    return real(f)->pMethods->xCheckReservedLock(real(f), out);
  };
  our_methods.xFileControl = [](sqlite3_file* f, int op, void* arg) {
    return real(f)->pMethods->xFileControl(real(f), op, arg);
  };
  our_methods.xSectorSize = [](sqlite3_file* f) { return real(f)->pMethods->xSectorSize(real(f)); };
  // Promises nothing: no atomic write, no order, no safe appending.
  our_methods.xDeviceCharacteristics = [](sqlite3_file*) { return 0; };
  our_methods.xShmMap = [](sqlite3_file* f, int page, int size, int extend, void volatile** at) {
    return real(f)->pMethods->xShmMap(real(f), page, size, extend, at);
  };
  our_methods.xShmLock = [](sqlite3_file* f, int at, int n, int flags) {
    return real(f)->pMethods->xShmLock(real(f), at, n, flags);
  };
  our_methods.xShmBarrier = [](sqlite3_file* f) { real(f)->pMethods->xShmBarrier(real(f)); };
  our_methods.xShmUnmap = [](sqlite3_file* f, int remove) {
    return real(f)->pMethods->xShmUnmap(real(f), remove);
  };
}

std::string name_of(const char* path) {
  return path ? fs::path(path).filename().string() : std::string();
}

int open_file(sqlite3_vfs*, const char* path, sqlite3_file* file, int flags, int* out) {
  const int done = real_disk->xOpen(real_disk, path, real(file), flags, out);
  file->pMethods = nullptr;
  if (done != SQLITE_OK) return done;
  ours(file)->name = new std::string(name_of(path));
  file->pMethods = &our_methods;
  return done;
}

int delete_file(sqlite3_vfs*, const char* path, int sync) {
  if (remembered) remembered->push_back({DiskAct::remove, name_of(path), 0, ""});
  return real_disk->xDelete(real_disk, path, sync);
}

using Files = std::map<std::string, std::string>;

void put(std::string& file, std::int64_t at, std::string_view bytes) {
  const auto end = static_cast<std::size_t>(at) + bytes.size();
  if (file.size() < end) file.resize(end, '\0');
  file.replace(static_cast<std::size_t>(at), bytes.size(), bytes);
}

void apply(Files& files, const DiskAct& act, std::size_t bytes) {
  if (act.kind == DiskAct::write) put(files[act.file], act.at, act.bytes.substr(0, bytes));
  if (act.kind == DiskAct::truncate) files[act.file].resize(static_cast<std::size_t>(act.at), '\0');
  if (act.kind == DiskAct::remove) files.erase(act.file);
}

}  // namespace

RememberingDisk::RememberingDisk() {
  remembered = new std::vector<DiskAct>;
  real_disk = sqlite3_vfs_find(nullptr);
  our_disk = *real_disk;
  our_disk.zName = "remembering";
  our_disk.szOsFile = static_cast<int>(sizeof(OurFile)) + real_disk->szOsFile;
  our_disk.xOpen = open_file;
  our_disk.xDelete = delete_file;
  fill_methods();
  sqlite3_vfs_register(&our_disk, 1);
}

RememberingDisk::~RememberingDisk() {
  sqlite3_vfs_register(real_disk, 1);
  sqlite3_vfs_unregister(&our_disk);
  delete remembered;
  remembered = nullptr;
}

const std::vector<DiskAct>& RememberingDisk::acts() const {
  return *remembered;
}

void cut_power(const fs::path& before, const std::vector<DiskAct>& acts, std::size_t cut,
               unsigned chance, const fs::path& after) {
  Files files;
  for (const auto& file : fs::directory_iterator(before)) {
    const std::string name = file.path().filename().string();
    if (!name.starts_with("records.db") || name.ends_with("-shm")) continue;
    std::ifstream in(file.path(), std::ios::binary);
    files[name] = {std::istreambuf_iterator<char>(in), {}};
  }
  // The last sync of each file before the cut: what came earlier is safe.
  std::map<std::string, std::size_t> safe;
  for (std::size_t i = 0; i < cut; ++i)
    if (acts[i].kind == DiskAct::sync) safe[acts[i].file] = i;
  std::mt19937 random(chance);
  constexpr std::size_t sector = 512;
  for (std::size_t i = 0; i < cut; ++i) {
    const DiskAct& act = acts[i];
    if (act.kind == DiskAct::sync) continue;
    std::size_t arrived = act.bytes.size();
    const auto synced = safe.find(act.file);
    if (synced == safe.end() || i > synced->second) {
      const auto fate = random() % 3;
      if (fate == 0) continue;
      if (fate == 1) arrived = std::min(arrived, random() % (arrived / sector + 1) * sector);
      if (arrived == 0 && act.kind == DiskAct::write) continue;
    }
    apply(files, act, arrived);
  }
  fs::create_directories(after);
  for (const auto& [name, bytes] : files) std::ofstream(after / name, std::ios::binary) << bytes;
}

}  // namespace lastlook::faults
