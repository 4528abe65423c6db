// SPDX-License-Identifier: Apache-2.0
// The line of the invented plant: what is built into the history must be there to be found.
#include "kiosk/commands/demo_units.h"

#include <algorithm>
#include <set>

#include "kiosk/commands/demo_plant.h"
#include "kiosk/domain/tag_code.h"

namespace {

using namespace lastlook::commands;
using lastlook::domain::Master;

constexpr int many = 4000;

Moment moment(int day, bool late) {
  return {day, 20, late, 2026, 330};
}

// How many of `many` units have this fault.
int with(const Fault& fault, const Moment& when) {
  Line line(7, 10'000);
  int count = 0;
  for (int i = 0; i < many; ++i) {
    const LineUnit unit = line.next(when);
    count += std::ranges::count(unit.faults, fault) > 0 ? 1 : 0;
  }
  return count;
}

TEST(DemoUnits, TheSameSeedGivesTheSameUnits) {
  Line one(7, 10'000);
  Line other(7, 10'000);
  for (int i = 0; i < 200; ++i) {
    const LineUnit a = one.next(moment(3, false));
    const LineUnit b = other.next(moment(3, false));
    EXPECT_EQ(a.serial, b.serial);
    EXPECT_EQ(a.faults, b.faults);
  }
}

TEST(DemoUnits, SealsAreBadOnTheTwoDaysOfTheBadBatchOnly) {
  const Fault cut{"seal", "seal_damaged"};
  const int before = with(cut, moment(bad_seals_first_day - 1, false));
  const int during = with(cut, moment(bad_seals_first_day, false));
  const int after = with(cut, moment(bad_seals_last_day + 1, false));
  EXPECT_LT(before, many / 100);
  EXPECT_GT(during, many / 13);
  EXPECT_LT(after, many / 100);
}

TEST(DemoUnits, TagsGoMissingMoreAndMoreOnTheLateShift) {
  const Fault none{"tag", "missing"};
  EXPECT_LT(with(none, moment(19, false)), many / 150);
  const int first_week = with(none, moment(2, true));
  const int last_week = with(none, moment(18, true));
  EXPECT_GT(last_week, 4 * first_week);
}

TEST(DemoUnits, AUnitWithoutAReadableTagHasNoCode) {
  Line line(7, 10'000);
  for (int i = 0; i < many; ++i) {
    const LineUnit unit = line.next(moment(19, true));
    const Fault* tag = unit.fault_at("tag");
    const bool unreadable = tag && (tag->defect == "missing" || tag->defect == "print_unreadable");
    EXPECT_EQ(unit.code.empty(), unreadable) << unit.serial;
  }
}

TEST(DemoUnits, EveryFaultIsInTheCatalogueAndCanOccurThere) {
  const auto plant = demo_master();
  ASSERT_TRUE(plant) << plant.error().message;
  Line line(7, 10'000);
  for (int i = 0; i < many; ++i) {
    const LineUnit unit = line.next(moment(i % 20, i % 2 == 0));
    const auto* variant = plant->master.variant(unit.variant);
    ASSERT_NE(variant, nullptr);
    for (const Fault& fault : unit.faults) {
      const auto step = std::ranges::find(variant->checklist, fault.component,
                                          &lastlook::domain::Step::component);
      ASSERT_NE(step, variant->checklist.end()) << fault.component;
      const auto known = plant->master.defects_at(fault.component, step->expected);
      EXPECT_EQ(std::ranges::count(known, plant->master.defect(fault.defect)), 1)
          << fault.defect << " at " << fault.component << " of " << unit.variant;
    }
  }
}

TEST(DemoUnits, CodesReadByThePlantsPatternAndNoSerialComesTwice) {
  const auto plant = demo_master();
  ASSERT_TRUE(plant) << plant.error().message;
  Line line(7, 10'000);
  std::set<std::string> serials;
  for (int i = 0; i < many; ++i) {
    const LineUnit unit = line.next(moment(3, false));
    EXPECT_TRUE(serials.insert(unit.serial).second) << unit.serial;
    if (unit.code.empty()) continue;
    const auto read = lastlook::domain::read_code(plant->master, unit.code);
    ASSERT_TRUE(read) << read.error().message;
    EXPECT_EQ(read->serial, unit.serial);
  }
}

}  // namespace
