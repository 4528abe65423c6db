// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/html.h"

namespace {

using lastlook::reports::escaped;
using lastlook::reports::page;
using lastlook::reports::table;
using ::testing::HasSubstr;
using ::testing::Not;

TEST(Escaped, LeavesNothingThatIsMarkup) {
  EXPECT_EQ(escaped("<script>alert(\"1\" & '2')</script>"),
            "&lt;script&gt;alert(&quot;1&quot; &amp; &#39;2&#39;)&lt;/script&gt;");
}

TEST(Escaped, KeepsLettersOfEveryAlphabet) {
  EXPECT_EQ(escaped("Dichtung fehlt: größer als 5 µm, Ω"), "Dichtung fehlt: größer als 5 µm, Ω");
}

TEST(Escaped, LeavesOutControlCharactersButTabAndLineFeed) {
  EXPECT_EQ(escaped(std::string("a\0b\x1b[31mc\td\n", 12)), "ab[31mc\td\n");
}

TEST(Table, CellsAreText) {
  const std::string html = table({"Why"}, {{"<b>bold</b>"}}, "l");
  EXPECT_THAT(html, HasSubstr("<td>&lt;b&gt;bold&lt;/b&gt;</td>"));
}

TEST(Table, NumbersAreFlushRightAndWordsAreNot) {
  const std::string html = table({"Rank", "Kind"}, {{"3", "seal"}}, "rl");
  EXPECT_THAT(html, HasSubstr("<td class=\"n\">3</td><td>seal</td>"));
}

TEST(Page, FetchesNothingAndSaysHowItPrints) {
  const std::string html = page("A < B", "en", "<p>x</p>");
  EXPECT_THAT(html, HasSubstr("<title>A &lt; B</title>"));
  EXPECT_THAT(html, HasSubstr("@page { size: A4 portrait;"));
  for (const char* outside : {"http:", "https:", "<link", "<script", "@import", "url("})
    EXPECT_THAT(html, Not(HasSubstr(outside)));
}

}  // namespace
