// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/text_layout.h"

#include <gmock/gmock.h>

namespace lastlook::screens {
namespace {

using testing::ElementsAre;

// Ten pixels a byte.
float ten(std::string_view text) {
  return static_cast<float>(10 * text.size());
}

TEST(Wrapped, BreaksAtBlanks) {
  EXPECT_THAT(wrapped("scan the next tag", 90, ten), ElementsAre("scan the", "next tag"));
}

TEST(Wrapped, KeepsLineFeeds) {
  EXPECT_THAT(wrapped("a\nb c", 500, ten), ElementsAre("a", "b c"));
  EXPECT_THAT(wrapped("", 500, ten), ElementsAre(""));
}

TEST(Wrapped, CutsAWordThatIsWiderThanTheLine) {
  EXPECT_THAT(wrapped("abcdefgh", 30, ten), ElementsAre("abc", "def", "gh"));
  EXPECT_THAT(wrapped("abc", 1, ten), ElementsAre("a", "b", "c"));
}

TEST(Wrapped, CutsBetweenCharactersOnly) {
  EXPECT_THAT(wrapped("ααα", 40, ten), ElementsAre("αα", "α"));
}

TEST(Shortened, EndsWithAnEllipsisWhereItDoesNotFit) {
  EXPECT_EQ(shortened("short", 50, ten), "short");
  EXPECT_EQ(shortened("not so short", 70, ten), "not …");
}

}  // namespace
}  // namespace lastlook::screens
