// SPDX-License-Identifier: Apache-2.0
// Shifts of a real station, counted by hand.
#include "kiosk/reports/usual.h"

#include "tests/kiosk/records/station.h"

namespace lastlook::reports {
namespace {

using domain::Disposition;
using records::testing::must;

constexpr std::int64_t hour_s = 3600;

class UsualTest : public testing::Test {
 protected:
  // The clock stands at the start of an early shift; each look takes a few seconds.
  void shift(int good, int without_seal, int with_lid_off = 0) {
    const std::int64_t began_us = station_.clock.now.wall_us;
    for (int i = 0; i < good; ++i) look({});
    for (int i = 0; i < without_seal; ++i) look({{"seal", "missing"}});
    for (int i = 0; i < with_lid_off; ++i) look({{"lid", "not_seated"}});
    station_.clock.pass(8 * hour_s - (station_.clock.now.wall_us - began_us) / 1'000'000);
  }
  void night() { station_.clock.pass(8 * hour_s); }
  void look(const std::vector<std::pair<std::string, std::string>>& findings) {
    ++n_;
    station_.look("k-" + std::to_string(n_), std::to_string(n_), 1,
                  findings.empty() ? Disposition::accept : Disposition::rework, findings);
  }
  Usual usual(const char* date, const char* shift) {
    return must(usual_before(*station_.records, {date, shift}));
  }
  std::vector<Change> changes(const char* date, const char* shift) {
    return must(changes_since(*station_.records, {date, shift}, usual(date, shift)));
  }

  records::testing::Station station_;
  int n_ = 0;
};

TEST_F(UsualTest, SaysNothingOfAShiftWithoutUnits) {
  shift(4, 0);
  EXPECT_EQ(standing_of(usual("2026-11-25", "late")), Standing::no_units);
  EXPECT_TRUE(changes("2026-11-25", "late").empty());
}

TEST_F(UsualTest, RefusesToCallAnythingUsualBeforeEightShifts) {
  for (int day = 0; day < 3; ++day) {
    shift(5, 0);
    shift(5, 0);
    night();
  }
  shift(5, 0);  // the seventh
  shift(0, 5);
  const Usual seven = usual("2026-11-28", "late");
  EXPECT_EQ(seven.shifts, 7);
  EXPECT_EQ(standing_of(seven), Standing::too_few_shifts);
  night();
  shift(0, 5);
  const Usual eight = usual("2026-11-29", "early");
  EXPECT_EQ(eight.shifts, 8);
  EXPECT_EQ(standing_of(eight), Standing::worse);
}

TEST_F(UsualTest, SumsTheFourWeeksBeforeAndLeavesThisShiftOut) {
  shift(9, 1);  // 2026-11-25 early
  shift(7, 2, 1);
  night();
  shift(4, 4);  // 2026-11-26 early: the last one
  shift(3, 2);  // late: this one
  const Usual now = usual("2026-11-26", "late");
  EXPECT_EQ(now.shifts, 3);
  EXPECT_EQ(now.weeks.first_looks, 28);
  EXPECT_EQ(now.weeks.first_pass, 20);
  ASSERT_TRUE(now.last);
  EXPECT_EQ(now.last->shift, "early");
  EXPECT_EQ(now.last->counts.first_looks, 8);
  ASSERT_TRUE(now.by_shift);
  EXPECT_EQ(now.by_shift->points.size(), 4U);
  EXPECT_NEAR(now.by_shift->centre(), 8.0 / 28, 1e-12);
  // Four weeks later the same shifts are no part of what is usual any more.
  station_.clock.pass(29 * 24 * hour_s);
  shift(6, 0);
  const Usual later = usual("2026-12-25", "night");
  EXPECT_EQ(later.shifts, 0);
  EXPECT_EQ(later.by_shift->points.size(), 1U);
}

TEST_F(UsualTest, ComparesEachKindWithTheWeeksAndTheWholeWithTheLastShiftToo) {
  shift(9, 1);
  shift(7, 2, 1);
  night();
  shift(4, 4);
  shift(3, 2);
  std::map<std::string, std::vector<std::int64_t>> shares;
  for (const Change& change : changes("2026-11-26", "late")) {
    const auto& d = change.difference;
    shares[(change.since == Change::Since::weeks ? "weeks " : "last ") + change.component] = {
        d.before.hits, d.before.units, d.after.hits, d.after.units};
    EXPECT_FALSE(d.changed) << "five units prove nothing";
    EXPECT_GE(d.adjusted_p, d.p_value);
  }
  const std::map<std::string, std::vector<std::int64_t>> by_hand{{"weeks ", {8, 28, 2, 5}},
                                                                 {"last ", {4, 8, 2, 5}},
                                                                 {"weeks seal", {7, 28, 2, 5}},
                                                                 {"weeks lid", {1, 28, 0, 5}}};
  EXPECT_EQ(shares, by_hand);
}

TEST_F(UsualTest, PutsWhatChangedFirst) {
  for (int day = 0; day < 4; ++day) {
    shift(30, 0, 1);
    shift(30, 0, 1);
    night();
  }
  shift(5, 25, 1);
  const auto all = changes("2026-11-29", "early");
  ASSERT_EQ(all.size(), 4U);
  EXPECT_TRUE(all[2].difference.changed);
  EXPECT_EQ(all[3].component, "lid");
  EXPECT_FALSE(all[3].difference.changed);
}

TEST(DaysBefore, CountsOverMonthsAndLeavesWhatIsNoDate) {
  EXPECT_EQ(days_before("2026-03-10", 28), "2026-02-10");
  EXPECT_EQ(days_before("2024-03-01", 1), "2024-02-29");
  EXPECT_EQ(days_before("", 28), "");
}

}  // namespace
}  // namespace lastlook::reports
