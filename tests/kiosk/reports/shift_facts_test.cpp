// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_facts.h"

#include "tests/kiosk/records/station.h"

namespace lastlook::reports {
namespace {

using domain::ClaimVerdict;
using records::testing::must;

// The shift is of 2026-11-25; the four weeks before that day begin on 2026-10-28.
TEST(ShiftFacts, CountClaimsThatWereReportedInFourWeeks) {
  records::testing::Station station;
  const auto claim = [&](const std::string& serial, const std::string& reported,
                         std::optional<ClaimVerdict> verdict) {
    station.happen(domain::ClaimOpened{"C-" + serial, serial, reported, "leaks"});
    if (verdict)
      station.happen(domain::ClaimJudged{"C-" + serial, serial, *verdict, "seal", "", "looked"});
  };
  claim("1", "2026-10-27", ClaimVerdict::escaped);
  claim("2", "2026-10-28", ClaimVerdict::escaped);
  claim("3", "2026-11-25", ClaimVerdict::escaped);
  claim("4", "2026-11-26", ClaimVerdict::escaped);
  claim("5", "2026-11-10", ClaimVerdict::not_visible);
  claim("6", "2026-11-10", std::nullopt);
  const auto facts =
      must(shift_facts(*station.records, {"2026-11-25", "early"}, {}, station.clock.read()));
  EXPECT_EQ(facts.let_pass.field.escaped, 2);
  EXPECT_EQ(facts.let_pass.field.not_visible, 1);
  EXPECT_EQ(facts.let_pass.field.not_judged, 1);
}

}  // namespace
}  // namespace lastlook::reports
