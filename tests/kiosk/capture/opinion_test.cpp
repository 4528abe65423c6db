// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/opinion.h"

#include "tests/kiosk/capture/small_product.h"

namespace lastlook::capture {
namespace {

using testing::Scene;

const vision::Model& model() {
  static const vision::Model taught = testing::taught_small_product();
  return taught;
}

Assistance judged(const Scene& scene, const Asked& asked = {"look-1", "SP", "0042"}) {
  const Frame frame{.number = 9, .taken_us = 0, .picture = testing::picture_of(scene), .name = {}};
  return judge_once(model(), testing::small_master(), frame, asked);
}

Withhold why(const Assistance& assistance) {
  return std::get<Withheld>(assistance).why;
}

TEST(JudgeOnce, GivesAnOpinionOfTheAskedUnitWithItsEvidence) {
  const Assistance assistance = judged({.code = "SP1-0042"});
  ASSERT_TRUE(std::holds_alternative<Given>(assistance)) << to_word(why(assistance));
  const auto& [opinion, tag_serial, jpeg, overlay, png] = std::get<Given>(assistance);
  EXPECT_EQ(tag_serial, "0042");
  EXPECT_EQ(opinion.look, "look-1");
  EXPECT_EQ(opinion.frame, 9);
  EXPECT_EQ(opinion.model, model().id);
  ASSERT_EQ(opinion.components.size(), 2);
  const domain::ComponentOpinion& knob = opinion.components[0];
  EXPECT_EQ(knob.component, "knob");
  EXPECT_EQ(knob.opinion, domain::Opinion::present);
  EXPECT_EQ(knob.conforming, "yes");
  EXPECT_EQ(knob.reason, "as_taught");
  EXPECT_NEAR(knob.box.x, 90.0 / 640, 0.01);
  EXPECT_NEAR(knob.box.h, 100.0 / 480, 0.01);
  EXPECT_EQ(cv::imdecode(jpeg, cv::IMREAD_COLOR).size(), cv::Size(640, 480));
}

// Where the cover is missing, and nowhere near the knob, which is as taught.
TEST(JudgeOnce, MapsWhereTheUnitDiffers) {
  const auto whole = std::get<Given>(judged({.code = "SP1-0042"}));
  EXPECT_TRUE(whole.overlay.empty());
  EXPECT_TRUE(whole.png.empty());
  const auto bare = std::get<Given>(judged({.code = "SP1-0042", .cover = false}));
  ASSERT_EQ(bare.overlay.size(), cv::Size(320, 240));
  const cv::Rect cover(150, 30, 70, 50), knob(45, 40, 50, 50);  // at half size
  EXPECT_GT(cv::mean(bare.overlay(cover))[0], 64);
  EXPECT_EQ(cv::countNonZero(bare.overlay(knob)), 0);
  const cv::Mat read = cv::imdecode(bare.png, cv::IMREAD_GRAYSCALE);
  EXPECT_EQ(cv::norm(read, bare.overlay, cv::NORM_INF), 0);
}

TEST(JudgeOnce, HasNoneOfAPictureThatCannotBeJudgedAndSaysWhy) {
  const Frame frame{.number = 9,
                    .taken_us = 0,
                    .picture = cv::Mat(480, 640, CV_32FC2, cv::Scalar(0, 0)),
                    .name = {}};
  const Assistance none =
      judge_once(model(), testing::small_master(), frame, {"look-1", "SP", "0042"});
  ASSERT_EQ(why(none), Withhold::not_judged);
  EXPECT_EQ(std::get<Withheld>(none).look, "look-1");
  EXPECT_FALSE(std::get<Withheld>(none).detail.empty());
}

TEST(JudgeOnce, ConformsToTheVariantAskedFor) {
  const Scene bare{.code = "SP1-0042", .cover = false};
  const auto with = std::get<Given>(judged(bare)).opinion.components[1];
  EXPECT_EQ(with.opinion, domain::Opinion::absent);
  EXPECT_EQ(with.conforming, "no");
  const auto without =
      std::get<Given>(judged(bare, {"look-1", "SPN", "0042"})).opinion.components[1];
  EXPECT_EQ(without.opinion, domain::Opinion::absent);
  EXPECT_EQ(without.conforming, "yes");
}

TEST(JudgeOnce, HasNoneWithoutThisUnitsTag) {
  const Assistance other = judged({.code = "SP1-0043"});
  ASSERT_EQ(why(other), Withhold::other_tag);
  EXPECT_EQ(std::get<Withheld>(other).codes, std::vector<std::string>{"SP1-0043"});
  EXPECT_EQ(std::get<Withheld>(other).frame, 9);
  EXPECT_EQ(why(judged({.code = "no serial at all"})), Withhold::tag_not_read);
}

TEST(JudgeOnce, HasNoneWithAnotherUnitsTagInView) {
  const Assistance both = judged({.code = "SP1-0042", .second_code = "SP1-0077"});
  ASSERT_EQ(why(both), Withhold::other_tag);
  EXPECT_EQ(std::get<Withheld>(both).codes, std::vector<std::string>{"SP1-0077"});
}

TEST(JudgeOnce, HasNoneOfWhatItWasNotTaughtAndWithoutAUnit) {
  EXPECT_EQ(why(judged({}, {"look-1", "SQ", "0001"})), Withhold::variant_not_taught);
  EXPECT_EQ(why(judged({.plate = false})), Withhold::no_unit);
}

TEST(JudgeOnce, HasNoneOfAPictureThatIsUnfit) {
  EXPECT_EQ(why(judged({.code = "SP1-0042", .light = 0.12})), Withhold::too_dark);
  EXPECT_EQ(why(judged({.code = "SP1-0042", .light = 6})), Withhold::too_bright);
}

TEST(UnitsJudge, SaysThatTheCameraMovedOnceUnitAfterUnitLiesElsewhere) {
  UnitsJudge judge(model(), testing::small_master());
  const auto why_of = [&](int unit, cv::Point shift) {
    const std::string serial = "01" + std::to_string(10 + unit);
    const Scene scene{.code = "SP1-" + serial, .shift = shift, .noise = unit};
    const Frame frame{
        .number = unit, .taken_us = 0, .picture = testing::picture_of(scene), .name = {}};
    const Assistance given = judge.judge(frame, {"look-" + serial, "SP", serial});
    return std::holds_alternative<Given>(given) ? "given" : to_word(why(given));
  };
  for (int unit = 0; unit < 8; ++unit) EXPECT_EQ(why_of(unit, {0, 0}), "given");
  std::string_view last;
  for (int unit = 8; unit < 24; ++unit) last = why_of(unit, {44, 30});
  EXPECT_EQ(last, "camera_moved");
}

TEST(Agree, NamesTheStepWhereModelAndChecklistDiffer) {
  domain::Master master = testing::small_master();
  EXPECT_TRUE(agree(model(), master));
  master.variants[1].checklist[1].expected = domain::Expectation::present;
  const Status status = agree(model(), master);
  ASSERT_FALSE(status);
  EXPECT_EQ(status.error().category, Category::refused);
  EXPECT_THAT(status.error().message, ::testing::HasSubstr("cover of SPN"));
}

TEST(Withhold, HasAWordForEach) {
  EXPECT_EQ(to_word(Withhold::other_tag), "other_tag");
  EXPECT_EQ(to_word(Withhold::lens_dirty), "lens_dirty");
}

}  // namespace
}  // namespace lastlook::capture
