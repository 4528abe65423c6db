// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/room.h"

#include <fstream>

#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;
using testing::must;

constexpr std::int64_t gib = 1024LL * 1024 * 1024;

TEST(Room, IsLowUnderTwoWeeksOrAGibibyte) {
  const auto level = [](std::int64_t free, std::int64_t a_day) {
    return Room{free, 64 * gib, a_day}.level();
  };
  EXPECT_EQ(level(32 * gib, gib), RoomLevel::enough);
  EXPECT_EQ(level(14 * gib, gib), RoomLevel::enough);
  EXPECT_EQ(level(14 * gib - 1, gib), RoomLevel::low);
  EXPECT_EQ(level(2 * gib, gib), RoomLevel::low);
  EXPECT_EQ(level(2 * gib - 1, gib), RoomLevel::scarce);
  EXPECT_EQ(level(gib, 0), RoomLevel::enough);
  EXPECT_EQ(level(gib - 1, 0), RoomLevel::low);
  EXPECT_EQ(level(200 * (gib / 1024), 0), RoomLevel::low);
  EXPECT_EQ(level(200 * (gib / 1024) - 1, 0), RoomLevel::scarce);
  EXPECT_EQ(level(0, 0), RoomLevel::scarce);
}

TEST(Room, CountsThePicturesOfTheLastSevenDays) {
  const testing::TempFolder place;
  const auto keep = [&](const std::string& name, std::size_t bytes, int days_old) {
    const fs::path file = place.path() / "pictures" / name;
    fs::create_directories(file.parent_path());
    std::ofstream(file) << std::string(bytes, 'x');
    fs::last_write_time(file, fs::file_time_type::clock::now() - std::chrono::hours(24 * days_old));
  };
  EXPECT_EQ(must(room_of(place.path())).bytes_a_day, 0) << "no folder of pictures yet";
  keep("ab/cd", 7000, 0);
  keep("ef/01", 700, 6);
  keep("ef/02", 7'000'000, 8);
  const Room room = must(room_of(place.path()));
  EXPECT_EQ(room.bytes_a_day, 1100);
  const fs::space_info space = fs::space(place.path());
  EXPECT_EQ(room.whole_bytes, static_cast<std::int64_t>(space.capacity));
  EXPECT_NEAR(*room.days(), static_cast<double>(room.free_bytes) / 1100, 1e-6 * *room.days());
  EXPECT_EQ(room_of(place.path() / "none").error().category, Category::io);
  const testing::TempFolder other;
  std::ofstream(other.path() / "pictures") << "a file where the folder goes";
  EXPECT_EQ(room_of(other.path()).error().category, Category::io);
}

}  // namespace
}  // namespace lastlook::records
