// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/judged_change.h"

#include <gmock/gmock.h>

#include "tests/kiosk/domain/plant.h"

namespace lastlook::domain {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

std::vector<std::string> changes(const Master& after, const std::string& variant = "CP-210") {
  return judged_changes(testing::small_plant(), after, variant);
}

TEST(JudgedChange, IsOfTheChecklistOfTheVariant) {
  Master plant = testing::small_plant();
  plant.components.push_back({"clip", "hose clip", {0.5, 0.5, 0.1, 0.1}});
  plant.variants[0].checklist.push_back({"clip", Expectation::present, "Closed."});
  std::erase_if(plant.variants[0].checklist, [](const Step& s) { return s.component == "tag"; });
  plant.variants[0].checklist[1].expected = Expectation::absent;
  EXPECT_THAT(changes(plant),
              ElementsAre("lid expected absent", "hose clip is new in the checklist",
                          "tag is no longer in the checklist"));
  EXPECT_THAT(changes(plant, "CP-210N"), IsEmpty());
}

TEST(JudgedChange, IsOfTheRule) {
  Master plant = testing::small_plant();
  plant.variants[0].checklist[0].instruction = "Green ring, flush.";
  EXPECT_THAT(changes(plant), ElementsAre("what is right of connector seal"));
  plant = testing::small_plant();
  plant.defects[2].components = {"seal"};
  EXPECT_THAT(changes(plant), ElementsAre("defects of lid"));
  plant = testing::small_plant();
  plant.required_results.pop_back();
  EXPECT_THAT(changes(plant), ElementsAre("required results"));
}

TEST(JudgedChange, IsNoneWhereTheSameIsJudgedByTheSameRule) {
  Master plant = testing::small_plant();
  plant.revision = 8;
  plant.lock_after_min = 3;
  plant.shifts[0].start_min += 30;
  plant.second_looks.accept = 0.1;
  plant.components[0].box.x = 0.2;
  std::swap(plant.variants[0].checklist[0], plant.variants[0].checklist[1]);
  EXPECT_THAT(changes(plant), IsEmpty());
  EXPECT_THAT(changes(plant, "none"), IsEmpty());
}

}  // namespace
}  // namespace lastlook::domain
