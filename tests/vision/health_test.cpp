// SPDX-License-Identifier: Apache-2.0
// Each ailment is made from a good picture.
#include "vision/health.h"

#include <opencv2/imgproc.hpp>

#include "tests/vision/samples.h"

namespace lastlook::vision {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

std::vector<Ailment> ailments(const std::vector<Finding>& findings) {
  std::vector<Ailment> out;
  for (const Finding& one : findings) out.push_back(one.ailment);
  return out;
}

Alignment alignment_of(const cv::Mat& picture) {
  return judge(testing::taught_pump(), picture, "CP-210")->alignment;
}

std::vector<Ailment> health(const cv::Mat& picture) {
  return ailments(picture_health(testing::taught_pump(), picture, alignment_of(picture)));
}

TEST(PictureHealth, FindsNothingInGoodPictures) {
  for (const char* file : {"check-001.jpg", "check-005.jpg", "check-012.jpg", "check-037.jpg"})
    EXPECT_THAT(health(testing::pump_picture(file)), IsEmpty()) << file;
}

TEST(PictureHealth, FindsDarkBrightBlurredAndEmpty) {
  const cv::Mat good = testing::pump_picture("check-001.jpg");
  EXPECT_THAT(health(good * 0.08), Contains(Ailment::too_dark));
  EXPECT_THAT(health(good * 6), Contains(Ailment::too_bright));
  cv::Mat blurred;
  cv::GaussianBlur(good, blurred, {}, 7);
  EXPECT_THAT(health(blurred), Contains(Ailment::blurred));
  const cv::Mat empty(960, 1280, CV_8UC3, cv::Scalar(80, 80, 80));
  EXPECT_THAT(health(empty), Contains(Ailment::no_unit));
}

TEST(HealthWatch, FindsAFrozenStream) {
  HealthWatch watch;
  const cv::Mat still = testing::pump_picture("check-001.jpg");
  std::vector<Ailment> last;
  for (int i = 0; i < 6; ++i) last = ailments(watch.see_frame(still));
  EXPECT_THAT(last, ElementsAre(Ailment::frozen));
  EXPECT_THAT(watch.see_frame(testing::pump_picture("check-002.jpg")), IsEmpty());
}

std::vector<Ailment> watch_units(const std::function<cv::Mat(const cv::Mat&)>& change) {
  HealthWatch watch;
  std::vector<Ailment> last;
  for (int i = 1; i <= 8; ++i) {
    const cv::Mat picture = change(testing::pump_picture("teach-00" + std::to_string(i) + ".jpg"));
    last = ailments(watch.see_unit(testing::taught_pump(), picture, alignment_of(picture)));
  }
  return last;
}

TEST(HealthWatch, FindsNothingOverGoodUnits) {
  EXPECT_THAT(watch_units([](const cv::Mat& p) { return p; }), IsEmpty());
}

TEST(HealthWatch, FindsACameraThatMoved) {
  const auto moved = [](const cv::Mat& p) {
    cv::Mat out;
    const cv::Matx23d m(1, 0, 48, 0, 1, -20);
    cv::warpAffine(p, out, m, p.size(), cv::INTER_LINEAR, cv::BORDER_REFLECT_101);
    return out;
  };
  EXPECT_THAT(watch_units(moved), Contains(Ailment::camera_moved));
}

TEST(HealthWatch, FindsADirtyLens) {
  const auto dirty = [](const cv::Mat& p) {
    cv::Mat soft;
    cv::GaussianBlur(p, soft, {}, 9);
    cv::Mat out = p.clone();
    cv::Mat spot = cv::Mat::zeros(p.size(), CV_8U);
    cv::circle(spot, {480, 420}, 260, cv::Scalar(255), cv::FILLED);
    cv::Mat grey = 0.5 * soft + cv::Scalar::all(45);
    grey.copyTo(out, spot);
    return out;
  };
  EXPECT_THAT(watch_units(dirty), Contains(Ailment::lens_dirty));
}

}  // namespace
}  // namespace lastlook::vision
