// SPDX-License-Identifier: Apache-2.0
#include "vision/teach.h"

#include <algorithm>
#include <fstream>
#include <opencv2/imgproc.hpp>

#include "tests/vision/samples.h"
#include "vision/judge.h"

namespace lastlook::vision {
namespace {

using ::testing::HasSubstr;

// The first pictures of the pump and two of its components: quick to teach.
TeachingFolder small_folder() {
  TeachingFolder folder = testing::good_pump_pictures();
  folder.pictures.resize(6);
  folder.components = {folder.components[0], folder.components[2]};  // seal, tag
  for (Variant& v : folder.variants) v.expected = {v.expected[0], v.expected[2]};
  for (LabelledPicture& p : folder.pictures) p.labels = {p.labels[0], p.labels[2]};
  return folder;
}

TEST(Teach, ReportsWhatThePicturesProve) {
  const Result<TeachResult> result = teach(small_folder());
  ASSERT_TRUE(result) << result.error().message;
  const ComponentReport& seal = result->components[0];
  EXPECT_EQ(seal.present, 6);
  EXPECT_EQ(seal.bad, 0);
  EXPECT_TRUE(seal.made_up);
  EXPECT_EQ(seal.looks, 1);
  // No bad one was shown: nothing is proved about misses. 0 of 6 stopped: 1 - 0.05^(1/6) = 0.393
  // (Clopper and Pearson, Biometrika 26, 1934, in closed form for zero events).
  EXPECT_DOUBLE_EQ(seal.miss_rate_limit, 1);
  EXPECT_NEAR(seal.false_alarm_limit, 0.393, 0.0005);
  const ComponentReport& tag = result->components[1];
  EXPECT_EQ(tag.looks, 2);
  EXPECT_THAT(tag.code_prefix, HasSubstr("CP210N"));
}

TEST(Teach, IsTheSameEveryTime) {
  EXPECT_EQ(teach(small_folder())->model.id, teach(small_folder())->model.id);
}

TEST(Teach, TellsTheScoreOfEachPictureHeldOut) {
  const TeachingFolder folder = small_folder();
  const Result<TeachResult> result = teach(folder);
  ASSERT_TRUE(result) << result.error().message;
  const ComponentReport& seal = result->components[0];
  ASSERT_EQ(seal.good_ones.size(), 6U);
  EXPECT_DOUBLE_EQ(seal.good_ones.front().score, seal.worst_good);
  EXPECT_EQ(folder.pictures[seal.good_ones.front().picture].file, seal.worst_good_file);
  EXPECT_TRUE(std::ranges::is_sorted(seal.good_ones, {}, &HeldOutPicture::score));
  ASSERT_FALSE(seal.bad_ones.empty());
  EXPECT_DOUBLE_EQ(seal.bad_ones.front().score, seal.best_bad);
  EXPECT_EQ(folder.pictures[seal.bad_ones.front().picture].file, seal.best_bad_file);
}

TEST(Teach, CountsPicturesAndComponentsAndCanBeStopped) {
  std::stop_source stop;
  int told = 0, most = 0;
  const Result<TeachResult> result = teach(
      small_folder(),
      [&](int done, int total) {
        EXPECT_EQ(total, 8);
        most = std::max(most, done);
        if (++told == 3) stop.request_stop();
      },
      stop.get_token());
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().category, Category::refused);
  EXPECT_EQ(told, 3);
  EXPECT_LT(most, 8);
}

TEST(Teach, RefusesAFlatPlace) {
  TeachingFolder folder = small_folder();
  const auto at = std::filesystem::path(::testing::TempDir()) / "flat-place";
  std::filesystem::create_directories(at);
  const cv::Rect seal(40, 260, 210, 150);
  const auto flatten = [&](const std::filesystem::path& from) {
    cv::Mat picture = cv::imread(from.string());
    picture(seal).setTo(cv::Scalar(90, 90, 90));
    const auto to = at / from.filename().replace_extension(".png");
    cv::imwrite(to.string(), picture);
    return to;
  };
  folder.reference = flatten(folder.reference);
  for (LabelledPicture& p : folder.pictures) p.path = flatten(p.path);
  const Result<TeachResult> result = teach(folder);
  std::filesystem::remove_all(at);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().category, Category::bad_input);
  EXPECT_THAT(result.error().message, HasSubstr("seal"));
  EXPECT_THAT(result.error().message, HasSubstr("flat"));
}

TEST(Teach, RefusesAPictureOfAnotherSize) {
  TeachingFolder folder = small_folder();
  folder.picture_px = {640, 480};
  const Result<TeachResult> result = teach(folder);
  ASSERT_FALSE(result);
  EXPECT_THAT(result.error().message, HasSubstr("expected 640 x 480 pixels, found 1280 x 960"));
}

TEST(Teach, RefusesAFolderWithoutPictures) {
  TeachingFolder folder = small_folder();
  folder.pictures.clear();
  EXPECT_FALSE(teach(folder));
}

}  // namespace
}  // namespace lastlook::vision
