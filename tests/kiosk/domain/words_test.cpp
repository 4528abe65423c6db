// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/words.h"

namespace lastlook::domain {
namespace {

TEST(Words, ReadBackWhatTheySpell) {
  for (const auto value : {Opinion::present, Opinion::absent, Opinion::not_right, Opinion::unsure})
    EXPECT_EQ(from_word<Opinion>(to_word(value)), value);
  EXPECT_EQ(to_word(Disposition::rework), "rework");
  EXPECT_EQ(from_word<Disposition>("rework"), Disposition::rework);
}

TEST(Words, AnUnknownSpellingIsNoWord) {
  EXPECT_EQ(from_word<Answer>("Conforming"), std::nullopt);
  EXPECT_EQ(from_word<Answer>(""), std::nullopt);
}

}  // namespace
}  // namespace lastlook::domain
