// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/html.h"

namespace {

using namespace lastlook::reports;
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

Document with_table(const Table& table) {
  Document document;
  document.title = "A < B";
  document.blocks = {table};
  return document;
}

TEST(Page, CellsAreText) {
  const std::string html = to_html(with_table({{"Why"}, {{"<b>bold</b>"}}, "l"}));
  EXPECT_THAT(html, HasSubstr("<td>&lt;b&gt;bold&lt;/b&gt;</td>"));
}

TEST(Page, NumbersAreFlushRightAndWordsAreNot) {
  const std::string html = to_html(with_table({{"Rank", "Kind"}, {{"3", "seal"}}, "rl"}));
  EXPECT_THAT(html, HasSubstr("<td class=\"n\">3</td><td>seal</td>"));
}

TEST(Page, FetchesNothingAndSaysHowItPrints) {
  const std::string html = to_html(with_table({{"Why"}, {{"x"}}, "l"}));
  EXPECT_THAT(html, HasSubstr("<title>A &lt; B</title>"));
  EXPECT_THAT(html, HasSubstr("@page { size: A4 portrait;"));
  for (const char* outside : {"http:", "https:", "<link", "<script", "@import", "url("})
    EXPECT_THAT(html, Not(HasSubstr(outside)));
}

// A section begins at a heading and ends before the next one.
TEST(Page, WhatFollowsAHeadingIsItsSection) {
  Document document;
  document.title = "T";
  document.blocks = {Heading{1, "First?"}, Paragraph{Tone::alert, "Yes."}, Heading{2, "Second?"},
                     List{{"one"}}};
  EXPECT_THAT(to_html(document),
              HasSubstr("<section>\n<h2><i>1</i>First?</h2>\n<p class=\"answer alert\">Yes.</p>\n"
                        "</section>\n<section>\n<h2><i>2</i>Second?</h2>\n<ul>\n<li>one</li>\n"
                        "</ul>\n</section>\n</body>"));
}

}  // namespace
