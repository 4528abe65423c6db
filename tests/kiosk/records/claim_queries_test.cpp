// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/claim_queries.h"

#include <gmock/gmock.h>

#include "kiosk/records/unit_story.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::ClaimVerdict;
using domain::Disposition;
using testing::must;

class Claims : public ::testing::Test {
 protected:
  void open(const std::string& serial, const std::string& claim,
            const std::string& reported = "2026-12-24") {
    station.happen(domain::ClaimOpened{claim, serial, reported, "leaks"});
  }
  void judge(const std::string& serial, const std::string& claim, ClaimVerdict verdict) {
    station.happen(domain::ClaimJudged{claim, serial, verdict, "seal", "missing", "looked inside"});
  }
  std::vector<Claim> all(const Period& period = {}) {
    return must(claims(*station.records, period));
  }
  testing::Station station;
};

TEST_F(Claims, NameTheLookThatLetTheUnitPass) {
  station.look("k-1", "1", 1, Disposition::rework);
  station.open_look("k-2", "1", 2);
  domain::OpinionGiven opinion{"k-2", 1, "m-1", "", {}};
  opinion.components.emplace_back().component = "seal";
  opinion.components[0].conforming = "unsure";
  station.happen(opinion, domain::StepAnswered{"k-2", "seal", domain::Answer::conforming, {}, ""},
                 domain::LookClosed{"k-2", Disposition::accept, "", ""});
  open("1", "C-1");
  ASSERT_EQ(all().size(), 1U);
  EXPECT_EQ(all()[0].look, "k-2");
  EXPECT_EQ(all()[0].production_date, "2026-11-25");
  EXPECT_EQ(all()[0].verdict, std::nullopt);
  EXPECT_EQ(all()[0].answer, "");  // about which component is not known yet
  judge("1", "C-1", ClaimVerdict::escaped);
  EXPECT_EQ(all()[0].verdict, ClaimVerdict::escaped);
  EXPECT_EQ(all()[0].answer, "conforming");
  EXPECT_EQ(all()[0].conforming, "unsure");
  // Repaired and accepted again since: it was not that look.
  station.clock.pass(60LL * 24 * 3600);
  station.look("k-3", "1", 3, Disposition::accept);
  EXPECT_EQ(all()[0].look, "k-2");
  EXPECT_TRUE(all({"2026-11-26", "", "", "", ""}).empty());
  EXPECT_EQ(all({"2026-11-25", "2026-11-25", "early", "LL-1", "CP-210"}).size(), 1U);
}

TEST_F(Claims, AUnitThatWasNeverAcceptedHereIsListedWithoutAPeriodOnly) {
  station.look("k-1", "1", 1, Disposition::scrap);
  open("1", "C-1");
  open("2", "C-2");
  ASSERT_EQ(all().size(), 2U);
  EXPECT_EQ(all()[0].look, "");
  EXPECT_TRUE(all({"2026-11-01", "", "", "", ""}).empty());
}

TEST_F(Claims, CountUnitsByWhatWeighsMost) {
  for (const char* serial : {"1", "2", "3", "4"})
    station.look(std::string("k-") + serial, serial, 1, Disposition::accept);
  open("1", "C-1");
  judge("1", "C-1", ClaimVerdict::not_visible);
  open("1", "C-2");
  judge("1", "C-2", ClaimVerdict::escaped);
  open("2", "C-3");
  open("3", "C-4");
  judge("3", "C-4", ClaimVerdict::escaped);
  judge("3", "C-4", ClaimVerdict::not_visible);  // judged again
  const ClaimCounts counts = counted(all());
  EXPECT_EQ(counts.escaped, 1);
  EXPECT_EQ(counts.not_visible, 1);
  EXPECT_EQ(counts.not_judged, 1);
}

TEST_F(Claims, StandInTheStoryOfTheUnit) {
  station.look("k-1", "1", 1, Disposition::accept);
  open("1", "C-2", "2026-12-24");
  open("1", "C-1", "2026-12-01");
  judge("1", "C-2", ClaimVerdict::escaped);
  const auto story = must(unit_story(*station.records, "1"));
  ASSERT_EQ(story->claims.size(), 2U);
  EXPECT_EQ(story->claims[0].claim, "C-1");
  EXPECT_EQ(story->claims[1].verdict, ClaimVerdict::escaped);
  EXPECT_EQ(story->claims[1].why, "looked inside");
}

TEST_F(Claims, AJudgementOfWhatWasNeverOpenedIsRefused) {
  EXPECT_FALSE(station.try_one(
      domain::ClaimJudged{"C-9", "1", ClaimVerdict::escaped, "seal", "", "looked inside"}));
}

}  // namespace
}  // namespace lastlook::records
