// SPDX-License-Identifier: Apache-2.0
// The truth is labels.csv of the sample pictures; none of those judged here was taught.
#include "vision/judge.h"

#include <cmath>

#include "tests/vision/samples.h"

namespace lastlook::vision {
namespace {

using ::testing::AnyOf;

ComponentOpinion opinion_on(const Judgement& judgement, const std::string& component) {
  const Model& model = testing::taught_pump().model;
  for (std::size_t i = 0; i < model.components.size(); ++i)
    if (model.components[i].name == component) return judgement.components[i];
  ADD_FAILURE() << "no component " << component;
  return {};
}

Judgement judged(const std::string& file, const char* variant) {
  return *judge(testing::taught_pump().model, testing::pump_picture(file), variant);
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
        << testing::taught_pump().model.components[one.component].name << " " << one.score;
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
  const Judgement judgement = *judge(testing::taught_pump().model, flat, "CP-210");
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
      judge(testing::taught_pump().model, testing::pump_picture("reference.jpg"), "CP-999");
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().category, Category::bad_input);
  EXPECT_THAT(result.error().message, ::testing::HasSubstr("CP-210, CP-210N"));
}

TEST(Judge, RefusesAPictureThatIsNone) {
  EXPECT_FALSE(judge(testing::taught_pump().model, cv::Mat(), "CP-210"));
  EXPECT_FALSE(judge(testing::taught_pump().model, cv::Mat(9, 9, CV_32F), "CP-210"));
}

}  // namespace
}  // namespace lastlook::vision
