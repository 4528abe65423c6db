// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/screen.h"

#include <gtest/gtest.h>

namespace lastlook::screens {
namespace {

struct Situation {
  flows::Inspection inspection;
  Facts facts;
  Situation() {
    facts.inspection = &inspection;
    inspection.person = "p-1";
    facts.caution_seen = true;
  }
  void open(domain::Answer answer) {
    inspection.open.emplace();
    inspection.open->variant = "CP-210";
    inspection.open->steps.push_back({{"lid", domain::Expectation::present, ""}, answer});
  }
};

TEST(WhichScreen, IsSignInUntilSomebodyIs) {
  Situation s;
  s.inspection.person.clear();
  EXPECT_EQ(which_screen(s.facts), Which::sign_in);
}

TEST(WhichScreen, ShowsTheCautionsFirst) {
  Situation s;
  s.open(domain::Answer::not_answered);
  s.facts.caution_seen = false;
  EXPECT_EQ(which_screen(s.facts), Which::start);
}

TEST(WhichScreen, FollowsTheLook) {
  Situation s;
  EXPECT_EQ(which_screen(s.facts), Which::waiting);
  s.open(domain::Answer::not_answered);
  EXPECT_EQ(which_screen(s.facts), Which::look);
  s.inspection.open->steps[0].answer = domain::Answer::conforming;
  EXPECT_EQ(which_screen(s.facts), Which::verdict);
  s.facts.revised_step = 0;
  EXPECT_EQ(which_screen(s.facts), Which::look);
  s.inspection.open->variant.clear();
  EXPECT_EQ(which_screen(s.facts), Which::variant);
}

TEST(WhichScreen, NeverCoversAnOpenLookWithTheReview) {
  Situation s;
  s.facts.handover = {{"lamp 2 flickers", 0}};
  EXPECT_EQ(which_screen(s.facts), Which::handover);
  s.facts.handover.clear();
  s.facts.review_open = true;
  EXPECT_EQ(which_screen(s.facts), Which::review);
  s.open(domain::Answer::not_answered);
  EXPECT_EQ(which_screen(s.facts), Which::look);
}

// A unit scanned in the middle of a lesson: where it goes is said before the lesson goes on.
TEST(WhichScreen, SaysWhereTheClosedUnitGoesBeforeTeachingGoesOn) {
  Situation s;
  s.facts.teaching.emplace().at.open = true;
  EXPECT_EQ(which_screen(s.facts), Which::teach_home);
  s.inspection.last.emplace();
  s.facts.closed_shown = true;
  EXPECT_EQ(which_screen(s.facts), Which::closed);
  s.facts.closed_shown = false;
  EXPECT_EQ(which_screen(s.facts), Which::teach_home);
}

TEST(WhichScreen, ShowsTheQuestionThatIsAsked) {
  Situation s;
  s.facts.review_open = true;
  s.facts.review.question = Question::usual;
  EXPECT_EQ(which_screen(s.facts), Which::review_usual);
  s.facts.review.question = Question::waiting;
  EXPECT_EQ(which_screen(s.facts), Which::review_waiting);
  s.facts.review.question = Question::look;
  EXPECT_EQ(which_screen(s.facts), Which::review_look);
  s.facts.review.question = Question::next;
  EXPECT_EQ(which_screen(s.facts), Which::review_next);
  s.facts.review.choosing = true;
  EXPECT_EQ(which_screen(s.facts), Which::review_shifts);
  s.facts.review.choosing = false;
  s.facts.review.behind.emplace();
  EXPECT_EQ(which_screen(s.facts), Which::review_behind);
  s.facts.review.story.emplace();
  EXPECT_EQ(which_screen(s.facts), Which::review_story);
}

TEST(WhichScreen, KeepsTheVerdictUntilItIsLeft) {
  Situation s;
  s.inspection.last.emplace();
  s.facts.closed_shown = true;
  EXPECT_EQ(which_screen(s.facts), Which::closed);
  s.facts.closed_shown = false;
  EXPECT_EQ(which_screen(s.facts), Which::waiting);
}

}  // namespace
}  // namespace lastlook::screens
