// SPDX-License-Identifier: Apache-2.0
// Rule 4 of the trade (common practice): which of a unit's earlier results counts.
#include "kiosk/flows/upstream.h"

namespace lastlook::flows {
namespace {

using namespace domain;

KnownResult leak(bool passed, std::int64_t measured_us, bool voided = false) {
  return {{UpstreamTest::leak, passed, "", measured_us}, voided};
}

Standing leak_of(std::vector<KnownResult> results) {
  UnitRecord unit;
  unit.results = std::move(results);
  return standing_of(unit, UpstreamTest::leak);
}

TEST(Upstream, NoResultIsMissing) {
  EXPECT_EQ(leak_of({}), Standing::missing);
  EXPECT_EQ(leak_of({leak(true, 10)}), Standing::passed);
  EXPECT_EQ(leak_of({{{UpstreamTest::functional, true, "", 10}, false}}), Standing::missing);
}

TEST(Upstream, TheResultMeasuredLastDecidesInWhateverOrderTheyCame) {
  EXPECT_EQ(leak_of({leak(true, 10), leak(false, 20)}), Standing::failed);
  EXPECT_EQ(leak_of({leak(false, 20), leak(true, 10)}), Standing::failed);
  EXPECT_EQ(leak_of({leak(false, 10), leak(true, 20)}), Standing::passed);
  EXPECT_EQ(leak_of({leak(true, 10), leak(false, 10)}), Standing::failed) << "a tie";
}

TEST(Upstream, AVoidedResultCountsNoMore) {
  EXPECT_EQ(leak_of({leak(true, 10, true)}), Standing::missing);
  EXPECT_EQ(leak_of({leak(false, 10, true), leak(true, 5)}), Standing::passed);
}

}  // namespace
}  // namespace lastlook::flows
