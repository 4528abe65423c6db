// SPDX-License-Identifier: Apache-2.0
// Rule 4 of the trade (common practice): which of a unit's earlier results counts.
#include "kiosk/flows/upstream.h"

#include "tests/kiosk/domain/plant.h"

namespace lastlook::flows {
namespace {

using namespace domain;

const Master plant = domain::testing::small_plant();  // rework of not_seated voids leak

KnownResult leak(bool passed, std::int64_t measured_us, bool voided = false) {
  return {{UpstreamTest::leak, passed, "", measured_us}, voided};
}

UnitRecord unit_with(std::vector<KnownResult> results) {
  UnitRecord unit;
  unit.results = std::move(results);
  return unit;
}

PastLook stopped(Disposition disposition, const std::string& defect, std::int64_t closed_us) {
  PastLook look;
  look.disposition = disposition;
  look.closed_us = closed_us;
  look.findings.resize(1);
  look.findings[0].defect = defect;
  return look;
}

Standing leak_of(const UnitRecord& unit) {
  return standing_of(plant, unit, UpstreamTest::leak);
}

TEST(Upstream, NoResultIsMissing) {
  EXPECT_EQ(leak_of({}), Standing::missing);
  const UnitRecord unit = unit_with({leak(true, 10)});
  EXPECT_EQ(leak_of(unit), Standing::passed);
  EXPECT_EQ(standing_of(plant, unit, UpstreamTest::functional), Standing::missing);
}

TEST(Upstream, TheResultMeasuredLastDecidesInWhateverOrderTheyCame) {
  EXPECT_EQ(leak_of(unit_with({leak(true, 10), leak(false, 20)})), Standing::failed);
  EXPECT_EQ(leak_of(unit_with({leak(false, 20), leak(true, 10)})), Standing::failed);
  EXPECT_EQ(leak_of(unit_with({leak(false, 10), leak(true, 20)})), Standing::passed);
  EXPECT_EQ(leak_of(unit_with({leak(true, 10), leak(false, 10)})), Standing::failed) << "a tie";
}

TEST(Upstream, AVoidedResultCountsNoMore) {
  EXPECT_EQ(leak_of(unit_with({leak(true, 10, true)})), Standing::missing);
  EXPECT_EQ(leak_of(unit_with({leak(false, 10, true), leak(true, 5)})), Standing::passed);
}

TEST(Upstream, OnlyResultsAfterTheReworkThatVoidsThemCount) {
  UnitRecord unit = unit_with({leak(true, 10)});
  unit.looks = {stopped(Disposition::rework, "not_seated", 20)};
  EXPECT_EQ(voided_until(plant, unit, UpstreamTest::leak), 20);
  EXPECT_EQ(leak_of(unit), Standing::missing);
  unit.results.push_back(leak(true, 20));
  EXPECT_EQ(leak_of(unit), Standing::missing) << "arrived late, measured before";
  unit.results.push_back(leak(true, 21));
  EXPECT_EQ(leak_of(unit), Standing::passed);
}

TEST(Upstream, AHoldOrAnotherDefectVoidsNothing) {
  UnitRecord unit = unit_with({leak(true, 10)});
  unit.looks = {stopped(Disposition::hold, "not_seated", 20),
                stopped(Disposition::rework, "missing", 30)};
  EXPECT_EQ(voided_until(plant, unit, UpstreamTest::leak), std::nullopt);
  EXPECT_EQ(leak_of(unit), Standing::passed);
}

}  // namespace
}  // namespace lastlook::flows
