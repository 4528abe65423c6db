// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/wording.h"
#include "tests/places.h"

#include <gtest/gtest.h>

namespace lastlook::screens {
namespace {

text::Strings english() {
  return text::Strings::load(source_dir() + "/assets/strings/en.json").value();
}

domain::Master master() {
  domain::Master m;
  m.components.push_back({"lid", "Lid", {}});
  m.defects.push_back({"damaged", "Damaged", domain::Severity::major, {}, {}, {}});
  return m;
}

TEST(Wording, NamesWhatItKnowsAndShowsTheIdOfWhatItDoesNot) {
  EXPECT_EQ(component_name(master(), "lid"), "Lid");
  EXPECT_EQ(component_name(master(), "fan"), "fan");
  EXPECT_EQ(defect_name(master(), "damaged"), "Damaged");
}

TEST(Wording, WordsTheSubjectsOfANotice) {
  const std::string text =
      worded(english(), master(), {"return_or_twin", {"26330-00417", "rework", "1"}});
  EXPECT_NE(text.find("26330-00417"), text.npos);
  EXPECT_NE(text.find("to rework"), text.npos) << text;
  EXPECT_EQ(text.find('{'), text.npos) << text;
}

TEST(Wording, WordsObstacles) {
  using Why = flows::Obstacle::Why;
  EXPECT_EQ(worded(english(), master(), flows::Obstacle{Why::finding_open, "lid"}),
            "Lid: finding open");
  EXPECT_EQ(worded(english(), master(), flows::Obstacle{Why::result_missing, "leak"}),
            "No result: leak test");
}

TEST(Wording, RoundsSharesButNeverToNoneOrAllOfThem) {
  EXPECT_EQ(percent(english(), 0), "0\u00a0%");
  EXPECT_EQ(percent(english(), 0.0004), "<0.1\u00a0%");
  EXPECT_EQ(percent(english(), 0.0767), "7.7\u00a0%");
  EXPECT_EQ(percent(english(), 0.863), "86\u00a0%");
  EXPECT_EQ(percent(english(), 0.9996), "99.9\u00a0%");
  EXPECT_EQ(percent(english(), 1), "100\u00a0%");
}

TEST(Wording, TellsTheDayOnlyOfAnotherDay) {
  constexpr std::int64_t hour_us = 3'600'000'000;
  const std::int64_t now_us = 20'000 * 24 * hour_us + 7 * hour_us;  // 2024-10-04, 07:00 UTC
  EXPECT_EQ(moment(now_us - hour_us, now_us, 120), "08:00");
  EXPECT_EQ(moment(now_us - 10 * hour_us, now_us, 120), "10-03 23:00");
  EXPECT_EQ(moment(now_us - 8 * hour_us, now_us, 120), "01:00");
}

TEST(Wording, TellsWhatAUnitWaitsFor) {
  const auto waits = [](bool parked, const char* why) {
    return waits_as({"k", "LL-1", "1", "", "CP-210", why, parked, 0});
  };
  EXPECT_EQ(waits(true, "waiting_for_result"), Waits::for_result);
  EXPECT_EQ(waits(true, "needs_advice"), Waits::parked);
  EXPECT_EQ(waits(false, "second_look"), Waits::second_look);
  EXPECT_EQ(waits(false, "no_tag"), Waits::on_hold);
}

TEST(Wording, TellsAges) {
  constexpr std::int64_t minute_us = 60'000'000;
  EXPECT_EQ(age(english(), 0, 30'000'000), "just now");
  EXPECT_EQ(age(english(), 0, 119 * minute_us), "119 min ago");
  EXPECT_EQ(age(english(), 0, 150 * minute_us), "2 h ago");
  EXPECT_EQ(age(english(), 0, 3000 * minute_us), "2 days ago");
  // A clock that was set back is no age.
  EXPECT_EQ(age(english(), 5 * minute_us, 0), "just now");
}

TEST(Wording, WritesNumbersAsTheLanguageDoes) {
  const auto german = text::Strings::load(source_dir() + "/assets/strings/de.json").value();
  EXPECT_EQ(decimal(english(), 0.934, 2), "0.93");
  EXPECT_EQ(decimal(german, 0.934, 2), "0,93");
  EXPECT_EQ(decimal(german, 12, 0), "12");
  EXPECT_EQ(percent(german, 0.041), "4,1\u00a0%");
  EXPECT_EQ(percent(german, 0.99999), "99,9\u00a0%");
  EXPECT_EQ(percent(english(), 0.00001), "<0.1\u00a0%");
}

}  // namespace
}  // namespace lastlook::screens
