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

// Each of these letters is three bytes, thirty pixels.
TEST(Wrapped, BreaksBetweenHanLetters) {
  EXPECT_THAT(wrapped("扫描标签", 60, ten), ElementsAre("扫描", "标签"));
  EXPECT_THAT(wrapped("第12次检验", 80, ten), ElementsAre("第12次", "检验"));
  EXPECT_THAT(wrapped("产品 CP-210 已放行", 140, ten), ElementsAre("产品 CP-210", "已放行"));
}

TEST(Wrapped, NoLineBeginsWithClosingPunctuation) {
  EXPECT_THAT(wrapped("返工，放行。", 60, ten), ElementsAre("返", "工，", "放", "行。"));
  EXPECT_THAT(wrapped("验（正常）等", 120, ten), ElementsAre("验（正", "常）等"));
}

TEST(Wrapped, NoLineEndsWithOpeningPunctuation) {
  EXPECT_THAT(wrapped("已验（甲", 90, ten), ElementsAre("已验", "（甲"));
}

TEST(Wrapped, CountsBlanksAsWritten) {
  EXPECT_THAT(wrapped("a  b ", 90, ten), ElementsAre("a  b"));
}

TEST(Shortened, EndsWithAnEllipsisWhereItDoesNotFit) {
  EXPECT_EQ(shortened("short", 50, ten), "short");
  EXPECT_EQ(shortened("not so short", 70, ten), "not …");
}

}  // namespace
}  // namespace lastlook::screens
