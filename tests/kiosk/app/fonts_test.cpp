// SPDX-License-Identifier: Apache-2.0
// Every letter that the screens write has a picture, in every language: none shows as a box.
#include "kiosk/app/fonts.h"

#include <gmock/gmock.h>

#include "kiosk/text/languages.h"
#include "tests/places.h"

namespace lastlook::app {
namespace {

class FontsTest : public testing::Test {
 protected:
  void SetUp() override { ImGui::CreateContext(); }
  void TearDown() override { ImGui::DestroyContext(); }

  screens::Fonts load(const std::string& characters) {
    const std::vector sizes{screens::sizes_for(1280, 800, 0.2F)};
    auto scales = load_fonts(*ImGui::GetIO().Fonts, sizes, characters);
    EXPECT_TRUE(scales) << scales.error().message;
    return scales ? scales->front().fonts : screens::Fonts{};
  }
};

// Each by its number in Unicode.
std::vector<std::size_t> letters_without_glyph(const ImFont& font, const std::string& characters) {
  ImFontGlyphRangesBuilder used;
  used.AddText(characters.c_str());
  std::vector<std::size_t> missing;
  for (std::size_t letter = ' '; letter <= IM_UNICODE_CODEPOINT_MAX; ++letter)
    if (used.GetBit(letter) && !font.FindGlyphNoFallback(static_cast<ImWchar>(letter)))
      missing.push_back(letter);
  return missing;
}

TEST_F(FontsTest, HaveEveryLetterOfEveryLanguage) {
  for (const char* usual : {"en", "qps"}) {
    const auto languages = text::Languages::load(source_dir() + "/assets/strings", usual).value();
    std::string characters = languages.in(usual).characters();
    for (const auto& [code, say] : languages.all()) characters += say.characters();
    const screens::Fonts fonts = load(characters);
    for (const ImFont* font : {fonts.text, fonts.strong, fonts.huge}) {
      ASSERT_TRUE(font);
      EXPECT_THAT(letters_without_glyph(*font, characters), testing::IsEmpty())
          << font->FontSize << " px";
    }
    ImGui::GetIO().Fonts->Clear();
  }
}

// Else the test above could not fail.
TEST_F(FontsTest, ALetterOfNeitherFontHasNone) {
  const screens::Fonts fonts = load("鑫");
  ASSERT_TRUE(fonts.text);
  EXPECT_THAT(letters_without_glyph(*fonts.text, "A鑫"), testing::ElementsAre(0x946BU));
}

// A Han letter is about as wide as a line of Inter is high without its leading, and stands in it.
TEST_F(FontsTest, HanLettersAreAsLargeAsLatinOnes) {
  const screens::Fonts fonts = load("检");
  ASSERT_TRUE(fonts.text);
  const ImFontGlyph* han = fonts.text->FindGlyphNoFallback(0x68C0);
  const ImFontGlyph* latin = fonts.text->FindGlyphNoFallback('H');
  ASSERT_TRUE(han && latin);
  const float capital = latin->Y1 - latin->Y0;
  EXPECT_GT(han->Y1 - han->Y0, 1.1F * capital);
  EXPECT_LT(han->Y1 - han->Y0, 1.5F * capital);
  EXPECT_GE(han->Y0, 0);
  EXPECT_LE(han->Y1, fonts.text->FontSize);
}

}  // namespace
}  // namespace lastlook::app
