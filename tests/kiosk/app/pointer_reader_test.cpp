// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/pointer_reader.h"

#include <gtest/gtest.h>

namespace lastlook::app {
namespace {

using screens::Pointer;

TEST(PointerReader, GivesATouchShorterThanAFrameTwoFrames) {
  PointerReader reader;
  reader.pressed({10, 20});
  reader.released({11, 21}, {});
  Pointer pointer = reader.next_frame();
  EXPECT_TRUE(pointer.pressed);
  EXPECT_TRUE(pointer.down);
  EXPECT_FLOAT_EQ(pointer.at.x, 10);
  EXPECT_TRUE(reader.more());
  pointer = reader.next_frame();
  EXPECT_TRUE(pointer.released);
  EXPECT_FALSE(pointer.down);
  EXPECT_FLOAT_EQ(pointer.at.x, 11);
  EXPECT_FALSE(reader.more());
  pointer = reader.next_frame();
  EXPECT_FALSE(pointer.pressed || pointer.released || pointer.down);
}

TEST(PointerReader, KeepsWhereItWasPutWhateverMovesFollow) {
  PointerReader reader;
  reader.pressed({10, 20});
  reader.moved({500, 500});
  reader.moved({600, 600});
  reader.released({600, 600}, {});
  EXPECT_FLOAT_EQ(reader.next_frame().at.x, 10);
  const Pointer slid = reader.next_frame();
  EXPECT_TRUE(slid.down);
  EXPECT_FLOAT_EQ(slid.at.x, 600);
  EXPECT_TRUE(reader.next_frame().released);
  EXPECT_FALSE(reader.more());
}

TEST(PointerReader, LosesNoTouchOfSeveral) {
  PointerReader reader;
  for (int i = 0; i < 3; ++i) {
    reader.pressed({static_cast<float>(i), 0});
    reader.released({static_cast<float>(i), 0}, {});
  }
  int touches = 0;
  while (reader.more()) touches += reader.next_frame().released ? 1 : 0;
  EXPECT_EQ(touches, 3);
}

}  // namespace
}  // namespace lastlook::app
