// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/strings.h"

#include <cstdlib>
#include <fstream>

namespace lastlook::text {
namespace {

std::filesystem::path file_with(const std::string& text) {
  const auto path =
      std::filesystem::path(::testing::TempDir()) /
      (std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()) + ".json");
  std::ofstream(path) << text;
  return path;
}

TEST(Strings, FillsPlaceholdersInAnyOrder) {
  const auto strings = Strings::load(file_with(R"({"k": "{1} of {0}, {1}"})"));
  ASSERT_TRUE(strings);
  EXPECT_EQ((*strings)("k", {"ten", "3"}), "3 of ten, 3");
}

TEST(Strings, AValueThatLooksLikeAPlaceholderStaysText) {
  const auto strings = Strings::load(file_with(R"({"k": "{0} {1}!"})"));
  ASSERT_TRUE(strings);
  EXPECT_EQ((*strings)("k", {"{1}", "x"}), "{1} x!");
}

TEST(Strings, AMissingKeyIsSeen) {
  const auto strings = Strings::load(file_with("{}"));
  ASSERT_TRUE(strings);
  EXPECT_EQ((*strings)("waiting.title"), "[waiting.title]");
}

TEST(Strings, CharactersAreThoseInUseEachOnce) {
  const auto strings = Strings::load(file_with(R"({"a": "aä", "b": "äω"})"));
  ASSERT_TRUE(strings);
  EXPECT_EQ(strings->characters(), "aäω");
}

TEST(Strings, AFileThatIsNotThereIsNamed) {
  const auto strings = Strings::load("/nowhere/en.json");
  ASSERT_FALSE(strings);
  EXPECT_EQ(strings.error().category, Category::not_found);
  EXPECT_THAT(strings.error().message, ::testing::HasSubstr("/nowhere/en.json"));
}

TEST(Strings, OnlyTextsAreTaken) {
  const auto strings = Strings::load(file_with(R"({"a": 3})"));
  ASSERT_FALSE(strings);
  EXPECT_THAT(strings.error().message, ::testing::HasSubstr("'a'"));
}

}  // namespace
}  // namespace lastlook::text
