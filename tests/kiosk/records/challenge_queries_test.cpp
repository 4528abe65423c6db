// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/challenge_queries.h"

#include <map>
#include <sstream>

#include "kiosk/records/audit.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using namespace domain;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::must;
using ::testing::SizeIs;

struct ChallengeTest : ::testing::Test {
  testing::Station station;

  void judge(const std::string& showing, const std::string& part, const std::string& proof,
             const std::vector<std::string>& unmet = {}, double score = 0.99,
             const std::string& model = "m-1") {
    PartJudged judged;
    judged.showing = showing;
    judged.part = part;
    judged.variant = "CP-210";
    judged.production_date = "2026-11-25";
    judged.shift = "early";
    judged.model = model;
    judged.unmet = unmet;
    judged.proof = proof;
    judged.components = {{"seal", Opinion::present, "yes", score, "as_taught", 0, {}}};
    station.happen(PartShown{showing, part, "CP-210"}, judged);
  }

  // A unit accepted with the camera's opinion on the screen, or without.
  void accept(const std::string& look, bool with_opinion) {
    station.open_look(look, look, 1);
    if (with_opinion) {
      OpinionGiven given;
      given.look = look;
      given.model = "m-1";
      given.components = {{"seal", Opinion::present, "yes", 0.99, "as_taught", 0, {}}};
      station.happen(given);
    }
    station.happen(StepAnswered{look, "seal", Answer::conforming, Answer::not_answered,
                                with_opinion ? "present" : ""});
    station.happen(LookClosed{look, Disposition::accept, "", ""});
  }

  static std::vector<std::string> serials(const std::vector<AcceptedUnit>& units) {
    std::vector<std::string> all;
    for (const AcceptedUnit& unit : units) all.push_back(unit.serial);
    return all;
  }
};

TEST_F(ChallengeTest, ContainmentReachesBackToTheLastHeldProof) {
  accept("u-0", true);
  judge("s-1", "good", "begun");
  judge("s-2", "faulty", "held");
  accept("u-1", true);
  accept("u-2", false);
  accept("u-3", true);
  judge("s-3", "faulty", "failed", {"seal"});
  accept("u-4", false);
  const Containment contained = must(containment(*station.records, "s-3"));
  EXPECT_EQ(contained.model, "m-1");
  EXPECT_THAT(serials(contained.relied), ElementsAre("u-1", "u-3"));
  EXPECT_EQ(contained.others, 1);
  EXPECT_THAT(serials(contained.sample), ElementsAre("u-2"));
  EXPECT_GT(contained.since_us, 0);
}

TEST_F(ChallengeTest, ContainmentWithoutAnEarlierProofReachesBackToTheFirstOpinion) {
  accept("u-0", false);
  const std::int64_t before = station.clock.now.wall_us;
  accept("u-1", true);
  accept("u-2", false);
  judge("s-0", "good", "held", {}, 0.99, "another model");
  judge("s-1", "faulty", "failed", {"seal"});
  const Containment contained = must(containment(*station.records, "s-1"));
  EXPECT_EQ(contained.reach, Reach::first_opinion);
  EXPECT_GT(contained.since_us, before);
  EXPECT_THAT(serials(contained.relied), ElementsAre("u-1"));
  EXPECT_THAT(serials(contained.sample), ElementsAre("u-2")) << "nobody relied on it before";
  EXPECT_THAT(contained.components, ElementsAre("seal"));
}

// Nobody accepts by a second look, so an opinion there puts no earlier unit in doubt.
TEST_F(ChallengeTest, ContainmentDoesNotReachBackToAnOpinionOfASecondLook) {
  station.look("k-1", "u-1", 1, Disposition::rework, {{"seal", "not_seated"}});
  station.happen(SecondLookDrawn{"k-1", Disposition::rework, 0.5, 0.1});
  station.open_second("k-2", "u-1", "k-1");
  OpinionGiven given;
  given.look = "k-2";
  given.model = "m-1";
  given.components = {{"seal", Opinion::present, "yes", 0.99, "as_taught", 0, {}}};
  station.happen(given, LookClosed{"k-2", Disposition::rework, "", ""});
  accept("u-2", false);
  const std::int64_t before = station.clock.now.wall_us;
  accept("u-3", true);
  judge("s-1", "faulty", "failed", {"seal"});
  const Containment contained = must(containment(*station.records, "s-1"));
  EXPECT_EQ(contained.reach, Reach::first_opinion);
  EXPECT_GT(contained.since_us, before);
  EXPECT_EQ(contained.others, 0) << "u-2 came before any opinion that was relied on";
}

TEST_F(ChallengeTest, AnOpinionCountsForTheVariantThatIsConfirmedAfterIt) {
  accept("u-0", false);
  const std::int64_t before = station.clock.now.wall_us;
  station.open_look("u-1", "u-1", 1);
  OpinionGiven given;
  given.look = "u-1";
  given.model = "m-1";
  given.components = {{"seal", Opinion::present, "yes", 0.99, "as_taught", 0, {}}};
  station.happen(VariantConfirmed{"u-1", "CP-210N"}, given);
  const std::int64_t after = station.clock.now.wall_us;
  station.happen(VariantConfirmed{"u-1", "CP-210"},
                 StepAnswered{"u-1", "seal", Answer::conforming, Answer::not_answered, "present"},
                 LookClosed{"u-1", Disposition::accept, "", ""});
  judge("s-1", "faulty", "failed", {"seal"});
  const Containment contained = must(containment(*station.records, "s-1"));
  EXPECT_EQ(contained.reach, Reach::first_opinion);
  EXPECT_GT(contained.since_us, before);
  EXPECT_LE(contained.since_us, after);
  EXPECT_THAT(serials(contained.relied), ElementsAre("u-1"));
}

TEST_F(ChallengeTest, AModelThatNeverGaveAnOpinionPutsNothingInDoubt) {
  accept("u-0", false);
  judge("s-1", "faulty", "failed", {"seal"});
  accept("u-1", true);
  const Containment contained = must(containment(*station.records, "s-1"));
  EXPECT_EQ(contained.reach, Reach::no_opinion);
  EXPECT_THAT(contained.relied, IsEmpty());
  EXPECT_EQ(contained.others, 0);
}

TEST_F(ChallengeTest, ContainmentLeavesOutWhatWasNotAccepted) {
  judge("s-1", "good", "held");
  accept("u-1", true);
  station.happen(DispositionCorrected{"u-1", 0, Disposition::accept, Disposition::hold, "doubt"});
  station.look("u-2", "u-2", 1, Disposition::scrap, {{"seal", "missing"}});
  judge("s-2", "good", "failed", {"seal"});
  const Containment contained = must(containment(*station.records, "s-2"));
  EXPECT_THAT(contained.relied, IsEmpty());
  EXPECT_EQ(contained.others, 0);
}

TEST_F(ChallengeTest, SampleOfTheRestIsOneInTenAndAtLeastFive) {
  judge("s-1", "good", "held");
  for (int unit = 100; unit < 172; ++unit) accept("u-" + std::to_string(unit), false);
  judge("s-2", "faulty", "failed", {"seal"});
  const Containment contained = must(containment(*station.records, "s-2"));
  EXPECT_EQ(contained.others, 72);
  EXPECT_THAT(contained.sample, SizeIs(8));
  EXPECT_EQ(serials(must(containment(*station.records, "s-2")).sample), serials(contained.sample));
}

TEST_F(ChallengeTest, ContainmentIsOfAFailedShowingOnly) {
  judge("s-1", "good", "held");
  EXPECT_EQ(containment(*station.records, "s-1").error().category, Category::refused);
  EXPECT_EQ(containment(*station.records, "s-9").error().category, Category::not_found);
}

// Also what was accepted on an opinion after the failure, at a plant that shows it all the same.
TEST_F(ChallengeTest, AllThatThePeriodPutsInDoubtIsListedOnce) {
  judge("s-1", "good", "held");
  accept("u-1", false);
  accept("u-2", true);
  judge("s-2", "faulty", "failed", {"seal"});
  accept("u-3", true);
  accept("u-4", false);
  judge("s-3", "faulty", "failed", {"seal"});
  judge("s-4", "faulty", "held");
  accept("u-5", true);
  const auto units = must(contained(*station.records, {}));
  std::vector<std::string> listed;
  for (const ContainedUnit& unit : units) listed.push_back(unit.serial + (unit.relied ? "!" : ""));
  EXPECT_THAT(listed, ElementsAre("u-2!", "u-3!", "u-1"));
  EXPECT_EQ(units[0].variant, "CP-210");
  Period other;
  other.shift = "late";
  EXPECT_THAT(must(contained(*station.records, other)), IsEmpty());
}

TEST_F(ChallengeTest, ADoubtIsAnsweredByALookThatBeganAfterIt) {
  judge("s-1", "good", "held");
  accept("u-1", true);
  accept("u-2", true);
  accept("u-3", true);
  accept("u-4", true);
  station.look("u-1b", "u-1", 2, Disposition::accept);  // before the failure: answers nothing
  judge("s-2", "faulty", "failed", {"seal"});
  station.look("u-2b", "u-2", 2, Disposition::rework);
  station.look("u-2c", "u-2", 3, Disposition::accept);
  station.happen(SecondLookDrawn{"u-3", Disposition::accept, 1, 0.5});
  station.open_second("u-3s", "u-3", "u-3");
  station.happen(LookClosed{"u-3s", Disposition::scrap, "", ""});
  station.open_look("u-4b", "u-4", 2);  // not closed yet
  const auto again = [&] {
    std::map<std::string, std::string> all;
    for (const ContainedUnit& unit : must(contained(*station.records, {})))
      all[unit.look] = unit.again ? std::string(to_word(unit.again->disposition)) : "";
    return all;
  };
  EXPECT_THAT(again(),
              ElementsAre(std::pair("u-1", ""), std::pair("u-1b", ""), std::pair("u-2", "accept"),
                          std::pair("u-3", "scrap"), std::pair("u-4", "")));
  station.happen(LookClosed{"u-4b", Disposition::accept, "", ""});
  EXPECT_EQ(again()["u-4"], "accept");
  judge("s-3", "faulty", "failed", {"seal"});  // in doubt anew
  EXPECT_EQ(again()["u-4"], "");
}

TEST_F(ChallengeTest, NeverCountsAsProduction) {
  judge("s-1", "good", "begun");
  judge("s-2", "faulty", "held");
  accept("u-1", false);
  EXPECT_EQ(must(look_counts(*station.records, {})).looks, 1);
  EXPECT_THAT(must(waiting_units(*station.records)), IsEmpty());
}

TEST_F(ChallengeTest, ListsTheProofsOfAPeriod) {
  judge("s-1", "good", "begun");
  judge("s-2", "faulty", "failed", {"seal"});
  judge("s-3", "good", "failed");
  judge("s-4", "faulty", "held");
  const auto all = must(proofs(*station.records, {}));
  ASSERT_THAT(all, SizeIs(1));
  EXPECT_EQ(all[0].state, "held");
  EXPECT_EQ(all[0].parts, 4);
  EXPECT_THAT(all[0].failures, ElementsAre("s-2"));
  Period other;
  other.shift = "late";
  EXPECT_THAT(must(proofs(*station.records, other)), IsEmpty());
}

TEST_F(ChallengeTest, ScoresOfAPartComeInTimeOrder) {
  judge("s-1", "good", "begun", {}, 0.99);
  judge("s-2", "faulty", "begun", {}, 0.02);
  judge("s-3", "good", "begun", {}, 0.95);
  const auto scores = must(part_scores(*station.records, "good"));
  ASSERT_THAT(scores, SizeIs(2));
  EXPECT_DOUBLE_EQ(scores[0].score, 0.99);
  EXPECT_DOUBLE_EQ(scores[1].score, 0.95);
  EXPECT_EQ(scores[1].component, "seal");
  EXPECT_LT(scores[0].judged_us, scores[1].judged_us);
}

TEST_F(ChallengeTest, ShowingEndsOnce) {
  judge("s-1", "good", "begun");
  EXPECT_FALSE(station.try_one(PartLeft{"s-1", "good", "again"}));
  EXPECT_FALSE(station.try_one(PartShown{"s-1", "good", "CP-210"}));
  station.happen(PartShown{"s-2", "good", "CP-210"}, PartLeft{"s-2", "good", "too dark"});
  EXPECT_EQ(must(proofs(*station.records, {}))[0].parts, 1);
}

TEST_F(ChallengeTest, RowsAreMadeAgainFromTheJournal) {
  station.happen(CameraChanged{"camera-1"});
  judge("s-1", "good", "begun");
  judge("s-2", "faulty", "failed", {"seal"});
  station.happen(PartShown{"s-3", "good", "CP-210"});
  std::ostringstream before, after;
  must(dump(station.records->store(), before));
  must(rebuild(*station.records));
  must(dump(station.records->store(), after));
  EXPECT_EQ(before.str(), after.str());
  EXPECT_NE(before.str().find("s-3"), std::string::npos);
}

}  // namespace
}  // namespace lastlook::records
