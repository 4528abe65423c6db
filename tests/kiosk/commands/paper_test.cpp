// SPDX-License-Identifier: Apache-2.0
// What the program puts on paper, as other programs read it.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <regex>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/reports/sheets.h"

namespace lastlook::commands {
namespace {

using reports::testing::said_by;
using reports::testing::Sheets;
using reports::testing::times;
using testing::AllOf;
using testing::Each;
using testing::Field;
using testing::Ge;
using testing::HasSubstr;
using testing::Not;

class PaperTest : public ProgramTest {
 protected:
  Sheets sheets() const { return Sheets(path("out.pdf")); }
  std::string to_paper() const { return " --pdf " + path("out.pdf") + " "; }
  // Without columns and ends of lines.
  static std::string words(const std::string& text) {
    return std::regex_replace(text, std::regex("\\s+"), " ");
  }
};

const char* const findings_csv = "defect\nGehäuse größer als Maß\nŁódź <b>\nlid\nlid\n";

TEST_F(PaperTest, AChartSaysTheSameOnPaperAndAsSvg) {
  run("pareto " + file("f.csv", findings_csv) + to_paper() + "--svg " + path("out.svg"));
  ASSERT_EQ(code_, 0) << err_;
  const std::string paper = words(sheets().text());
  const std::string svg = content_of(path("out.svg"));
  const std::regex text("<text[^>]*>([^<]*)</text>");
  int texts = 0;
  for (std::sregex_iterator it(svg.begin(), svg.end(), text), end; it != end; ++it, ++texts) {
    std::string said = std::regex_replace((*it)[1].str(), std::regex("&lt;"), "<");
    said = std::regex_replace(said, std::regex("&gt;"), ">");
    EXPECT_THAT(paper, HasSubstr(said));
  }
  EXPECT_GE(texts, 8);
}

TEST_F(PaperTest, TheSameFileGivesTheSameBytesOnEitherPaper) {
  const std::string csv = file("f.csv", findings_csv);
  std::map<std::string, std::string> first;
  for (const std::string round : {"first", "second"})
    for (const std::string paper : {"a4", "letter"}) {
      run("pareto " + csv + to_paper() + "--paper " + paper);
      ASSERT_EQ(code_, 0) << err_;
      EXPECT_THAT(sheets().info().at("Page size"), HasSubstr(paper == "a4" ? "(A4)" : "(letter)"));
      const std::string bytes = content_of(path("out.pdf"));
      if (round == "first") first[paper] = bytes;
      EXPECT_EQ(bytes, first[paper]);
    }
}

TEST_F(PaperTest, EachSheetNamesTheFileAndItsHash) {
  const std::string csv = file("findings of March.csv", findings_csv);
  run("pareto '" + csv + "'" + to_paper());
  const std::string hash = said_by("b2sum -l 256 '" + csv + "'").substr(0, 64);
  EXPECT_THAT(
      words(sheets().text(1)),
      AllOf(HasSubstr("findings of March.csv, BLAKE2b-256 " + hash), HasSubstr("page 1 of 1")));
}

TEST_F(PaperTest, WhatCameThroughAPipeHasNoHash) {
  said_by("cat " + file("f.csv", findings_csv) + " | " + program() + " pareto /dev/stdin" +
          to_paper());
  EXPECT_THAT(sheets().text(), AllOf(HasSubstr("lid"), Not(HasSubstr("BLAKE2b"))));
}

// 500 units that have a part of one lot inside: each has to be found by somebody with this list.
TEST_F(PaperTest, ALotOfPartsIsListedUnitByUnit) {
  constexpr int units = 500;
  make_station();
  std::string rows = "serial,variant,part,lot\n";
  const auto serial = [](int i) { return fmt::format("26330-{:05}", i); };
  for (int i = 0; i < units; ++i) rows += serial(i) + ",CP-210,seal ring,L-1\n";
  run("results " + file("build.csv", rows) + " --dir " + path("LL-7"));
  ASSERT_EQ(code_, 0) << err_;
  run("contain --lot L-1 --dir " + path("LL-7") + to_paper() + "--html " + path("out.html"));
  ASSERT_EQ(code_, 0) << err_;
  const Sheets paper = sheets();
  const std::string all = paper.text();
  const int pages = paper.pages();
  EXPECT_GE(pages, 8);
  for (int i = 0; i < units; ++i) ASSERT_EQ(times(all, serial(i)), 1) << serial(i);
  EXPECT_EQ(times(all, "variant"), pages);
  for (int page = 1; page <= pages; ++page) {
    EXPECT_THAT(words(paper.text(page)), AllOf(HasSubstr(fmt::format("page {} of {}", page, pages)),
                                               HasSubstr("Units with parts of lot L-1"),
                                               HasSubstr("LL-7, master data revision")));
    EXPECT_THAT(paper.drawn(page, 36).border(), Each(Ge(15))) << page;
  }
  EXPECT_THAT(paper.fonts(), Each(Field(&Sheets::Font::is_embedded, true)));
  EXPECT_EQ(times(content_of(path("out.html")), "<td>26330-"), units);
}

TEST_F(PaperTest, TheStoryOfAUnitNamesTheJournalItIsFrom) {
  make_station();
  run("results " +
      file("build.csv", "serial,variant,part,lot\n417,CP-210,Dichtring Größe Ω,L-1\n") + " --dir " +
      path("LL-7"));
  run("unit 417 --dir " + path("LL-7") + to_paper());
  ASSERT_EQ(code_, 0) << err_;
  const std::string paper = words(sheets().text(1));
  EXPECT_THAT(paper, AllOf(HasSubstr("Unit 417"), HasSubstr("Dichtring Größe Ω")));
  run("records verify --json --dir " + path("LL-7"));
  EXPECT_THAT(paper, HasSubstr("hash " + json().value("head", "none")));
  run("unit 418 --dir " + path("LL-7") + " --pdf " + path("none.pdf"));
  EXPECT_EQ(code_, 1);
  EXPECT_FALSE(std::filesystem::exists(path("none.pdf")));
}

TEST_F(PaperTest, AShiftIsReportedInTwoLanguages) {
  make_station();
  for (const auto& [language, page, title] :
       {std::tuple{"en", "Page 1 of ", "Shift report"}, {"de", "Seite 1 von ", "Schichtbericht"}}) {
    run(fmt::format("report shift --dir {} --date 2026-11-25 --shift early --language {} --html {}",
                    path("LL-7"), language, path("out.html")) +
        to_paper());
    ASSERT_EQ(code_, 0) << err_;
    EXPECT_THAT(sheets().text(1), AllOf(HasSubstr(page), HasSubstr(title)));
    EXPECT_THAT(content_of(path("out.html")), HasSubstr(title));
  }
  run("records verify --json --dir " + path("LL-7"));
  EXPECT_THAT(sheets().text(1), HasSubstr(json().value("head", "none")));
}

TEST_F(PaperTest, OfAShiftWithoutALookThereIsAReportOnlyByItsName) {
  make_station();
  const std::string shift = "report shift --dir " + path("LL-7");
  run(shift + to_paper());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("no shift with a finished look"));
  run(shift + " --json --date 2026-11-25 --shift early");
  EXPECT_EQ(json()["first_looks"], 0);
  EXPECT_EQ(json()["journal"]["whole"], true);
  run(shift + " --date 2026-11-25 --shift night");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("'night', expected one of early, late"));
  run(shift + " --date 25.11. --shift early");
  EXPECT_EQ(code_, 2);
  run(shift + " --date 2026-11-25");
  EXPECT_EQ(code_, 2);
}

TEST_F(PaperTest, TellsWhatPaperThereIsAndWhereNothingCanBeWritten) {
  const std::string csv = file("f.csv", findings_csv);
  run("pareto " + csv + to_paper() + "--paper a5");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("letter"));
  run("pareto " + csv + " --paper letter");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("--pdf"));
  run("pareto " + csv + " --pdf " + path("nowhere/out.pdf"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("nowhere/out.pdf: cannot be written"));
}

TEST_F(PaperTest, APictureUnderAChartIsInTheFile) {
  const std::string csv = file("f.csv", "defect,x,y\nscratch,0.5,0.5\nscratch,0.52,0.5\n");
  const std::string picture = source_dir() + "/sample-images";
  std::string jpeg;
  for (const auto& one : std::filesystem::recursive_directory_iterator(picture))
    if (one.path().extension() == ".jpg") jpeg = one.path().string();
  ASSERT_NE(jpeg, "");
  run("where " + csv + " --picture " + jpeg + to_paper());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_THAT(said_by("pdfimages -list " + path("out.pdf")), HasSubstr("jpeg"));
  run("where " + csv + to_paper());
  EXPECT_THAT(said_by("pdfimages -list " + path("out.pdf")), Not(HasSubstr("jpeg")));
}

}  // namespace
}  // namespace lastlook::commands
