// SPDX-License-Identifier: Apache-2.0
// Agreement studies: who plans, who rates what when, and that nobody goes back.
#include <set>

#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

StudyPlanned seals() {
  StudyPlanned plan;
  plan.study = "s-1";
  plan.title = "Seals";
  for (const char* label : {"01", "02", "03", "04", "05"})
    plan.items.push_back({label, "conforming", ""});
  plan.inspectors = {"p-ina", "p-ivo"};
  plan.panel = {"p-pat"};
  plan.ratings = {"conforming", "nonconforming"};
  plan.trials = 2;
  return plan;
}

Desk with_study(const StudyPlanned& plan = seals()) {
  Desk desk;
  desk.give(SignIn{"p-quin", Role::quality_engineer});
  desk.give(PlanStudy{plan, "p-quin"});
  desk.give(SignIn{"p-ina", Role::inspector});
  return desk;
}

std::string next_item(Desk& desk) {
  const auto study = desk.past.study("s-1");
  const auto turn = study_turn(**study, desk.state.person);
  return turn ? (*study)->plan.items[turn->item].label : "";
}

Outcome rate_next(Desk& desk, const std::string& rating = "conforming") {
  return desk.give(RateItem{"s-1", next_item(desk), rating});
}

TEST(Studying, IsPlannedByTheQualityEngineerAlone) {
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator}) {
    Desk desk;
    desk.give(SignIn{"p-x", role});
    EXPECT_EQ(said(desk.give(PlanStudy{seals(), "p-x"})), "needs_quality_engineer");
    EXPECT_EQ(said(desk.give(PlanStudy{seals(), ""})), "needs_quality_engineer");
  }
  Desk desk;
  desk.give(SignIn{"p-quin", Role::quality_engineer});
  EXPECT_THAT(kinds(desk.give(PlanStudy{seals(), "p-quin"})), ElementsAre("study_planned"));
  EXPECT_EQ(desk.refusal(PlanStudy{seals(), "p-quin"}), Category::refused) << "twice";
}

TEST(Studying, APlanThatCannotBeIsNamedByItsPath) {
  Desk desk;
  desk.give(SignIn{"p-quin", Role::quality_engineer});
  const auto message = [&](const auto& spoil) {
    StudyPlanned plan = seals();
    spoil(plan);
    const auto outcome = desk.attempt(PlanStudy{plan, "p-quin"});
    EXPECT_FALSE(outcome);
    return outcome ? "" : outcome.error().message;
  };
  EXPECT_THAT(message([](auto& it) { it.items[3].label = "01"; }), HasSubstr("items[3].label"));
  EXPECT_THAT(message([](auto& it) { it.items[1].reference = "fine"; }),
              HasSubstr("items[1].reference: expected one of conforming, nonconforming"));
  EXPECT_THAT(message([](auto& it) { it.items[2].picture = "ab"; }), HasSubstr("items[2].picture"));
  EXPECT_THAT(message([](auto& it) { it.items.resize(1); }), HasSubstr("items: expected 2 to"));
  EXPECT_THAT(message([](auto& it) { it.inspectors.clear(); }), HasSubstr("inspectors"));
  EXPECT_THAT(message([](auto& it) { it.panel = {"p-ivo"}; }), HasSubstr("knows the references"));
  EXPECT_THAT(message([](auto& it) { it.ratings = {"yes", "yes"}; }), HasSubstr("ratings[1]"));
  EXPECT_THAT(message([](auto& it) { it.trials = 0; }), HasSubstr("trials: expected 1 to"));
}

TEST(Studying, EachRatesEveryItemOnceATrialAndThenNothingMore) {
  Desk desk = with_study();
  for (int trial = 1; trial <= 2; ++trial) {
    std::set<std::string> seen;
    for (int i = 0; i < 5; ++i) {
      seen.insert(next_item(desk));
      const Outcome outcome = rate_next(desk);
      ASSERT_NE(only<StudyRated>(outcome), nullptr);
      EXPECT_EQ(only<StudyRated>(outcome)->trial, trial);
      EXPECT_EQ(said(outcome), trial == 2 && i == 4 ? "study_done" : "");
    }
    EXPECT_EQ(seen.size(), 5U);
  }
  EXPECT_EQ(said(desk.give(RateItem{"s-1", "01", "conforming"})), "study_over");
  desk.give(SignIn{"p-ivo", Role::inspector});
  EXPECT_THAT(kinds(rate_next(desk)), ElementsAre("study_rated")) << "the other has all before him";
}

TEST(Studying, OnlyTheItemWhoseTurnItIs) {
  Desk desk = with_study();
  const std::string first = next_item(desk);
  rate_next(desk);
  const Outcome back = desk.give(RateItem{"s-1", first, "nonconforming"});
  EXPECT_EQ(said(back), "study_item_rated");
  EXPECT_THAT(back.happenings, IsEmpty());
}

TEST(Studying, IsForItsInspectorsWithItsWordsBetweenUnits) {
  Desk desk = with_study();
  EXPECT_EQ(desk.refusal(RateItem{"s-1", next_item(desk), "fine"}), Category::bad_input);
  EXPECT_EQ(desk.refusal(RateItem{"s-2", "01", "conforming"}), Category::not_found);
  desk.give(Scan{code_a});
  EXPECT_EQ(said(rate_next(desk)), "close_or_park_first");
  desk.give(Park{});
  desk.give(SignIn{"p-pat", Role::supervisor});
  EXPECT_EQ(desk.refusal(RateItem{"s-1", "01", "conforming"}), Category::refused)
      << "who knows the references is not studied on them";
  desk.give(SignOut{});
  EXPECT_EQ(said(desk.give(RateItem{"s-1", "01", "conforming"})), "sign_in_first");
}

TEST(Studying, TheNextTrialWaits) {
  StudyPlanned plan = seals();
  plan.gap_min = 60;
  Desk desk = with_study(plan);
  for (int i = 0; i < 4; ++i) EXPECT_EQ(said(rate_next(desk)), "");
  EXPECT_EQ(said(rate_next(desk)), "study_waits") << "told with the last item of a trial";
  const Outcome early = rate_next(desk);
  EXPECT_EQ(said(early), "study_waits");
  EXPECT_THAT(early.happenings, IsEmpty());
  desk.pass_seconds(3600);
  EXPECT_THAT(kinds(rate_next(desk)), ElementsAre("study_rated"));
}

TEST(Studying, EndsForAllWithAReason) {
  Desk desk = with_study();
  EXPECT_EQ(said(desk.give(EndStudy{"s-1", "over", "p-ina"})), "needs_quality_engineer");
  desk.give(SignIn{"p-quin", Role::quality_engineer});
  EXPECT_EQ(desk.refusal(EndStudy{"s-1", " ", "p-quin"}), Category::bad_input);
  EXPECT_THAT(kinds(desk.give(EndStudy{"s-1", "an item broke", "p-quin"})),
              ElementsAre("study_ended"));
  EXPECT_EQ(said(desk.give(EndStudy{"s-1", "again", "p-quin"})), "study_over");
  desk.give(SignIn{"p-ina", Role::inspector});
  EXPECT_EQ(said(desk.give(RateItem{"s-1", "01", "conforming"})), "study_over");
}

}  // namespace
}  // namespace lastlook::flows
