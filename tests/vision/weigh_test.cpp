// SPDX-License-Identifier: Apache-2.0
// Sights made from numbers, so that what is far and what is near is known.
#include "vision/weigh.h"

#include "vision/taught.h"

namespace lastlook::vision {
namespace {

class Weigh : public ::testing::Test {
 protected:
  void add(bool yes, double score, double colour_distance, bool made_up = false,
           State state = State::wrong) {
    Sight& sight = sights_[count_];
    sight.state = yes ? State::present : state;
    sight.made_up = made_up;
    sight.picture = count_++;
    Evidence e;
    e[linear] = score;
    e[edges] = 1 + rng_.gaussian(0.1);
    e[colour] = colour_distance + rng_.gaussian(0.1);
    e[brightness] = 1 + rng_.gaussian(0.1);
    e[match] = 0.9 + rng_.gaussian(0.02);
    e[shift] = 0.5;
    held_out_.push_back({&sight, yes, e});
  }
  Question learn() {
    Question question;
    weigh_evidence(question, held_out_);
    place_thresholds(question, held_out_, 10);
    return question;
  }
  std::vector<Sight> sights_ = std::vector<Sight>(200);
  std::size_t count_ = 0;
  std::vector<HeldOut> held_out_;
  cv::RNG rng_{4};
};

TEST_F(Weigh, OneKindFarBeyondTheUsualOutvotesTheOthers) {
  for (int i = 0; i < 12; ++i) add(true, 0.8, 0.8);
  for (int i = 0; i < 30; ++i) add(false, -0.8, 1.2, true);  // faults that differ otherwise
  const Question question = learn();
  Evidence good = question.usual;
  EXPECT_GT(probability(question, good), question.yes_at);
  good[colour] += 12 * question.spread[colour];
  EXPECT_LT(probability(question, good), question.yes_at);
}

TEST_F(Weigh, NoYesBelowAFaultyOneThatWasHeldOut) {
  for (int i = 0; i < 12; ++i) add(true, 0.8, 0.8);
  for (int i = 0; i < 10; ++i) add(false, -0.8, 4);
  const double without = learn().yes_at;
  add(false, 0.75, 0.8);  // a mild one
  const Question question = learn();
  const double mild = held_out_.back().probability;
  EXPECT_GE(question.yes_at, std::min(mild, 0.99) - 1e-9);
  EXPECT_GE(question.yes_at, without - 0.3);
}

TEST_F(Weigh, KeepsTheBandWithinItsLimits) {
  for (int i = 0; i < 3; ++i) add(true, 0.1, 1);
  for (int i = 0; i < 3; ++i) add(false, 0.1, 1);  // cannot be told apart
  const Question question = learn();
  EXPECT_LE(question.no_at, 0.5);
  EXPECT_GE(question.yes_at, 0.8);
  EXPECT_TRUE(std::isfinite(question.offset));
}

}  // namespace
}  // namespace lastlook::vision
