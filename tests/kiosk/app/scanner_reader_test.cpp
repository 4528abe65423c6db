// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/scanner_reader.h"

#include <gtest/gtest.h>

namespace lastlook::app {
namespace {

using Time = std::chrono::milliseconds;

std::optional<std::string> typed(ScannerReader& reader, std::u32string_view text, Time pause,
                                 Time& now) {
  for (const char32_t c : text) {
    now += pause;
    reader.character(c, now);
  }
  now += pause;
  return reader.enter(now);
}

TEST(Scanner, GivesTheCodeOfABurst) {
  ScannerReader reader;
  Time now{0};
  EXPECT_EQ(typed(reader, U"CP210-26330-00417", Time{4}, now), "CP210-26330-00417");
  EXPECT_EQ(typed(reader, U"26330-00418", Time{30}, now), "26330-00418");
}

TEST(Scanner, GivesNothingForWhatAPersonTypes) {
  ScannerReader reader;
  Time now{0};
  EXPECT_EQ(typed(reader, U"26330-00417", Time{200}, now), std::nullopt);
}

TEST(Scanner, ForgetsWhatCameBeforeAPause) {
  ScannerReader reader;
  Time now{0};
  reader.character(U'x', now);
  now += Time{1000};
  EXPECT_EQ(typed(reader, U"26330-00417", Time{5}, now), "26330-00417");
}

TEST(Scanner, MakesNothingOfEnterAlone) {
  ScannerReader reader;
  EXPECT_EQ(reader.enter(Time{10}), std::nullopt);
  reader.character(U'7', Time{20});
  EXPECT_EQ(reader.enter(Time{21}), std::nullopt);
  EXPECT_EQ(reader.enter(Time{22}), std::nullopt);
}

TEST(Scanner, MakesNothingOfALateEnter) {
  ScannerReader reader;
  Time now{0};
  for (const char32_t c : U"26330") {
    now += Time{4};
    if (c != 0) reader.character(c, now);
  }
  EXPECT_EQ(reader.enter(now + Time{400}), std::nullopt);
}

TEST(Scanner, KeepsCharactersBeyondAscii) {
  ScannerReader reader;
  Time now{0};
  EXPECT_EQ(typed(reader, U"ÄΩ€𝄞", Time{4}, now), "ÄΩ€𝄞");
}

TEST(Scanner, DoesNotGrowWithoutEnd) {
  ScannerReader reader;
  Time now{0};
  const auto code = typed(reader, std::u32string(5000, U'8'), Time{1}, now);
  ASSERT_TRUE(code);
  EXPECT_LE(code->size(), ScannerReader::longest_code);
}

}  // namespace
}  // namespace lastlook::app
