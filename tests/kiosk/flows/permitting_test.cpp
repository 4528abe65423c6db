// SPDX-License-Identifier: Apache-2.0
// Rule 4 of the trade (common practice): results on paper by two people, concessions with limits.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::IsEmpty;

constexpr const char* bare_unit = "26330-00555";  // built, but no result is at hand

EnterPaperResult paper(const std::string& first, const std::string& second) {
  return {bare_unit, {UpstreamTest::functional, true, "stamp 4", 0}, first, second};
}

Desk with_bare_unit() {
  Desk desk = Desk::with_inspector();
  desk.happen(UnitBuilt{bare_unit, "CP-210", {}});
  return desk;
}

TEST(Permitting, APaperEnteredByTwoPeopleCounts) {
  Desk desk = with_bare_unit();
  const Outcome outcome = desk.give(paper("p-ina", "p-bo"));
  const auto* entered = only<ResultEntered>(outcome);
  ASSERT_TRUE(entered);
  EXPECT_TRUE(entered->on_paper);
  EXPECT_EQ(entered->second_person, "p-bo");
  EXPECT_EQ(entered->result.measured_us, desk.now.wall_us) << "not said: as of now";
  desk.give(Scan{"CP210-26330-00555"});
  desk.answer_all();
  EXPECT_EQ(desk.give(Close{Disposition::accept}).obstacles,
            (std::vector<Obstacle>{{Obstacle::Why::result_missing, "leak"}}));
}

TEST(Permitting, OnePersonIsNotTwo) {
  Desk desk = with_bare_unit();
  for (const auto& [first, second] : std::vector<std::pair<std::string, std::string>>{
           {"p-ina", "p-ina"}, {"p-ina", ""}, {"", "p-ina"}, {"p-bo", "p-cy"}}) {
    const Outcome outcome = desk.give(paper(first, second));
    EXPECT_EQ(said(outcome), "two_people_needed") << first << " and " << second;
    EXPECT_THAT(outcome.happenings, IsEmpty());
  }
}

TEST(Permitting, WhereTheSiteSaysWaitAPaperDoesNotCount) {
  Desk desk = with_bare_unit();
  EnterPaperResult event = paper("p-ina", "p-bo");
  event.result.test = UpstreamTest::leak;
  EXPECT_EQ(said(desk.give(event)), "not_by_paper");
  event.result.test = UpstreamTest::fill_mass;
  EXPECT_EQ(said(desk.give(event)), "not_by_paper") << "nobody requires it";
}

TEST(Permitting, APaperDoesNotOutvoteATester) {
  Desk desk = with_bare_unit();
  desk.measured(bare_unit, UpstreamTest::functional, false);
  EXPECT_EQ(said(desk.give(paper("p-ina", "p-bo"))), "result_at_hand");
}

TEST(Permitting, APaperFromTheFutureOrForNoUnitIsNotEntered) {
  Desk desk = with_bare_unit();
  EnterPaperResult event = paper("p-ina", "p-bo");
  event.result.measured_us = desk.now.wall_us + 60'000'000;
  EXPECT_EQ(desk.refusal(event), Category::bad_input);
  event = paper("p-ina", "p-bo");
  event.serial = "26330-09999";
  EXPECT_EQ(desk.refusal(event), Category::not_found);
}

TEST(Permitting, APaperFromBeforeTheReworkIsVoidToo) {
  Desk desk = with_bare_unit();
  desk.state.master.defects[2].voids = {UpstreamTest::functional};
  desk.past.master = desk.state.master;
  desk.give(Scan{"CP210-26330-00555"});
  const std::int64_t before_us = desk.now.wall_us;
  desk.close_with_seal_finding(Disposition::rework);
  desk.pass_seconds(3600);
  EnterPaperResult event = paper("p-ina", "p-bo");
  event.result.measured_us = before_us;
  EXPECT_EQ(said(desk.give(event)), "measured_before_rework");
  event.result.measured_us = desk.now.wall_us - 1'000'000;
  EXPECT_TRUE(only<ResultEntered>(desk.give(event)));
}

// --- concessions ---------------------------------------------------------------------------------

class Granting : public ::testing::Test {
 protected:
  Granting() {
    desk.give(SignIn{"p-qe", Role::quality_engineer});
    event.grant = {"C-12",
                   "customer quality",
                   "CP-210",
                   "seal",
                   "not_seated",
                   50,
                   desk.now.wall_us + 86'400'000'000};
    event.by = "p-qe";
  }
  Desk desk;
  GrantConcession event;
};

TEST_F(Granting, AQualityEngineerWritesItDownWithAllItsLimits) {
  const Outcome outcome = desk.give(event);
  ASSERT_TRUE(only<ConcessionGranted>(outcome));
  EXPECT_EQ(*only<ConcessionGranted>(outcome), event.grant);
}

TEST_F(Granting, NobodyElseDoes) {
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator}) {
    desk.give(SignIn{"p-other", role});
    event.by = "p-other";
    EXPECT_EQ(said(desk.give(event)), "needs_quality_engineer");
  }
}

// At the command line, where the PIN was asked for.
TEST_F(Granting, NobodyNeedBeSignedIn) {
  desk.give(SignOut{});
  ASSERT_TRUE(only<ConcessionGranted>(desk.give(event)));
  event.by.clear();
  EXPECT_EQ(said(desk.give(event)), "needs_quality_engineer");
}

TEST_F(Granting, EveryLimitHasToBeThere) {
  const ConcessionGranted whole = event.grant;
  const auto refused_with = [&](auto change) {
    event.grant = whole;
    change(event.grant);
    return desk.refusal(event);
  };
  using Grant = ConcessionGranted;
  EXPECT_EQ(refused_with([](Grant& it) { it.number = " "; }), Category::bad_input);
  EXPECT_EQ(refused_with([](Grant& it) { it.authority = ""; }), Category::bad_input);
  EXPECT_EQ(refused_with([](Grant& it) { it.variant = "CP-999"; }), Category::bad_input);
  EXPECT_EQ(refused_with([](Grant& it) { it.component = ""; }), Category::bad_input);
  EXPECT_EQ(refused_with([](Grant& it) { it.defect = "dent"; }), Category::bad_input);
  EXPECT_EQ(refused_with([](Grant& it) { it.defect = something_else; }), Category::bad_input);
  EXPECT_EQ(refused_with([](Grant& it) { it.quantity = 0; }), Category::bad_input);
  EXPECT_EQ(refused_with([this](Grant& it) { it.expires_us = desk.now.wall_us; }),
            Category::bad_input);
}

TEST_F(Granting, ANumberStandsForOneConcession) {
  desk.give(event);
  event.grant.quantity = 500;
  EXPECT_EQ(said(desk.give(event)), "concession_number_used");
}

}  // namespace
}  // namespace lastlook::flows
