// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/room.h"

#include <fmt/format.h>

#include <chrono>

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;

constexpr std::int64_t mib = 1024LL * 1024;
constexpr int week = 7;

// Bytes of the pictures that were kept in the last seven days. One that goes away meanwhile does
// not count; before the first one there is no folder.
Result<std::int64_t> newest_pictures(const fs::path& folder) {
  const auto since = fs::file_time_type::clock::now() - std::chrono::hours(24 * week);
  std::int64_t bytes = 0;
  std::error_code trouble;
  if (!fs::exists(folder, trouble) && !trouble) return 0;
  fs::recursive_directory_iterator all(folder, trouble);
  for (; !trouble && all != fs::recursive_directory_iterator(); all.increment(trouble)) {
    std::error_code gone;
    if (!all->is_regular_file(gone) || gone) continue;
    const auto kept = all->last_write_time(gone);
    if (gone || kept < since) continue;
    const auto size = all->file_size(gone);
    if (!gone) bytes += static_cast<std::int64_t>(size);
  }
  if (!trouble) return bytes;
  return fail(Category::io,
              fmt::format("{}: cannot be read: {}", folder.string(), trouble.message()));
}

}  // namespace

std::optional<double> Room::days() const {
  if (bytes_a_day <= 0) return std::nullopt;
  return static_cast<double>(free_bytes) / static_cast<double>(bytes_a_day);
}

RoomLevel Room::level() const {
  const double lasts = days().value_or(1e9);
  if (free_bytes < 200 * mib || lasts < 2) return RoomLevel::scarce;
  if (free_bytes < 1024 * mib || lasts < 14) return RoomLevel::low;
  return RoomLevel::enough;
}

Result<Room> room_of(const fs::path& folder) {
  std::error_code trouble;
  const fs::space_info space = fs::space(folder, trouble);
  if (trouble)
    return fail(Category::io, fmt::format("{}: how much room is left cannot be read: {}",
                                          folder.string(), trouble.message()));
  Room room;
  room.free_bytes = static_cast<std::int64_t>(space.available);
  room.whole_bytes = static_cast<std::int64_t>(space.capacity);
  const auto newest = newest_pictures(folder / "pictures");
  if (!newest) return tl::unexpected(newest.error());
  room.bytes_a_day = *newest / week;
  return room;
}

}  // namespace lastlook::records
