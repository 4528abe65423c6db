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

}  // namespace
}  // namespace lastlook::domain
