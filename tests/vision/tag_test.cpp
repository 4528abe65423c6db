// SPDX-License-Identifier: Apache-2.0
// The truth for the sample pictures is the serial in images.csv. Symbols come from two writers that
// are no part of the reader: ZXing's own, and zint (Debian's package of that name), which follows
// ISO/IEC 18004 and 16022 by itself.
#include "vision/tag.h"

#include <unistd.h>

#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <cstdlib>
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

// A symbol as zint writes it, enlarged, in grey, with room around it.
cv::Mat zint_symbol(const char* kind, const std::string& text) {
  const auto file = std::filesystem::path(::testing::TempDir()) /
                    ("zint-" + std::to_string(getpid()) + ".png");  // others run beside
  const std::string command = std::string("zint --barcode=") + kind +
                              " --square --scale=3 --output=" + file.string() + " --data=" + text;
  EXPECT_EQ(std::system(command.c_str()), 0) << "expected the program zint";
  cv::Mat symbol = cv::imread(file.string(), cv::IMREAD_GRAYSCALE);
  if (symbol.empty()) return symbol;
  std::filesystem::remove(file);
  cv::resize(symbol, symbol, {}, 1.3, 1.3, cv::INTER_LINEAR);  // no whole number of pixels a module
  cv::Mat dull = 30 + 0.74 * symbol;
  cv::copyMakeBorder(dull, dull, 80, 80, 80, 80, cv::BORDER_CONSTANT, cv::Scalar(220));
  return dull;
}

TEST_P(TagAngle, ReadsWhatZintWrites) {
  for (const auto& [kind, symbology] :
       {std::pair("58", Symbology::qr), std::pair("71", Symbology::data_matrix)}) {
    for (const std::string text : {"TB6-26330-00417", "LL0042", "01234567890123456789"}) {
      const cv::Mat symbol = zint_symbol(kind, text);
      ASSERT_FALSE(symbol.empty());
      cv::Mat picture = turned(symbol, GetParam() + 3);
      cv::GaussianBlur(picture, picture, {}, 1.0);
      const std::vector<TagReading> read = read_tags(picture);
      ASSERT_THAT(read, ElementsAre(Field(&TagReading::text, text)));
      EXPECT_EQ(read[0].symbology, symbology);
    }
  }
}

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
