// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/teaching.h"

#include "tests/kiosk/domain/plant.h"

namespace lastlook::domain {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::small_plant;
using enum Expectation;

const std::vector<TeachingMark> seal_and_lid{{"seal", {0.05, 0.3, 0.1, 0.1}},
                                             {"lid", {0.2, 0.25, 0.3, 0.25}}};

TEST(Labels, OfAGoodOneAreWhatItsVariantExpects) {
  EXPECT_THAT(labels_of(small_plant(), {"a.jpg", "CP-210", {}}, seal_and_lid),
              ElementsAre(TeachingLabel{"seal", Seen::present, present, true},
                          TeachingLabel{"lid", Seen::present, present, true}));
  EXPECT_THAT(labels_of(small_plant(), {"a.jpg", "CP-210N", {}}, seal_and_lid),
              ElementsAre(TeachingLabel{"seal", Seen::present, present, true},
                          TeachingLabel{"lid", Seen::absent, absent, true}));
}

TEST(Labels, OfABadOneAreBadAtItsFaultsAlone) {
  EXPECT_THAT(labels_of(small_plant(), {"a.jpg", "CP-210", {{"lid", Seen::absent}}}, seal_and_lid),
              ElementsAre(TeachingLabel{"seal", Seen::present, present, true},
                          TeachingLabel{"lid", Seen::absent, present, false}));
  EXPECT_THAT(
      labels_of(small_plant(), {"a.jpg", "CP-210N", {{"lid", Seen::present}}}, seal_and_lid),
      ElementsAre(TeachingLabel{"seal", Seen::present, present, true},
                  TeachingLabel{"lid", Seen::present, absent, false}));
}

// The empty place is right where nothing is expected, whatever a person calls it.
TEST(Labels, WhatTheVariantExpectsIsRight) {
  const auto labels =
      labels_of(small_plant(), {"a.jpg", "CP-210N", {{"lid", Seen::absent}}}, seal_and_lid);
  EXPECT_TRUE(labels[1].ok);
  EXPECT_THAT(possible_faults(absent), ElementsAre(Seen::present, Seen::wrong));
  EXPECT_THAT(possible_faults(present), ElementsAre(Seen::absent, Seen::wrong, Seen::misplaced));
}

TEST(Labels, OfAPlaceThatNoChecklistNamesExpectSomethingThere) {
  EXPECT_EQ(expected_at(small_plant(), "CP-210N", "sticker"), present);
  Master plant = small_plant();
  plant.variants[0].checklist.push_back({"sticker", present, ""});
  EXPECT_EQ(expected_at(plant, "CP-210", "sticker"), present);
  EXPECT_EQ(expected_at(plant, "CP-210N", "sticker"), absent) << "another variant has it";
}

std::vector<TeachingShot> good_ones(const std::string& variant, int n) {
  return std::vector<TeachingShot>(static_cast<std::size_t>(n), {"x.jpg", variant, {}});
}

TEST(StillWanted, GoodOnesThenOtherLightsThenFaults) {
  using enum Wanted::What;
  EXPECT_THAT(
      still_wanted("CP-210", seal_and_lid, good_ones("CP-210", 1)),
      ElementsAre(Wanted{good, "CP-210", 2}, Wanted{fault, "seal", 1}, Wanted{fault, "lid", 1}));
  auto shots = good_ones("CP-210", 4);
  shots.push_back({"y.jpg", "CP-210", {{"seal", Seen::wrong}}});
  EXPECT_THAT(still_wanted("CP-210", seal_and_lid, shots),
              ElementsAre(Wanted{light, "CP-210", 2}, Wanted{fault, "lid", 1}));
}

TEST(StillWanted, OfEveryVariantThatWasPhotographed) {
  using enum Wanted::What;
  auto shots = good_ones("CP-210", 6);
  shots.push_back({"n.jpg", "CP-210N", {}});
  EXPECT_THAT(still_wanted("CP-210", {}, shots), ElementsAre(Wanted{good, "CP-210N", 2}));
  EXPECT_THAT(still_wanted("CP-210", {}, good_ones("CP-210", 6)), IsEmpty());
  EXPECT_THAT(variants_of(small_plant(), shots), ElementsAre("CP-210", "CP-210N"));
}

}  // namespace
}  // namespace lastlook::domain
