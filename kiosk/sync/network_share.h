// SPDX-License-Identifier: Apache-2.0
// Whether a file lies on this machine.
#pragma once

#include <filesystem>

#include "analytics/result.h"

namespace lastlook::sync {

// refused: the file, or the folder that it will be made in, is on a network share or a file system
// in user space, where two machines' locks cannot be relied on ("How To Corrupt An SQLite Database
// File", section 2.1, sqlite.org). io: the folder is not there.
Status check_local(const std::filesystem::path& file);

// The kind of network share, or of a file system in user space, that a folder is on; nullptr: it is
// on a local disk. io: the folder is not there.
Result<const char*> share_of(const std::filesystem::path& folder);

// The kind of network share by its number in statfs(2); nullptr: it is none.
const char* network_share(unsigned long type);

}  // namespace lastlook::sync
