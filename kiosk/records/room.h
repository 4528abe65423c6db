// SPDX-License-Identifier: Apache-2.0
// How much room the disk has for what a station keeps, and for how long that lasts.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

#include "analytics/result.h"

namespace lastlook::records {

enum class RoomLevel {
  enough,
  low,     // somebody sees to it this week: under 14 days, or under 1 GiB
  scarce,  // now: under 2 days, or under 200 MiB
};

struct Room {
  std::int64_t free_bytes = 0;   // that the program may still fill
  std::int64_t whole_bytes = 0;  // of the file system
  // What the pictures of the last seven days took, a day: they are what grows. 0: there were none.
  std::int64_t bytes_a_day = 0;

  // Until the disk is full, if the days to come are as those; none: nothing grows.
  std::optional<double> days() const;
  RoomLevel level() const;
};

// Of the folder of a station. Reads the names and sizes of all its pictures: not for the thread of
// a window. io: the file system does not say.
Result<Room> room_of(const std::filesystem::path& folder);

}  // namespace lastlook::records
