// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/kept_picture.h"

#include <fstream>
#include <opencv2/imgcodecs.hpp>

#include "tests/kiosk/records/station.h"

namespace lastlook::app {
namespace {

using records::testing::must;

std::vector<unsigned char> png_of(int grey) {
  std::vector<unsigned char> bytes;
  cv::imencode(".png", cv::Mat(4, 6, CV_8UC3, cv::Scalar::all(grey)), bytes);
  return bytes;
}

class KeptPicture : public ::testing::Test {
 protected:
  void write(const std::vector<unsigned char>& bytes) {
    std::ofstream(pictures.path_of(hash), std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()),
               static_cast<std::streamsize>(bytes.size()));
  }
  records::testing::TempFolder folder;
  records::Pictures pictures{folder.path()};
  std::string hash = must(pictures.keep(png_of(200)));
};

TEST_F(KeptPicture, IsRead) {
  const cv::Mat picture = must(kept_picture(pictures, hash));
  EXPECT_EQ(picture.size(), cv::Size(6, 4));
  EXPECT_EQ(picture.at<cv::Vec3b>(0, 0)[0], 200);
}

TEST_F(KeptPicture, IsNeverAnotherOneInItsPlace) {
  write(png_of(10));  // a good picture, and not that one
  EXPECT_EQ(kept_picture(pictures, hash).error().category, Category::damaged);
}

TEST_F(KeptPicture, ThatIsGoneIsNamed) {
  std::filesystem::remove(pictures.path_of(hash));
  const auto gone = kept_picture(pictures, hash);
  ASSERT_FALSE(gone);
  EXPECT_THAT(gone.error().message, ::testing::HasSubstr(hash));
}

}  // namespace
}  // namespace lastlook::app
