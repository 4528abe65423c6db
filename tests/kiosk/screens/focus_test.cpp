// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/focus.h"

#include <gmock/gmock.h>

namespace lastlook::screens {
namespace {

// Three keys in a row, one wide below, a picture beside.
std::vector<Target> pad() {
  return {{"1", {0, 0, 100, 100}},
          {"2", {110, 0, 100, 100}},
          {"3", {220, 0, 100, 100}},
          {"wide", {0, 110, 320, 100}},
          {"picture", {400, 0, 500, 500}, false}};
}

std::string after(Focus& focus, std::initializer_list<Key> keys) {
  for (const Key key : keys) EXPECT_EQ(focus.pressed(key), "");
  return focus.key();
}

TEST(Focus, AppearsAtTheFirstTargetWithTheFirstArrow) {
  Focus focus;
  focus.shown(pad());
  EXPECT_EQ(focus.key(), "");
  EXPECT_EQ(after(focus, {Key::down}), "1");
}

TEST(Focus, GoesToTheNearestInTheDirection) {
  Focus focus;
  focus.shown(pad());
  EXPECT_EQ(after(focus, {Key::first, Key::right}), "2");
  EXPECT_EQ(after(focus, {Key::right}), "3");
  EXPECT_EQ(after(focus, {Key::left}), "2");
  EXPECT_EQ(after(focus, {Key::down}), "wide");
  EXPECT_EQ(after(focus, {Key::up}), "2");
}

TEST(Focus, GoesRoundAtAnEdge) {
  Focus focus;
  focus.shown(pad());
  EXPECT_EQ(after(focus, {Key::first, Key::left}), "3");
  EXPECT_EQ(after(focus, {Key::right}), "1");
  EXPECT_EQ(after(focus, {Key::up}), "wide");
  EXPECT_EQ(after(focus, {Key::down}), "2");
}

TEST(Focus, IsNeverWhereAKeyCannotTouch) {
  Focus focus;
  focus.shown({{"picture", {0, 0, 500, 500}, false}});
  EXPECT_EQ(after(focus, {Key::right, Key::first, Key::up}), "");
  EXPECT_EQ(focus.pressed(Key::touch), "");
}

TEST(Focus, TouchesWhatItIsOn) {
  Focus focus;
  focus.shown(pad());
  EXPECT_EQ(focus.pressed(Key::touch), "");
  after(focus, {Key::first, Key::down});
  EXPECT_EQ(focus.pressed(Key::touch), "wide");
}

TEST(Focus, IsGoneWithItsTarget) {
  Focus focus;
  focus.shown(pad());
  after(focus, {Key::first});
  focus.shown({{"2", {110, 0, 100, 100}}});
  EXPECT_EQ(focus.key(), "");
  EXPECT_EQ(focus.pressed(Key::touch), "");
}

TEST(Focus, ThatIsForgottenTouchesNothingOfWhatWasThere) {
  Focus focus;
  focus.shown({{"answer.conforming", {0, 0, 100, 100}}});
  after(focus, {Key::first});
  focus.forget();
  for (const Key key : {Key::touch, Key::conforming, Key::down, Key::touch})
    EXPECT_EQ(focus.pressed(key), "");
}

TEST(AnswerKeys, TouchTheAnswersWhereTheseAreShownAndNothingElse) {
  Focus focus;
  focus.shown(pad());
  EXPECT_EQ(focus.pressed(Key::conforming), "");
  EXPECT_EQ(focus.pressed(Key::nonconforming), "");
  focus.shown({{"answer.conforming", {0, 0, 9, 9}}, {"answer.nonconforming", {9, 0, 9, 9}}});
  EXPECT_EQ(focus.pressed(Key::conforming), "answer.conforming");
  EXPECT_EQ(focus.pressed(Key::nonconforming), "answer.nonconforming");
}

}  // namespace
}  // namespace lastlook::screens
