// SPDX-License-Identifier: Apache-2.0
// Files that are whole and on disk, or not there. For the records and for what travels.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <string_view>

#include "analytics/result.h"
#include "kiosk/records/entry.h"

namespace lastlook::records {

// Makes what was written to a file, or the names in a folder, survive a power cut.
Status sync_to_disk(const std::filesystem::path& file_or_folder);

// Writes under a temporary name in the same folder, syncs, renames, syncs the folder.
Status write_durably(const std::filesystem::path& file, std::span<const unsigned char> bytes);

// Copies the bytes of a file in the same manner.
Status copy_durably(const std::filesystem::path& from, const std::filesystem::path& to);

// A folder and those above it that are missing, each synced into its parent.
Status make_folder(const std::filesystem::path& folder);

// Makes the file if it is missing and lets nobody but its owner read it (mode 0600).
Status make_private(const std::filesystem::path& file);

Hash hash_of_bytes(std::string_view bytes);  // BLAKE2b-256
// BLAKE2b-256 of all bytes of a file. not_found, io.
Result<Hash> hash_of_file(const std::filesystem::path& file);

}  // namespace lastlook::records
