// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/hold.h"
#include "kiosk/flows/notices.h"
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

std::vector<Disposition> ways(Desk& desk) {
  return possible_dispositions(desk.state, *desk.past.unit(desk.state.open->opened.serial));
}

TEST(Obstacles, WithNothingOpenThereIsNothingToDecide) {
  Desk desk = Desk::with_inspector();
  EXPECT_THAT(obstacles_to_accept(desk.state, {}), IsEmpty());
  EXPECT_THAT(possible_dispositions(desk.state, {}), IsEmpty());
  EXPECT_EQ(hold_reason(desk.state, {}), std::nullopt);
}

TEST(Obstacles, AnOpenLookListsAllThatIsMissing) {
  Desk desk = Desk::with_open_unit();
  EXPECT_THAT(obstacles_to_accept(desk.state, {}),
              ElementsAre(Obstacle{Obstacle::Why::step_unanswered, "seal"},
                          Obstacle{Obstacle::Why::step_unanswered, "lid"},
                          Obstacle{Obstacle::Why::step_unanswered, "tag"},
                          Obstacle{Obstacle::Why::result_missing, "leak"},
                          Obstacle{Obstacle::Why::result_missing, "functional"}));
}

TEST(Obstacles, TheWaysOutAreThoseThatClosingTakes) {
  using enum Disposition;
  Desk desk = Desk::with_open_unit();
  EXPECT_THAT(ways(desk), IsEmpty()) << "park it, or go on";
  desk.answer_all();
  EXPECT_THAT(ways(desk), ElementsAre(accept));
  desk.give(AnswerStep{"seal", Answer::nonconforming});
  EXPECT_THAT(ways(desk), IsEmpty());
  desk.give(AddFinding{"seal", "missing"});
  EXPECT_THAT(ways(desk), ElementsAre(rework, hold, scrap));
  desk.give(AddFinding{"lid", something_else});
  EXPECT_THAT(ways(desk), ElementsAre(hold));
}

TEST(Obstacles, UnderATicketTheWaysAreHoldAndScrap) {
  using enum Disposition;
  Desk desk = Desk::with_inspector();
  desk.give(NoReadableTag{});
  EXPECT_THAT(possible_dispositions(desk.state, {}), ElementsAre(hold));
  desk.give(ConfirmVariant{"CP-210"});
  desk.give(AddFinding{"seal", "missing"});
  EXPECT_THAT(possible_dispositions(desk.state, {}), ElementsAre(hold, scrap));
}

TEST(Obstacles, EveryHoldReasonIsOneOfTheList) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(hold_reason(desk.state, {}), "result_missing");
  EXPECT_THAT(hold_reasons, Contains("result_missing"));
}

TEST(Obstacles, EachHasAWord) {
  std::vector<std::string_view> words;
  for (const auto why : obstacle_whys) words.push_back(to_word(why));
  std::ranges::sort(words);
  EXPECT_EQ(std::ranges::adjacent_find(words), words.end());
  EXPECT_THAT(words, ::testing::Not(Contains("?")));
}

}  // namespace
}  // namespace lastlook::flows
