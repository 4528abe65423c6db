// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/tag_code.h"

#include "tests/kiosk/domain/plant.h"

namespace lastlook::domain {
namespace {

TEST(TagCode, TheCodeCarriesAPrefixThatThePrintedSerialLacks) {
  const auto scanned = read_code(testing::small_plant(), "CP210N-26330-00417");
  ASSERT_TRUE(scanned);
  EXPECT_EQ(scanned->serial, "26330-00417");
  EXPECT_EQ(scanned->type, "CP210N");
  EXPECT_EQ(scanned->code, "CP210N-26330-00417");
}

TEST(TagCode, TypedFromThePrintItIsTheSameSerialWithoutAType) {
  const auto typed = read_code(testing::small_plant(), " 26330-00417\r\n");
  ASSERT_TRUE(typed);
  EXPECT_EQ(typed->serial, "26330-00417");
  EXPECT_EQ(typed->type, "");
}

TEST(TagCode, AnythingElseIsRefusedWithWhatWasExpected) {
  const Master plant = testing::small_plant();
  for (const char* code : {"", "26330-0041", "26330-004170", "XX-26330-00417", "26330 00417"}) {
    const auto read = read_code(plant, code);
    ASSERT_FALSE(read) << code;
    EXPECT_EQ(read.error().category, Category::bad_input);
    EXPECT_THAT(read.error().message, ::testing::HasSubstr(plant.tag_pattern));
  }
}

TEST(TagCode, ACodeWithoutASerialIsRefused) {
  Master plant = testing::small_plant();
  plant.tag_pattern = "CP-(?P<serial>[0-9]*)";
  EXPECT_EQ(read_code(plant, "CP-7")->serial, "7");
  const auto read = read_code(plant, "CP-");
  ASSERT_FALSE(read);
  EXPECT_THAT(read.error().message, ::testing::HasSubstr("holds no serial"));
}

}  // namespace
}  // namespace lastlook::domain
