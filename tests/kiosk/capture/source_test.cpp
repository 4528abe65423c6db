// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/source.h"

#include <fstream>

#include "kiosk/capture/folder_source.h"
#include "kiosk/capture/live_source.h"
#include "kiosk/capture/video_source.h"

namespace lastlook::capture {
namespace {

TEST(SourceAt, TellsByThePathWhatItIs) {
  const std::filesystem::path folder = std::filesystem::path(::testing::TempDir()) / "source_at";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "film.avi") << "-";
  EXPECT_NE(dynamic_cast<FolderSource*>(source_at(folder)->get()), nullptr);
  EXPECT_NE(dynamic_cast<FolderSource*>(source_at(folder / "still.jpg")->get()), nullptr);
  EXPECT_NE(dynamic_cast<VideoSource*>(source_at(folder / "film.avi")->get()), nullptr);
  EXPECT_NE(dynamic_cast<LiveSource*>(source_at("/dev/v4l/by-id/later")->get()), nullptr);
  const auto nothing = source_at(folder / "nothing");
  ASSERT_FALSE(nothing);
  EXPECT_EQ(nothing.error().category, Category::not_found);
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace lastlook::capture
