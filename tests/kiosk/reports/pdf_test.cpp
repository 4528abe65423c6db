// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/pdf.h"

#include <fmt/format.h>

#include <set>

#include "analytics/pareto_chart.h"
#include "analytics/svg.h"
#include "tests/kiosk/records/station.h"
#include "tests/kiosk/reports/sheets.h"

namespace lastlook::reports {
namespace {

using ::testing::AllOf;
using ::testing::Each;
using ::testing::Field;
using ::testing::Ge;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::Sheets;
using testing::times;

class PdfTest : public ::testing::Test {
 protected:
  // What is on the paper.
  Sheets printed(const Document& document, Paper paper = Paper::a4) {
    pdf_ = records::testing::must(to_pdf(document, paper));
    const auto file = folder_.path() / "sheets.pdf";
    std::ofstream(file, std::ios::binary) << pdf_.bytes;
    return Sheets(file);
  }

  records::testing::TempFolder folder_;
  Pdf pdf_;
};

std::string serial(int i) {
  return fmt::format("26330-{:05}", i);
}

Document long_table(int rows) {
  Document document;
  document.kind = "Containment";
  document.title = "Units to look at again";
  document.place = "Station LL-1";
  document.made_from = "Master data revision 7 · journal head " + std::string(64, 'a');
  Table table{{"Unit", "Component", "Torque"}, {}, "llr"};
  for (int i = 0; i < rows; ++i)
    table.rows.push_back({serial(i), "Connector seal", fmt::format("{}.5", i)});
  document.blocks = {Paragraph{Tone::more, "Find these units."}, std::move(table)};
  return document;
}

TEST_F(PdfTest, EachSheetSaysItsNumberWhatItIsAndWhatItWasMadeFrom) {
  const Sheets sheets = printed(long_table(200));
  const int pages = sheets.pages();
  ASSERT_GE(pages, 4);
  for (int page = 1; page <= pages; ++page)
    EXPECT_THAT(sheets.text(page),
                AllOf(HasSubstr(fmt::format("page {} of {}", page, pages)),
                      HasSubstr("Containment · Units to look at again · Station LL-1"),
                      HasSubstr("revision 7 · journal head " + std::string(64, 'a'))));
}

TEST_F(PdfTest, ALongTableHasEachRowOnceAndItsHeadingOnEachPage) {
  constexpr int rows = 700;
  const Sheets sheets = printed(long_table(rows));
  const std::string all = sheets.text();
  for (int i = 0; i < rows; ++i) ASSERT_EQ(times(all, serial(i)), 1) << serial(i);
  for (int page = 1; page <= sheets.pages(); ++page) {
    const std::string text = sheets.text(page);
    EXPECT_EQ(times(text, "Torque"), 1) << page;
    EXPECT_GE(times(text, "Connector seal"), 2) << page;
  }
}

// With so many lines above them that the page ends at each place of what follows.
TEST_F(PdfTest, AHeadingIsNeverLeftAtTheFootOfAPage) {
  std::set<int> on_first_page;
  for (int lines = 22; lines < 38; ++lines) {
    Document document;
    document.title = "Heading";
    for (int i = 0; i < lines; ++i)
      document.blocks.emplace_back(Paragraph{Tone::more, "Line " + std::to_string(i)});
    document.blocks.emplace_back(Heading{1, "What went wrong most?"});
    document.blocks.emplace_back(Paragraph{Tone::answer, "Nothing did."});
    document.blocks.emplace_back(Heading{2, "What is waiting?"});
    document.blocks.emplace_back(Table{{"Unit"}, {{"first of two"}, {"second of two"}}, "l"});
    const Sheets sheets = printed(document);
    const std::string all = sheets.text();
    for (std::size_t at = 0, end; (end = all.find('\f', at)) != all.npos; at = end + 1) {
      const std::string text = all.substr(at, end - at);
      EXPECT_EQ(times(text, "What went wrong most?"), times(text, "Nothing did.")) << lines;
      EXPECT_EQ(times(text, "What is waiting?"), times(text, "first of two")) << lines;
      EXPECT_EQ(times(text, "first of two"), times(text, "second of two")) << lines;
      if (at == 0) on_first_page.insert(times(text, "What ") * 10 + times(text, "of two"));
    }
  }
  EXPECT_EQ(on_first_page, (std::set{0, 10, 22})) << "both, one and none of the headings";
}

TEST_F(PdfTest, SheetsHaveTheSizeOfThePaper) {
  EXPECT_THAT(printed(long_table(3)).info().at("Page size"), HasSubstr("(A4)"));
  EXPECT_THAT(printed(long_table(3), Paper::letter).info().at("Page size"), HasSubstr("(letter)"));
}

// Not a word, not a number and no chart comes nearer to an edge than 11 mm.
TEST_F(PdfTest, NothingIsInTheMargins) {
  Document document = long_table(120);
  document.title = std::string(300, 'W');
  document.made_from += " and " + std::string(400, 'h');
  document.blocks.emplace_back(Paragraph{Tone::alert, std::string(500, 'M')});
  document.blocks.emplace_back(List{{std::string(500, 'M')}});
  document.blocks.emplace_back(
      Table{{"A", "B", "C"},
            {{std::string(300, 'M'), "4", std::string(3000, 'M')},
             {"x", fmt::format("{:0>400}", 1), "A text of words " + std::string(90, 'i')}},
            "lrl"});
  analytics::Chart chart;
  chart.width = 500;
  chart.height = 4000;
  chart.marks = {analytics::Bar{analytics::Role::few, {0, 0, 500, 4000}}};
  document.blocks.emplace_back(chart);
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const Sheets sheets = printed(document, paper);
    for (int page = 1; page <= sheets.pages(); ++page)
      EXPECT_THAT(sheets.drawn(page).border(), Each(Ge(31))) << "page " << page;
  }
}

TEST_F(PdfTest, LongWordsAreBrokenAndNothingOfThemIsLost) {
  Document document;
  document.title = "Notes";
  document.blocks = {Table{{"Unit", "Note"}, {{"1", std::string(2000, 'M')}}, "ll"},
                     Paragraph{Tone::more, std::string(1000, 'K')}};
  const std::string text = printed(document).text();
  EXPECT_EQ(std::ranges::count(text, 'M'), 2000);
  EXPECT_EQ(std::ranges::count(text, 'K'), 1000);
  EXPECT_EQ(std::ranges::count(text, '-'), 0);
}

// A note of a thousand lines has no page that it fits on.
TEST_F(PdfTest, ARowLongerThanAPageGoesOnOnTheNext) {
  Document document;
  document.title = "Long";
  std::string note;
  for (int i = 0; i < 4000; ++i) note += fmt::format("w{:04} ", i);
  document.blocks = {Table{{"Unit", "Note"}, {{"1", note}, {"2", "short"}}, "ll"}};
  const Sheets sheets = printed(document);
  const std::string text = sheets.text();
  for (int i = 0; i < 4000; ++i) ASSERT_EQ(times(text, fmt::format("w{:04}", i)), 1) << i;
  EXPECT_GE(sheets.pages(), 3);
  for (int page = 1; page <= sheets.pages(); ++page)
    EXPECT_EQ(times(sheets.text(page), "Note"), 1) << page;
}

TEST_F(PdfTest, NumbersLineUpAtTheRightWordsAtTheLeft) {
  Document document;
  document.title = "Numbers";
  const std::vector<std::string> numbers = {"1", "11", "711", "4444", "77777", "111111"};
  Table table{{"Kind", "Count"}, {}, "lr"};
  for (const std::string& number : numbers) table.rows.push_back({"kind" + number, number});
  document.blocks = {std::move(table)};
  const auto words = printed(document).words();
  const auto end = words.at("Count").right, begin = words.at("Kind").left;
  for (const std::string& number : numbers) {
    EXPECT_NEAR(words.at(number).right, end, 0.2) << number;
    EXPECT_NEAR(words.at("kind" + number).left, begin, 0.2) << number;
  }
}

TEST_F(PdfTest, FontsAreInTheFile) {
  const Sheets sheets = printed(long_table(3));
  const auto fonts = sheets.fonts();
  ASSERT_FALSE(fonts.empty());
  EXPECT_THAT(fonts, Each(Field(&Sheets::Font::is_embedded, true)));
  EXPECT_THAT(fonts, Each(Field(&Sheets::Font::name, HasSubstr("Inter"))));
}

TEST_F(PdfTest, WhatWasGivenIsWhatIsRead) {
  Document document;
  document.title = "Größe & Maß <b> Łódź";
  const std::string words = "Ä ß Ł ż ő € µ Ω 0.5 ± 1 % λάθος Щука";
  document.blocks = {Table{{"Serial", "Note"}, {{"10x20-0x3F", words}}, "ll"},
                     Paragraph{Tone::answer, "fi fl ffi -> => ... \"quoted\" 'so'"}};
  const std::string text = printed(document).text();
  EXPECT_THAT(text, AllOf(HasSubstr(document.title), HasSubstr(words), HasSubstr("10x20-0x3F"),
                          HasSubstr("fi fl ffi -> => ... \"quoted\" 'so'")));
  EXPECT_EQ(pdf_.missing, "");
}

TEST_F(PdfTest, ControlCharactersAndBrokenTextAreNoBoxes) {
  Document document;
  document.title = std::string("one\0\x1b[31mtwo\tthree\r\nfour", 24) + "\xE2\x80\xA8" + "five";
  EXPECT_THAT(printed(document).text(), HasSubstr("one[31mtwo three four five"));
  EXPECT_EQ(pdf_.missing, "");
  document.title = "broken \xC3( text";
  EXPECT_THAT(printed(document).text(), HasSubstr("( text"));
}

std::vector<std::string> letters(const std::string& text) {
  std::vector<std::string> all;
  for (const char byte : text)
    if ((static_cast<unsigned char>(byte) & 0xC0U) == 0x80U)
      all.back() += byte;
    else
      all.emplace_back(1, byte);
  return all;
}

// As the machine's own list of fonts tells it.
bool has_a_font(const std::string& letter) {
  const auto first = static_cast<unsigned char>(letter.front());
  unsigned code = letter.size() == 1 ? first : first & (0x7FU >> letter.size());
  for (const char byte : letter.substr(1))
    code = code << 6U | (static_cast<unsigned>(byte) & 0x3FU);
  return !testing::said_by(fmt::format("fc-list ':charset={:x}'", code)).empty();
}

// A name is printed where any font here has its letters, and told to be missing where none has.
TEST_F(PdfTest, ANameInAnotherScriptIsThereOrToldToBeMissing) {
  for (const std::string name :
       {"Ελένη Δείγμα", "Żaneta Przykładowa", "Пример", "样本", "サンプル", "견본"}) {
    Document document;
    document.title = "Name";
    document.blocks = {Paragraph{Tone::answer, name}};
    const std::string text = printed(document).text();
    std::string missing;
    for (const std::string& letter : letters(name))
      if (letter != " " && !has_a_font(letter)) missing += letter;
    EXPECT_EQ(pdf_.missing, missing) << name;
    if (missing.empty())
      EXPECT_THAT(text, HasSubstr(name));
    else
      std::cout << "no font on this machine has " << missing << ": not tried on paper\n";
  }
}

TEST_F(PdfTest, TheSameDocumentGivesTheSameBytes) {
  Document document = long_table(100);
  document.made_at = "2026-11-25T14:00:00+01:00";
  const std::string once = printed(document).info().at("CreationDate");
  const std::string bytes = pdf_.bytes;
  EXPECT_THAT(once, HasSubstr("Nov 25"));
  printed(document);
  EXPECT_EQ(pdf_.bytes, bytes);
}

// Never the time of the machine: what was read from a file has none.
TEST_F(PdfTest, WithoutATimeOfItsOwnADocumentHasNone) {
  EXPECT_FALSE(printed(long_table(1)).info().contains("CreationDate"));
}

analytics::Chart findings() {
  analytics::ParetoCounter counter;
  counter.add("Connector seal: cut", 25);
  counter.add("Plug clip: half seated <Łódź>", 12);
  counter.add("Lid: größer als 5 µm", 2);
  analytics::ParetoChartOptions options;
  options.frame.width = 760;
  options.frame.height = 240;
  options.frame.title = "What went wrong most";
  return analytics::pareto_chart(counter.table(), options, analytics::WideSansMeasure());
}

TEST_F(PdfTest, AChartSaysOnPaperWhatItSaysAsSvg) {
  Document document;
  document.title = "Chart";
  document.blocks = {findings()};
  const Sheets sheets = printed(document);
  const std::string text = sheets.text();
  const std::string svg = analytics::to_svg(findings());
  int texts = 0;
  for (std::size_t at = svg.find("<text"); at != svg.npos;
       at = svg.find("<text", at + 1), ++texts) {
    const std::size_t from = svg.find('>', at) + 1;
    std::string said = svg.substr(from, svg.find("</text>", from) - from);
    for (const auto& [entity, letter] : {std::pair{"&lt;", "<"}, {"&gt;", ">"}, {"&amp;", "&"}})
      for (std::size_t e; (e = said.find(entity)) != said.npos;)
        said.replace(e, std::string(entity).size(), letter);
    EXPECT_THAT(text, HasSubstr(said));
  }
  EXPECT_GE(texts, 7);
}

// Its bars, in the ink of the few and of the many, all of them within the sheet.
TEST_F(PdfTest, AChartIsAsWideAsTheSheetAndNotCut) {
  analytics::Chart chart;
  chart.width = 1000;
  chart.height = 300;
  chart.marks = {analytics::Bar{analytics::Role::few, {0, 0, 1000, 300}}};
  Document document;
  document.title = "A";
  document.blocks = {chart};
  const auto sheet = printed(document).drawn(1);
  // A4 is 595 points wide; margins 15 mm at both sides, and the chart 4 mm further in.
  int wide = 0;
  for (int y = 0; y < sheet.height; ++y) {
    int dark = 0;
    for (int x = 0; x < sheet.width; ++x)
      dark += static_cast<unsigned char>(
                  sheet.pixels[static_cast<std::size_t>(y * sheet.width + x)]) < 128;
    wide = std::max(wide, dark);
  }
  EXPECT_NEAR(wide, 595 - 2 * 42.5, 2);  // the rule below the title
  int tall = 0;
  for (int y = 0; y < sheet.height; ++y)
    tall += static_cast<unsigned char>(
                sheet.pixels[static_cast<std::size_t>(y * sheet.width + sheet.width / 2)]) < 128;
  EXPECT_GE(tall, static_cast<int>((595 - 2 * 42.5 - 11.3) * 0.3) - 1);
}

// A stroke begins at its own first point, not where the text before it stood.
TEST_F(PdfTest, AStrokeAfterATextIsNotJoinedToIt) {
  analytics::Chart chart;
  chart.width = 700;
  chart.height = 700;
  chart.marks = {
      analytics::Text{analytics::Role::label, {20, 30}, analytics::Anchor::start, 14, false, "A"},
      analytics::Polyline{analytics::Role::limit, {{600, 690}, {690, 690}}, 4, false},
      analytics::Text{analytics::Role::label, {20, 30}, analytics::Anchor::start, 14, false, "A"},
      analytics::Symbol{analytics::Role::signal, analytics::Glyph::diamond, {650, 650}, 8}};
  Document document;
  document.title = "T";
  document.blocks = {chart};
  const auto sheet = printed(document).drawn(1);
  for (int y = 300; y < 400; ++y)
    for (int x = 0; x < sheet.width; ++x)
      ASSERT_GT(
          static_cast<unsigned char>(sheet.pixels[static_cast<std::size_t>(y * sheet.width + x)]),
          250)
          << x << ", " << y;
}

TEST_F(PdfTest, ADocumentOfNothingIsOneSheet) {
  Document document;
  document.title = "Nothing";
  EXPECT_EQ(printed(document).pages(), 1);
  document.blocks = {Table{{"Unit"}, {}, "l"},  Table{},           List{}, Figures{},
                     Paragraph{Tone::more, ""}, analytics::Chart{}};
  EXPECT_THAT(printed(document).text(), HasSubstr("page 1 of 1"));
}

}  // namespace
}  // namespace lastlook::reports
