// SPDX-License-Identifier: Apache-2.0
// The truth for the sample pictures is the serial in images.csv. Data Matrix symbols are written
// by ZXing's own writer, an independent program from its reader.
#include "vision/tag.h"

#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <opencv2/imgproc.hpp>

#include "tests/vision/samples.h"
#include "vision/code_head.h"

namespace lastlook::vision {
namespace {

using ::testing::ElementsAre;
using ::testing::Field;
using ::testing::IsEmpty;

cv::Mat symbol(const char* text, ZXing::BarcodeFormat format, int module_px) {
  const ZXing::BitMatrix bits =
      ZXing::MultiFormatWriter(format).setMargin(2).encode(std::string(text), 1, 1);
  cv::Mat small(bits.height(), bits.width(), CV_8U);
  for (int y = 0; y < bits.height(); ++y)
    for (int x = 0; x < bits.width(); ++x)
      small.at<unsigned char>(y, x) = bits.get(x, y) ? 30 : 220;
  cv::Mat large;
  cv::resize(small, large, {}, module_px, module_px, cv::INTER_NEAREST);
  cv::copyMakeBorder(large, large, 60, 60, 60, 60, cv::BORDER_CONSTANT, cv::Scalar(220));
  return large;
}

cv::Mat turned(const cv::Mat& picture, double deg) {
  cv::Mat out;
  const cv::Point2f middle(static_cast<float>(picture.cols) / 2,
                           static_cast<float>(picture.rows) / 2);
  cv::warpAffine(picture, out, cv::getRotationMatrix2D(middle, deg, 1), picture.size(),
                 cv::INTER_LINEAR, cv::BORDER_CONSTANT, cv::Scalar(220));
  return out;
}

class TagAngle : public ::testing::TestWithParam<int> {};

TEST_P(TagAngle, ReadsDataMatrixAndQr) {
  for (const auto format : {ZXing::BarcodeFormat::DataMatrix, ZXing::BarcodeFormat::QRCode}) {
    cv::Mat picture = turned(symbol("VX7-26330-00417", format, 6), GetParam());
    cv::GaussianBlur(picture, picture, {}, 1.2);
    EXPECT_THAT(read_tags(picture), ElementsAre(Field(&TagReading::text, "VX7-26330-00417")));
  }
}
INSTANTIATE_TEST_SUITE_P(Degrees, TagAngle, ::testing::Values(0, 17, 45, 90, 133, 180, 250));

TEST(Tag, ReadsTheSerialInAWholePicture) {
  EXPECT_THAT(read_tags(testing::pump_picture("check-001.jpg")),
              ElementsAre(Field(&TagReading::text, "CP210-26331-00231")));
  EXPECT_THAT(read_tags(testing::pump_picture("check-005.jpg")),
              ElementsAre(Field(&TagReading::text, "CP210-26332-00225")));
}

TEST(Tag, ReadsNothingWhereThereIsNoTag) {
  EXPECT_THAT(read_tags(testing::pump_picture("check-007.jpg")), IsEmpty());  // tag absent
  EXPECT_THAT(read_tags(cv::Mat()), IsEmpty());
  EXPECT_THAT(read_tags(cv::Mat(2, 2, CV_8UC3, cv::Scalar(0))), IsEmpty());
}

TEST(Tag, SaysWhereTheCodeIs) {
  const std::vector<TagReading> found = read_tags(testing::pump_picture("check-001.jpg"));
  ASSERT_EQ(found.size(), 1U);
  // labels.csv: the tag is at 253,532,219,118; its code fills the right part.
  for (const cv::Point2d& corner : found[0].corners_px)
    EXPECT_TRUE(cv::Rect2d(340, 530, 140, 125).contains(corner)) << corner;
}

TEST(CodeHead, IsWhatTellsTheType) {
  EXPECT_EQ(code_head("CP210-26330-00417"), "CP210");
  EXPECT_EQ(code_head("CP210N-26330-00417"), "CP210N");
  EXPECT_EQ(code_head("JB26330"), "JB");
  EXPECT_EQ(code_head("0123456"), "");
  EXPECT_EQ(code_head(""), "");
}

}  // namespace
}  // namespace lastlook::vision
