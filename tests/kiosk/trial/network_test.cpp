// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/network.h"

#include <thread>

namespace lastlook::trial {
namespace {

using namespace std::chrono_literals;

class NetworkTest : public ::testing::Test {
 protected:
  SharedTally tally = *share_tally();
};

TEST_F(NetworkTest, IsCutAndComesBack) {
  Network network(*tally, 1, 1ms, 1ms);
  EXPECT_TRUE(network.is_up()) << "it begins up";
  int up = 0, cut = 0;
  for (int i = 0; i < 200; ++i) {
    ++(network.is_up() ? up : cut);
    std::this_thread::sleep_for(500us);
  }
  EXPECT_GT(up, 20);
  EXPECT_GT(cut, 20);
  EXPECT_GT(tally->cuts, 5);
}

TEST_F(NetworkTest, LosesAnAnswerInTwenty) {
  Network network(*tally, 1, 1h, 1h);
  int lost = 0;
  for (int i = 0; i < 2'000; ++i) lost += network.loses_an_answer();
  EXPECT_NEAR(lost, 100, 50);
}

TEST_F(NetworkTest, InACalmItIsNeverCutAndLosesNothing) {
  Network network(*tally, 1, 0s, 1ms);
  for (int i = 0; i < 1'000; ++i) {
    ASSERT_TRUE(network.is_up());
    ASSERT_FALSE(network.loses_an_answer());
  }
  EXPECT_EQ(tally->cuts, 0);
}

}  // namespace
}  // namespace lastlook::trial
