// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/pseudo.h"

#include "tests/places.h"

namespace lastlook::text {
namespace {

// How many characters, not bytes.
std::size_t length(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

TEST(Pseudo, MarksLettersAndDoublesVowels) {
  const Strings say = pseudo(Strings::of({{"k", "Next unit: 12 %"}}));
  EXPECT_EQ(say("k"), "[Ñééxţ úúñííţ: 12 %]");
}

TEST(Pseudo, KeepsPlaceholdersAndLineFeeds) {
  const Strings say = pseudo(Strings::of({{"k", "{1} of\n{0}"}}));
  EXPECT_EQ(say("k", {"ten", "3"}), "[3 óóƒ\nten]");
}

TEST(Pseudo, KeepsWhatIsNoWord) {
  const Strings say = pseudo(Strings::of(
      {{"language.decimal_sign", "."}, {"keypad.letters", "ÄO"}, {"language.code", "en"}}));
  EXPECT_EQ(say("language.decimal_sign"), ".");
  EXPECT_EQ(say("keypad.letters"), "ÄO");
  EXPECT_EQ(say("language.code"), "qps");
}

TEST(Pseudo, IsAThirdAndMoreLongerThanEnglish) {
  const Strings english = Strings::load(source_dir() + "/assets/strings/en.json").value();
  const Strings longer = pseudo(english);
  ASSERT_EQ(longer.all().size(), english.all().size());
  double before = 0, after = 0;
  for (const auto& [key, text] : english.all()) {
    before += static_cast<double>(length(text));
    after += static_cast<double>(length(longer(key)));
  }
  EXPECT_GT(after / before, 1.35);
  EXPECT_LT(after / before, 1.40);
}

}  // namespace
}  // namespace lastlook::text
