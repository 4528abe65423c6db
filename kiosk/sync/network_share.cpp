// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/network_share.h"

#include <fmt/format.h>
#include <linux/magic.h>
#include <sys/vfs.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

namespace lastlook::sync {

const char* network_share(unsigned long type) {
  constexpr std::array<std::pair<unsigned long, const char*>, 9> kinds = {{
      {NFS_SUPER_MAGIC, "NFS"},
      {SMB_SUPER_MAGIC, "SMB"},
      {SMB2_SUPER_MAGIC, "SMB"},
      {CIFS_SUPER_MAGIC, "SMB"},
      {V9FS_MAGIC, "9P"},
      {AFS_SUPER_MAGIC, "AFS"},
      {CODA_SUPER_MAGIC, "Coda"},
      {CEPH_SUPER_MAGIC, "Ceph"},
      {FUSE_SUPER_MAGIC, "FUSE"},
  }};
  for (const auto& [number, name] : kinds)
    if (number == type) return name;
  return nullptr;
}

Result<const char*> share_of(const std::filesystem::path& folder) {
  struct statfs about {};
  if (statfs(folder.c_str(), &about) != 0)
    return fail(Category::io, fmt::format("{}: {}", folder.string(), std::strerror(errno)));
  return network_share(static_cast<unsigned long>(about.f_type));
}

Status check_local(const std::filesystem::path& file) {
  const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
  const auto kind = share_of(folder);
  if (!kind) return tl::unexpected(kind.error());
  if (!*kind) return {};
  return fail(Category::refused,
              fmt::format("{}: lies on a network share ({}), where a SQLite file can be damaged; "
                          "use folder:{} there, or a local disk",
                          file.string(), *kind, folder.string()));
}

}  // namespace lastlook::sync
