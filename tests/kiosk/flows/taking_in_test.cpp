// SPDX-License-Identifier: Apache-2.0
// Results that come in by themselves: known ones again, late ones, contradictory ones, and what
// each choice of the site makes of a missing one.
#include "kiosk/flows/upstream.h"
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

constexpr const char* unit_c = "26330-00003";  // nothing is known of it
constexpr const char* code_c = "CP210-26330-00003";

class TakingIn : public ::testing::Test {
 protected:
  TakingIn() : desk(Desk::with_inspector()) {}

  ResultEntered result(UpstreamTest test, bool passed, std::int64_t minutes_ago = 5) const {
    ResultEntered entered;
    entered.serial = unit_c;
    entered.result = {test, passed, "", desk.now.wall_us - minutes_ago * 60'000'000};
    return entered;
  }
  Outcome come(const std::vector<ResultEntered>& results) {
    return desk.give(TakeResults{{}, results});
  }
  // Unit C's look with every step answered.
  void look() {
    desk.give(TakeResults{{{unit_c, "CP-210", {}}}, {}});
    desk.give(Scan{code_c});
    desk.answer_all();
  }
  std::vector<Obstacle> in_the_way() {
    return obstacles_to_accept(desk.state, desk.past.unit(unit_c).value());
  }
  void required(const std::vector<UpstreamRule>& rules) {
    desk.state.master.required_results = rules;
  }
  std::string accept() { return said(desk.give(Close{Disposition::accept, ""})); }

  Desk desk;
};

TEST_F(TakingIn, ARequiredResultLetsTheUnitPassOnceItIsThere) {
  required({{UpstreamTest::leak, AwayRule::local_file}});
  look();
  EXPECT_THAT(in_the_way(), ElementsAre(Obstacle{Obstacle::Why::result_missing, "leak"}));
  EXPECT_EQ(accept(), "accept_refused");
  EXPECT_THAT(kinds(come({result(UpstreamTest::leak, true)})), ElementsAre("result_entered"));
  EXPECT_THAT(in_the_way(), IsEmpty());
  EXPECT_EQ(accept(), "");
}

TEST_F(TakingIn, PartsAreKeptOnceAndARepairNamesOthersOfTheirType) {
  const PartsFitted built{unit_c, {{"seal ring", "L-1"}, {"bearing", "B-1"}, {"bearing", "B-2"}}};
  const auto come_fitted = [&](const PartsFitted& fitted) {
    return kinds(desk.give(TakeResults{{}, {}, {fitted}}));
  };
  EXPECT_THAT(come_fitted(built), ElementsAre("parts_fitted"));
  EXPECT_THAT(come_fitted(built), IsEmpty());
  EXPECT_THAT(come_fitted({unit_c, {{"seal ring", "L-1"}}}), IsEmpty());
  EXPECT_THAT(come_fitted({unit_c, {{"bearing", "B-2"}}}), ElementsAre("parts_fitted"))
      << "one bearing less";
  EXPECT_THAT(come_fitted({unit_c, {{"seal ring", "L-2"}}}), ElementsAre("parts_fitted"));
  const auto parts = desk.past.unit(unit_c).value().parts;
  EXPECT_THAT(parts, ElementsAre(FittedPart{"bearing", "B-2"}, FittedPart{"seal ring", "L-2"}));
}

TEST_F(TakingIn, ADayThatIsSaidLaterIsKept) {
  const auto built = [&](const std::string& made) {
    return kinds(desk.give(TakeResults{{{unit_c, "CP-210", {}, made}}, {}}));
  };
  EXPECT_THAT(built(""), ElementsAre("unit_built"));
  EXPECT_THAT(built("2026-11-24"), ElementsAre("unit_built"));
  EXPECT_THAT(built("2026-11-24"), IsEmpty());
  EXPECT_THAT(built(""), IsEmpty());
}

TEST_F(TakingIn, AFailedOneDoesNot) {
  required({{UpstreamTest::leak, AwayRule::wait}});
  look();
  come({result(UpstreamTest::leak, false)});
  EXPECT_THAT(in_the_way(), ElementsAre(Obstacle{Obstacle::Why::result_failed, "leak"}));
  EXPECT_EQ(accept(), "accept_refused");
}

TEST_F(TakingIn, KnownOnesAreLeftOut) {
  const ResultEntered leak = result(UpstreamTest::leak, true);
  EXPECT_THAT(kinds(come({leak, leak})), ElementsAre("result_entered"));
  EXPECT_THAT(come({leak}).happenings, IsEmpty());
  EXPECT_THAT(kinds(desk.give(TakeResults{{{unit_c, "CP-210", {}}, {unit_c, "CP-210", {}}}, {}})),
              ElementsAre("unit_built"));
  EXPECT_THAT(desk.give(TakeResults{{{unit_c, "CP-210", {}}}, {}}).happenings, IsEmpty());
}

TEST_F(TakingIn, ALateOneDoesNotOutvoteOneThatWasMeasuredAfterIt) {
  come({result(UpstreamTest::leak, true, 5)});
  come({result(UpstreamTest::leak, false, 30)});
  EXPECT_EQ(standing_of(*desk.past.unit(unit_c), UpstreamTest::leak), Standing::passed);
  come({result(UpstreamTest::leak, false, 1)});
  EXPECT_EQ(standing_of(*desk.past.unit(unit_c), UpstreamTest::leak), Standing::failed);
}

TEST_F(TakingIn, OfTwoOfOneMomentThatContradictEachOtherTheFailedOneCounts) {
  for (const bool first : {true, false}) {
    Desk other = Desk::with_inspector();
    const std::int64_t measured_us = other.now.wall_us - 1'000'000;
    const auto said = [&](bool passed) {
      ResultEntered entered;
      entered.serial = unit_c;
      entered.result = {UpstreamTest::leak, passed, "", measured_us};
      return entered;
    };
    other.give(TakeResults{{}, {said(first), said(!first)}});
    EXPECT_EQ(standing_of(*other.past.unit(unit_c), UpstreamTest::leak), Standing::failed);
  }
}

TEST_F(TakingIn, OneFromBeforeTheReworkStaysVoidedHoweverLateItComes) {
  required({{UpstreamTest::leak, AwayRule::local_file}});
  come({result(UpstreamTest::leak, true, 60)});
  look();
  desk.give(AddFinding{"seal", "not_seated"});
  desk.give(Close{Disposition::rework, ""});
  come({result(UpstreamTest::leak, true, 30)});
  EXPECT_EQ(standing_of(*desk.past.unit(unit_c), UpstreamTest::leak), Standing::missing);
  desk.pass_seconds(600);
  come({result(UpstreamTest::leak, true, 1)});
  EXPECT_EQ(standing_of(*desk.past.unit(unit_c), UpstreamTest::leak), Standing::passed);
}

TEST_F(TakingIn, NeverEndsALookAndNeverTakesOneUp) {
  required({{UpstreamTest::leak, AwayRule::wait}});
  look();
  desk.give(Park{ParkReason::waiting_for_result});
  come({result(UpstreamTest::leak, true)});
  EXPECT_FALSE(desk.state.open);
  ASSERT_EQ(desk.state.parked.size(), 1U);
  desk.give(Resume{desk.state.parked[0].opened.look});
  EXPECT_EQ(accept(), "") << "a person does";
}

TEST_F(TakingIn, ComesInWithNobodySignedIn) {
  desk.give(SignOut{});
  EXPECT_THAT(kinds(come({result(UpstreamTest::leak, true)})), ElementsAre("result_entered"));
}

TEST_F(TakingIn, FromTheFutureIsTakenFromNobody) {
  EXPECT_THAT(kinds(come({result(UpstreamTest::leak, true, -30)})), ElementsAre("result_entered"))
      << "clocks differ";
  EXPECT_EQ(desk.refusal(TakeResults{{}, {result(UpstreamTest::leak, true, -120)}}),
            Category::bad_input);
}

}  // namespace
}  // namespace lastlook::flows
