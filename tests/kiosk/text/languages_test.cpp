// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/languages.h"

#include <cstdlib>
#include <fstream>

namespace lastlook::text {
namespace {

class LanguagesTest : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string made = ::testing::TempDir() + "lastlook-languages-XXXXXX";
    folder_ = ::mkdtemp(made.data());
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  void write(const char* file, const char* text) const { std::ofstream(folder_ / file) << text; }

  std::filesystem::path folder_;
};

TEST_F(LanguagesTest, AreTheFilesOfTwoLetters) {
  write("en.json", R"({"hello": "Hello"})");
  write("de.json", R"({"hello": "Guten Tag"})");
  write("en-old.json", "not read");
  write("notes.txt", "not read");
  const auto languages = Languages::load(folder_, "de");
  ASSERT_TRUE(languages) << languages.error().message;
  EXPECT_EQ(languages->all().size(), 2U);
  EXPECT_EQ(languages->in("en")("hello"), "Hello");
  EXPECT_EQ(languages->in("xx")("hello"), "Guten Tag");
}

TEST_F(LanguagesTest, ThePseudoLanguageIsSpokenOnlyWhereItIsAskedFor) {
  write("en.json", R"({"hello": "Hello"})");
  write("de.json", R"({"hello": "Guten Tag"})");
  const auto languages = Languages::load(folder_, "qps");
  ASSERT_TRUE(languages) << languages.error().message;
  EXPECT_EQ(languages->usual(), "qps");
  EXPECT_EQ(languages->in("qps")("hello"), "[Ĥééļļóó]");
  EXPECT_EQ(languages->in("de")("hello"), "Guten Tag");
  EXPECT_FALSE(languages->all().contains("qps")) << "nobody is offered it";
  EXPECT_EQ(Languages::load(folder_, "en")->in("qps")("hello"), "Hello");
}

TEST_F(LanguagesTest, ThePseudoLanguageNeedsEnglish) {
  write("de.json", R"({"hello": "Guten Tag"})");
  const auto languages = Languages::load(folder_, "qps");
  ASSERT_FALSE(languages);
  EXPECT_THAT(languages.error().message, ::testing::HasSubstr("'qps': expected one of de"));
}

TEST_F(LanguagesTest, NamesThoseThatThereAre) {
  write("en.json", "{}");
  const auto languages = Languages::load(folder_, "fr");
  ASSERT_FALSE(languages);
  EXPECT_EQ(languages.error().category, Category::not_found);
  EXPECT_THAT(languages.error().message, ::testing::HasSubstr("'fr': expected one of en"));
}

TEST_F(LanguagesTest, AFileThatIsNoJsonIsNamed) {
  write("en.json", "{");
  const auto languages = Languages::load(folder_, "en");
  ASSERT_FALSE(languages);
  EXPECT_THAT(languages.error().message, ::testing::HasSubstr("en.json"));
}

TEST_F(LanguagesTest, AFolderThatIsNotThereIsNamed) {
  const auto languages = Languages::load("/nowhere/strings", "en");
  ASSERT_FALSE(languages);
  EXPECT_THAT(languages.error().message, ::testing::HasSubstr("/nowhere/strings"));
}

}  // namespace
}  // namespace lastlook::text
