// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/master.h"

#include "tests/kiosk/domain/plant.h"

namespace lastlook::domain {
namespace {

std::string complaint(const Master& master) {
  const Status status = check(master);
  return status ? "" : status.error().message;
}

std::vector<std::string> ids(const std::vector<const Defect*>& defects) {
  std::vector<std::string> all;
  for (const Defect* defect : defects) all.push_back(defect->id);
  return all;
}

TEST(Master, TheSmallPlantIsSound) {
  EXPECT_EQ(complaint(testing::small_plant()), "");
}

TEST(Master, AStepForAnUnknownComponentIsNamedByItsPath) {
  Master plant = testing::small_plant();
  plant.variants[1].checklist[2].component = "wheel";
  EXPECT_EQ(complaint(plant),
            "variants[1].checklist[2].component: 'wheel' is not among the components");
}

TEST(Master, TwoShiftsWithOneStartAreRefused) {
  Master plant = testing::small_plant();
  plant.shifts[2].start_min = plant.shifts[1].start_min;
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("shifts[2].start_min"));
}

TEST(Master, APatternNeedsASerialGroup) {
  Master plant = testing::small_plant();
  plant.tag_pattern = R"(\d+)";
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("serial"));
  plant.tag_pattern = "(";
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("tag_pattern"));
}

TEST(Master, ACatalogueAlwaysHasSomethingElse) {
  Master plant = testing::small_plant();
  plant.defects.pop_back();
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("something_else"));
}

TEST(Master, AThingCanBeMissingOnlyWhereItIsExpected) {
  using ::testing::ElementsAre;
  const Master plant = testing::small_plant();
  EXPECT_THAT(ids(plant.defects_at("lid", Expectation::present)),
              ElementsAre("missing", "not_seated", "something_else"));
  EXPECT_THAT(ids(plant.defects_at("lid", Expectation::absent)),
              ElementsAre("not_wanted", "not_seated", "something_else"));
  EXPECT_THAT(ids(plant.defects_at("tag", Expectation::present)),
              ElementsAre("missing", "something_else"));
}

TEST(Master, AProofTakesAGoodAndAFaultyPartOfEachVariant) {
  Master plant = testing::small_plant();
  plant.assist_needs_proof = true;
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("variants[0]: has no good challenge part"));
  plant.challenge_parts = {{"1", "CP-210", {}}, {"2", "CP-210", {"lid"}}, {"3", "CP-210N", {}}};
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("variants[1]: has no faulty challenge part"));
  plant.challenge_parts.push_back({"4", "CP-210N", {"lid", "seal"}});
  EXPECT_EQ(complaint(plant), "");
  EXPECT_EQ(plant.challenge_part("4")->variant, "CP-210N");
  EXPECT_EQ(plant.challenge_part("5"), nullptr);
}

TEST(Master, AChallengePartIsNamedByItsPath) {
  Master plant = testing::small_plant();
  plant.challenge_parts = {{"1", "CP-999", {}}};
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("challenge_parts[0].variant: 'CP-999'"));
  plant.challenge_parts = {{"1", "CP-210", {"wheel"}}};
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("challenge_parts[0].faults[0]: 'wheel'"));
  plant.challenge_parts = {{"1", "CP-210", {}}, {"1", "CP-210", {}}};
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("challenge_parts[1].serial"));
  plant.challenge_parts = {{"", "CP-210", {}}};
  EXPECT_THAT(complaint(plant), ::testing::HasSubstr("challenge_parts[0].serial: is empty"));
}

}  // namespace
}  // namespace lastlook::domain
