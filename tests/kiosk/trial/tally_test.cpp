// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/tally.h"

#include <sys/wait.h>
#include <unistd.h>

namespace lastlook::trial {
namespace {

TEST(Tally, SaysWhichLagAShareOfTheLooksDidNotExceed) {
  const auto tally = share_tally();
  ASSERT_TRUE(tally);
  EXPECT_EQ((*tally)->lag_of_share(0.5), 0) << "none arrived";
  for (int ms = 1; ms <= 100; ++ms) (*tally)->note_lag(ms * 1'000);
  EXPECT_EQ((*tally)->lag_of_share(0.5), 50);
  EXPECT_EQ((*tally)->lag_of_share(0.95), 95);
  EXPECT_EQ((*tally)->lag_of_share(0), 1);
  EXPECT_EQ((*tally)->lag_of_share(1), 100);
}

TEST(Tally, KeepsWhatIsOutOfItsRange) {
  const auto tally = share_tally();
  ASSERT_TRUE(tally);
  (*tally)->note_lag(-5'000);  // a clock of another boot
  (*tally)->note_lag(std::int64_t{86'400} * 1'000'000);
  EXPECT_EQ((*tally)->lag_of_share(0.5), 0);
  EXPECT_EQ((*tally)->lag_of_share(1), 999'999);
}

TEST(Tally, KeepsWhatAProcessCountedThatWasKilled) {
  const auto tally = share_tally();
  ASSERT_TRUE(tally);
  const pid_t child = fork();
  if (child == 0) {
    (*tally)->note_lag(7'000);
    kill(getpid(), SIGKILL);
  }
  waitpid(child, nullptr, 0);
  EXPECT_EQ((*tally)->lag_of_share(1), 7);
}

}  // namespace
}  // namespace lastlook::trial
