// SPDX-License-Identifier: Apache-2.0
// The truth is labels.csv of the sample pictures; none of those judged here was taught.
#include "vision/judge.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "tests/vision/samples.h"

namespace lastlook::vision {
namespace {

using ::testing::AnyOf;

ComponentOpinion opinion_on(const Judgement& judgement, const std::string& component) {
  const Model& model = testing::taught_pump();
  for (std::size_t i = 0; i < model.components.size(); ++i)
    if (model.components[i].name == component) return judgement.components[i];
  ADD_FAILURE() << "no component " << component;
  return {};
}

Judgement judged(const std::string& file, const char* variant) {
  return *judge(testing::taught_pump(), testing::pump_picture(file), variant);
}

// check-004: a CP-210N with the wrong seal, no outlet plug, no second grommet, and lid and strap
// that it should not have.
TEST(Judge, TellsWhatIsAbsentWrongAndTooMuch) {
  const Judgement judgement = judged("check-004.jpg", "CP-210N");
  ASSERT_TRUE(judgement.alignment.found);
  EXPECT_EQ(opinion_on(judgement, "seal").opinion, Opinion::not_right);
  EXPECT_EQ(opinion_on(judgement, "outlet_plug").conforming, Conforming::no);
  EXPECT_EQ(opinion_on(judgement, "inlet_plug").opinion, Opinion::present);
  EXPECT_EQ(opinion_on(judgement, "lid").conforming, Conforming::no);
  EXPECT_NE(opinion_on(judgement, "ground_strap").conforming, Conforming::yes);
}

TEST(Judge, CallsAGoodUnitGood) {
  const Judgement judgement = judged("check-001.jpg", "CP-210");
  for (const ComponentOpinion& one : judgement.components)
    EXPECT_EQ(one.conforming, Conforming::yes)
        << testing::taught_pump().components[one.component].name << " " << one.score;
}

// labels.csv gives the box of check-001's lid as 260,234,365,231.
TEST(Judge, SaysWhereTheComponentBelongs) {
  const cv::Rect2d box = opinion_on(judged("check-001.jpg", "CP-210"), "lid").box_px;
  EXPECT_NEAR(box.x, 260, 1.5);
  EXPECT_NEAR(box.y, 234, 1.5);
  EXPECT_NEAR(box.width, 365, 1.5);
  EXPECT_NEAR(box.height, 231, 1.5);
}

TEST(Judge, IsUnsureOfEverythingWhereThereIsNoUnit) {
  const cv::Mat flat(960, 1280, CV_8UC3, cv::Scalar(70, 80, 90));
  const Judgement judgement = *judge(testing::taught_pump(), flat, "CP-210");
  EXPECT_FALSE(judgement.alignment.found);
  for (const ComponentOpinion& one : judgement.components) {
    EXPECT_EQ(one.opinion, Opinion::unsure);
    EXPECT_EQ(one.conforming, Conforming::unsure);
    EXPECT_EQ(one.reason.code, ReasonCode::no_unit);
    EXPECT_TRUE(one.score >= 0 && one.score <= 1);
  }
}

TEST(Judge, ListsTheVariantsItKnows) {
  const auto result =
      judge(testing::taught_pump(), testing::pump_picture("reference.jpg"), "CP-999");
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().category, Category::bad_input);
  EXPECT_THAT(result.error().message, ::testing::HasSubstr("CP-210, CP-210N"));
}

// check-026: red cap (wrong), clip and seal absent, the second grommet popped out, tag of the other
// variant.
TEST(Judge, SaysWhy) {
  const Judgement judgement = judged("check-026.jpg", "CP-210");
  EXPECT_EQ(opinion_on(judgement, "inlet_plug").reason.code, ReasonCode::colour_differs);
  EXPECT_GT(opinion_on(judgement, "inlet_plug").reason.colour, 4);
  EXPECT_EQ(opinion_on(judgement, "tag").reason.code, ReasonCode::other_code);
  EXPECT_EQ(judgement.code_text, "CP210N-26321-00292");  // its serial by images.csv
  EXPECT_THAT(opinion_on(judgement, "grommet_2").reason.code,
              AnyOf(ReasonCode::shape_differs, ReasonCode::shifted, ReasonCode::turned));
  const cv::Mat overlay = opinion_on(judgement, "inlet_plug").overlay;
  ASSERT_FALSE(overlay.empty());
  EXPECT_GT(cv::countNonZero(overlay > 128), static_cast<int>(overlay.total() / 10));
}

TEST(Judge, DoesNotKnowWhatASleeveCovers) {
  cv::Mat picture = testing::pump_picture("check-001.jpg");
  cv::rectangle(picture, cv::Rect(180, 60, 320, 200), cv::Scalar(60, 70, 140), cv::FILLED);
  const Judgement judgement = *judge(testing::taught_pump(), picture, "CP-210");
  ASSERT_TRUE(judgement.alignment.found);
  const ComponentOpinion grommet = opinion_on(judgement, "grommet_1");
  EXPECT_EQ(grommet.opinion, Opinion::unsure);
  EXPECT_EQ(grommet.reason.code, ReasonCode::covered);
  EXPECT_GT(grommet.reason.covered_share, 0.5);
  EXPECT_EQ(opinion_on(judgement, "clip").opinion, Opinion::present);
}

TEST(Judge, ScalesItsBoxesToThePictureGiven) {
  cv::Mat half;
  cv::resize(testing::pump_picture("check-001.jpg"), half, {640, 480}, 0, 0, cv::INTER_AREA);
  const Judgement judgement = *judge(testing::taught_pump(), half, "CP-210");
  ASSERT_TRUE(judgement.alignment.found);
  EXPECT_NEAR(opinion_on(judgement, "lid").box_px.x, 130, 1.5);
  EXPECT_NEAR(opinion_on(judgement, "lid").box_px.width, 182.5, 1.5);
}

TEST(Judge, RefusesAPictureOfAnotherShape) {
  const auto result = judge(testing::taught_pump(), cv::Mat(720, 1280, CV_8UC3), "CP-210");
  ASSERT_FALSE(result);
  EXPECT_THAT(result.error().message, ::testing::HasSubstr("1280 x 960"));
}

// Pictures that no camera should give: noise, black, white, a single pixel enlarged.
TEST(Judge, SaysNothingStrangeOfStrangePictures) {
  cv::RNG rng(6);
  cv::Mat noise(960, 1280, CV_8UC3);
  rng.fill(noise, cv::RNG::UNIFORM, 0, 255);
  const cv::Mat good = testing::pump_picture("check-001.jpg");
  cv::Mat burnt = good * 40;
  cv::Mat black_half = good.clone();
  black_half.colRange(0, 640).setTo(0);
  for (const cv::Mat& picture :
       {noise, burnt, black_half, cv::Mat(960, 1280, CV_8UC3, cv::Scalar(0, 0, 0)),
        cv::Mat(960, 1280, CV_8UC3, cv::Scalar(255, 255, 255)),
        cv::Mat(3, 4, CV_8UC1, cv::Scalar(7))}) {
    const Result<Judgement> judgement = judge(testing::taught_pump(), picture, "CP-210");
    ASSERT_TRUE(judgement) << judgement.error().message;
    for (const ComponentOpinion& one : judgement->components) {
      EXPECT_TRUE(one.score >= 0 && one.score <= 1);
      EXPECT_TRUE(std::isfinite(one.box_px.x) && std::isfinite(one.box_px.width));
    }
  }
}

TEST(Judge, RefusesAPictureThatIsNone) {
  EXPECT_FALSE(judge(testing::taught_pump(), cv::Mat(), "CP-210"));
  EXPECT_FALSE(judge(testing::taught_pump(), cv::Mat(9, 9, CV_32F), "CP-210"));
}

}  // namespace
}  // namespace lastlook::vision
