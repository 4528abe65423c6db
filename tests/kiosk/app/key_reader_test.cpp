// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/key_reader.h"

#include <gtest/gtest.h>

namespace lastlook::app {
namespace {

using screens::Key;
using Time = KeyReader::Time;

constexpr Time quiet = ScannerReader::longest_pause + Time{1};

TEST(Keys, ThatTouchCountOnceAndWhenItStayedQuiet) {
  KeyReader keys;
  keys.pressed(Key::conforming, Time{1000});
  EXPECT_EQ(keys.next(Time{1100}), std::nullopt);
  EXPECT_EQ(keys.next_at(), Time{1000} + quiet);
  EXPECT_EQ(keys.next(Time{1000} + quiet), Key::conforming);
  EXPECT_EQ(keys.next(Time{5000}), std::nullopt);
  EXPECT_EQ(keys.next_at(), std::nullopt);
}

TEST(Keys, ThatMoveCountAtOnceOneAFrame) {
  KeyReader keys;
  keys.pressed(Key::right, Time{1000});
  keys.pressed(Key::down, Time{1010});
  EXPECT_EQ(keys.next(Time{1010}), Key::right);
  EXPECT_EQ(keys.next(Time{1010}), Key::down);
  EXPECT_EQ(keys.next(Time{1010}), std::nullopt);
}

TEST(Keys, MayTouchRightAfterAMove) {
  KeyReader keys;
  keys.pressed(Key::right, Time{1000});
  keys.pressed(Key::touch, Time{1020});
  EXPECT_EQ(keys.next(Time{1020}), Key::right);
  EXPECT_EQ(keys.next(Time{1020} + quiet), Key::touch);
}

// A scanner that sends the separators of a code as function keys.
TEST(Keys, InABurstTouchNothing) {
  for (const Key key : {Key::touch, Key::conforming, Key::nonconforming, Key::first}) {
    KeyReader keys;
    keys.typed(Time{1000});
    keys.pressed(key, Time{1010});
    keys.typed(Time{1020});
    EXPECT_EQ(keys.next(Time{9000}), std::nullopt);
  }
}

TEST(Keys, AtTheBeginningOrTheEndOfABurstTouchNothing) {
  KeyReader begin;
  begin.pressed(Key::conforming, Time{1000});
  begin.typed(Time{1030});
  EXPECT_EQ(begin.next(Time{9000}), std::nullopt);
  KeyReader end;
  end.typed(Time{1000});
  end.pressed(Key::conforming, Time{1030});
  EXPECT_EQ(end.next(Time{9000}), std::nullopt);
}

TEST(Keys, CountAgainAfterABurst) {
  KeyReader keys;
  keys.typed(Time{1000});
  keys.pressed(Key::conforming, Time{1400});
  EXPECT_EQ(keys.next(Time{1400} + quiet), Key::conforming);
}

TEST(Keys, ThatAKeypadRepeatsTouchOnce) {
  KeyReader keys;
  int touched = 0;
  keys.pressed(Key::conforming, Time{1000});
  // It begins to repeat after half a second, and each time says that the key came up and went down.
  for (Time now{1001}; now < Time{5000}; now += Time{1}) {
    if (now >= Time{1500} && now.count() % 33 == 0) keys.pressed(Key::conforming, now);
    if (keys.next(now)) ++touched;
  }
  EXPECT_EQ(touched, 1);
}

TEST(Keys, TwoAtOnceTouchNothing) {
  KeyReader keys;
  keys.pressed(Key::conforming, Time{1000});
  keys.pressed(Key::nonconforming, Time{1040});
  EXPECT_EQ(keys.next(Time{9000}), std::nullopt);
}

}  // namespace
}  // namespace lastlook::app
