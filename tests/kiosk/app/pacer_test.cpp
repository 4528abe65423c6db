// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/pacer.h"

#include <gtest/gtest.h>

namespace lastlook::app {
namespace {

using Time = Pacer::Time;

void draw_all(Pacer& pacer, Time now) {
  while (pacer.draws_now(now)) pacer.drawn(now);
}

TEST(Pacer, DrawsThreeFramesAfterAnEventThenSleeps) {
  Pacer pacer;
  draw_all(pacer, Time{0});
  pacer.event();
  int frames = 0;
  for (; pacer.draws_now(Time{10}); ++frames) pacer.drawn(Time{10});
  EXPECT_EQ(frames, 3);
  EXPECT_GT(pacer.wait(Time{10}), Time{0});
}

TEST(Pacer, NeverSleepsWithoutALimit) {
  Pacer pacer;
  draw_all(pacer, Time{0});
  EXPECT_LE(pacer.wait(Time{0}), Pacer::longest_wait);
  pacer.wake_at(Time{86'400'000});
  EXPECT_LE(pacer.wait(Time{0}), Pacer::longest_wait);
}

TEST(Pacer, WakesForTheEarliestWish) {
  Pacer pacer;
  draw_all(pacer, Time{0});
  pacer.wake_at(Time{400});
  pacer.wake_at(Time{150});
  pacer.wake_at(Time{300});
  EXPECT_EQ(pacer.wait(Time{100}), Time{50});
  EXPECT_FALSE(pacer.draws_now(Time{149}));
  EXPECT_TRUE(pacer.draws_now(Time{150}));
}

TEST(Pacer, ShowsTheCameraTenTimesASecondAtMost) {
  Pacer pacer;
  draw_all(pacer, Time{0});
  int frames = 0;
  for (int ms = 0; ms < 1000; ms += 10) {  // a camera at 100 pictures a second
    pacer.preview(Time{ms});
    if (!pacer.draws_now(Time{ms})) continue;
    pacer.drawn(Time{ms});
    ++frames;
  }
  EXPECT_LE(frames, 10);
  EXPECT_GE(frames, 9);
}

TEST(Pacer, DoesNotWaitForTimesThatArePast) {
  Pacer pacer;
  draw_all(pacer, Time{0});
  pacer.wake_at(Time{5});
  EXPECT_EQ(pacer.wait(Time{100}), Time{0});
}

}  // namespace
}  // namespace lastlook::app
