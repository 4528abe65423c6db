// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/touch.h"

#include <gtest/gtest.h>

namespace lastlook::screens {
namespace {

using std::chrono::milliseconds;

constexpr Rect key{0, 0, 100, 100}, other{100, 0, 100, 100};

struct Finger {
  Touch touch;
  milliseconds now{1000};

  bool frame(Spot at, bool down, bool pressed, bool released, const Rect& rect = key) {
    touch.begin_frame({at, down, pressed, released, {}}, now);
    return touch.on("key", rect);
  }
  bool put_and_lift(Spot put, Spot lifted) {
    frame(put, true, true, false);
    return frame(lifted, false, false, true);
  }
};

TEST(Touch, CountsWhenPutAndLiftedOnTheTarget) {
  Finger finger;
  EXPECT_FALSE(finger.frame({50, 50}, true, true, false));
  EXPECT_TRUE(finger.touch.holds("key"));
  EXPECT_TRUE(finger.frame({60, 60}, false, false, true));
  EXPECT_FALSE(finger.frame({60, 60}, false, false, false));
}

TEST(Touch, IsTakenBackBySlidingOff) {
  Finger finger;
  EXPECT_FALSE(finger.put_and_lift({50, 50}, {150, 50}));
  EXPECT_FALSE(finger.put_and_lift({150, 50}, {50, 50}));
}

TEST(Touch, HitTwiceCountsOnce) {
  Finger finger;
  EXPECT_TRUE(finger.put_and_lift({50, 50}, {50, 50}));
  finger.now += milliseconds(120);
  EXPECT_FALSE(finger.put_and_lift({50, 50}, {50, 50}));
  finger.now += milliseconds(120);
  EXPECT_TRUE(finger.put_and_lift({50, 50}, {50, 50}));
}

TEST(Touch, CountsForNothingWhenTheScreenChangedUnderIt) {
  Finger finger;
  finger.frame({50, 50}, true, true, false);
  finger.touch.forget();
  EXPECT_FALSE(finger.frame({50, 50}, false, false, true));
}

TEST(Touch, ByAKeyCountsOnceAndOnItsTargetAlone) {
  Touch touch;
  touch.begin_frame({}, milliseconds(1000), "key");
  EXPECT_FALSE(touch.on("other", other));
  EXPECT_TRUE(touch.on("key", key));
  EXPECT_FALSE(touch.on("key", key));
  touch.begin_frame({}, milliseconds(1500));
  EXPECT_FALSE(touch.on("key", key));
  EXPECT_FALSE(touch.on("", key));
}

TEST(Touch, ByAKeyIsHeldToTheSameGuardAsAFinger) {
  Touch touch;
  touch.begin_frame({}, milliseconds(1000), "key");
  EXPECT_TRUE(touch.on("key", key));
  touch.begin_frame({}, milliseconds(1120), "key");
  EXPECT_FALSE(touch.on("key", key));
  Finger finger;
  EXPECT_TRUE(finger.put_and_lift({50, 50}, {50, 50}));
  finger.touch.begin_frame({}, finger.now + milliseconds(120), "key");
  EXPECT_FALSE(finger.touch.on("key", key));
  finger.touch.begin_frame({}, finger.now + milliseconds(240), "key");
  EXPECT_TRUE(finger.touch.on("key", key));
}

TEST(Touch, ByAKeyNeverSaysWhereOnAPicture) {
  Touch touch;
  touch.begin_frame({}, milliseconds(1000), "key");
  EXPECT_FALSE(touch.at("key", key));
  EXPECT_FALSE(touch.drag("key", key));
}

TEST(Touch, SaysWhere) {
  Touch touch;
  touch.begin_frame({{120, 30}, true, true, false, {}}, milliseconds(1000));
  EXPECT_FALSE(touch.at("other", other));
  touch.begin_frame({{130, 40}, false, false, true, {}}, milliseconds(1010));
  const auto at = touch.at("other", other);
  ASSERT_TRUE(at);
  EXPECT_FLOAT_EQ(at->x, 130);
}

TEST(Touch, FollowsAFingerThatWasPutDownInside) {
  Touch touch;
  touch.begin_frame({{120, 30}, true, true, false, {}}, milliseconds(1000));
  EXPECT_TRUE(touch.drag("other", other));
  touch.begin_frame({{500, 400}, true, false, false, {}}, milliseconds(1010));
  auto drag = touch.drag("other", other);
  ASSERT_TRUE(drag);
  EXPECT_FLOAT_EQ(drag->from.x, 120);
  EXPECT_FLOAT_EQ(drag->at.x, 500);
  EXPECT_FALSE(drag->ended);
  touch.begin_frame({{510, 410}, false, false, true, {}}, milliseconds(1020));
  drag = touch.drag("other", other);
  ASSERT_TRUE(drag);
  EXPECT_TRUE(drag->ended);
  EXPECT_FLOAT_EQ(drag->from.x, 120);
  touch.begin_frame({{120, 30}, false, false, false, {}}, milliseconds(1030));
  EXPECT_FALSE(touch.drag("other", other));
}

TEST(Touch, DoesNotFollowAFingerThatCameFromOutside) {
  Touch touch;
  touch.begin_frame({{500, 400}, true, true, false, {}}, milliseconds(1000));
  EXPECT_FALSE(touch.drag("other", other));
  touch.begin_frame({{120, 30}, true, false, false, {}}, milliseconds(1010));
  EXPECT_FALSE(touch.drag("other", other));
}

}  // namespace
}  // namespace lastlook::screens
