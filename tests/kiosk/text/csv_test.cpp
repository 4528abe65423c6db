// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/csv.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

namespace lastlook::text {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using Rows = std::vector<std::vector<std::string>>;

// Every row, or the message of the error that stopped the reading.
struct ReadAll {
  Rows rows;
  std::string error;
};

ReadAll read_all(Result<CsvReader> reader, std::size_t columns) {
  ReadAll all;
  if (!reader) return {{}, reader.error().message};
  for (;;) {
    const Result<bool> row = reader->next();
    if (!row) all.error = row.error().message;
    if (!row || !*row) return all;
    auto& fields = all.rows.emplace_back();
    for (std::size_t i = 0; i < columns; ++i) fields.emplace_back(reader->field(i));
  }
}

ReadAll read_text(const std::string& text, std::size_t columns = 2) {
  return read_all(CsvReader::from_text("t.csv", text), columns);
}

// RFC 4180, section 2, rules 1 to 7.
TEST(Csv, ReadsWhatTheRfcDescribes) {
  EXPECT_THAT(read_text("a,b\r\n1,2\r\n3,4").rows,
              ElementsAre(ElementsAre("1", "2"), ElementsAre("3", "4")));
  EXPECT_THAT(read_text("a,b\n\"1\",\"x,y\"\n").rows, ElementsAre(ElementsAre("1", "x,y")));
  EXPECT_THAT(read_text("a,b\n\"line\r\nbreak\",\"say \"\"no\"\"\"\r\n").rows,
              ElementsAre(ElementsAre("line\r\nbreak", "say \"no\"")));
  EXPECT_THAT(read_text("a,b\n,\n").rows, ElementsAre(ElementsAre("", "")));
  EXPECT_THAT(read_text("a,b\n\"\"\"\",\"\"\n").rows, ElementsAre(ElementsAre("\"", "")));
}

TEST(Csv, TellsSemicolonFromComma) {
  EXPECT_THAT(read_text("a;b\n1,5;2\n").rows, ElementsAre(ElementsAre("1,5", "2")));
  EXPECT_THAT(read_text("a,b\n1;5,2\n").rows, ElementsAre(ElementsAre("1;5", "2")));
  EXPECT_THAT(read_text("a;\"b,c,d\"\n1;2\n").rows, ElementsAre(ElementsAre("1", "2")));
}

TEST(Csv, SkipsTheByteOrderMarkAndBlankLines) {
  auto reader = CsvReader::from_text("t.csv",
                                     "\xEF\xBB\xBF"
                                     "a,b\n\n1,2\n\r\n");
  EXPECT_TRUE(reader->find("a"));
  EXPECT_THAT(read_all(std::move(reader), 2).rows, ElementsAre(ElementsAre("1", "2")));
}

TEST(Csv, NamesFileLineAndWhatWasExpected) {
  EXPECT_EQ(
      read_text("").error,
      "t.csv: line 1: expected a first line with the names of the columns, found an empty file");
  EXPECT_EQ(read_text("a,b\n1,2\n3\n").error,
            "t.csv: line 3, column 2 (b): expected 2 fields as in the first line, found 1");
  EXPECT_EQ(read_text("a,b\n\"x\ny\",2\n3\n").error,
            "t.csv: line 4, column 2 (b): expected 2 fields as in the first line, found 1");
  EXPECT_EQ(read_text("a,b\n1,2,3\n").error,
            "t.csv: line 2, column 3: expected 2 fields as in the first line, found 3");
  EXPECT_EQ(read_text("a,\xE9,c\n").error, "t.csv: line 1, column 2: expected text in UTF-8");
  EXPECT_EQ(read_text("a,b\n1,\"2\n").error,
            "t.csv: line 2, column 2 (b): expected the quote that opens this field to be closed");
  EXPECT_THAT(read_text("a,b\n1,\"2\"x\n").error,
              HasSubstr("line 2, column 2 (b): expected a sep"));
}

TEST(Csv, NamesTheColumnThatIsMissing) {
  const auto reader = CsvReader::from_text("t.csv", "Defect,n\nlid,1\n");
  EXPECT_EQ(reader->require("defect", "defect,count").error().message,
            "t.csv: line 1: no column 'defect', expected defect,count; found 'Defect,n' (small "
            "letters count)");
  EXPECT_EQ(reader->require("count", "defect,count").error().message,
            "t.csv: line 1: no column 'count', expected defect,count; found 'Defect,n'");
}

// Else the one or the other would be read, or all rows as names of columns.
TEST(Csv, AFileThatCanBeReadInTwoWaysIsRefused) {
  EXPECT_EQ(CsvReader::from_text("t.csv", "n,note,n\n1,,2\n").error().message,
            "t.csv: line 1, column 3: expected columns of different names, found 'n' twice");
  EXPECT_TRUE(CsvReader::from_text("t.csv", "n,,\n1,,\n")) << "columns without a name";
  EXPECT_EQ(CsvReader::from_text("t.csv", "defect,count\rlid,3\rtag,2\r").error().message,
            "t.csv: line 1, column 2: expected lines that end with LF or CRLF, found a carriage "
            "return alone");
}

Result<std::int64_t> count_of(const std::string& text) {
  auto reader = CsvReader::from_text("t.csv", "n,x\n" + text + ",1\n");
  EXPECT_TRUE(*reader->next());
  return reader->count(0);
}

TEST(Csv, CountsAreWholeNumbersOfZeroOrMore) {
  EXPECT_EQ(*count_of("0"), 0);
  EXPECT_EQ(*count_of(" 17 "), 17);
  for (const char* bad :
       {"", "-1", "-0", "1.5", "1e3", "ten", "0x1", "9007199254740993", "99999999999999999999"}) {
    const auto count = count_of(bad);
    ASSERT_FALSE(count) << bad;
    EXPECT_THAT(count.error().message,
                HasSubstr("t.csv: line 2, column 1 (n): expected a whole number"));
  }
}

TEST(Csv, NumbersMayHaveADecimalCommaBetweenSemicolons) {
  auto reader = CsvReader::from_text("t.csv", "n;m;k\n1,25;2.5;-1\n");
  ASSERT_TRUE(*reader->next());
  EXPECT_DOUBLE_EQ(*reader->number(0), 1.25);
  EXPECT_DOUBLE_EQ(*reader->number(1), 2.5);
  EXPECT_FALSE(reader->number(2));
}

TEST(Csv, NamesAreUtf8AndNotEmpty) {
  auto reader = CsvReader::from_text("t.csv", "a,b,c\n \xC5\x99 ,\xE9t\xE9, \n");
  ASSERT_TRUE(*reader->next());
  EXPECT_EQ(*reader->name(0), "ř");
  EXPECT_THAT(reader->name(1).error().message, HasSubstr("column 2 (b): expected text in UTF-8"));
  EXPECT_FALSE(reader->name(2));
  EXPECT_TRUE(reader->blank(2));
}

// The Unicode standard, table 3-7: well-formed byte sequences.
TEST(IsUtf8, KnowsWellFormedSequences) {
  for (const char* good : {"", "lid", "é", "ก", "😀", "\xF4\x8F\xBF\xBF"})
    EXPECT_TRUE(is_utf8(good));
  for (const char* bad : {"\x80", "\xC0\xAF", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80",
                          "\xC3", "\xFF\xFE"}) {
    EXPECT_FALSE(is_utf8(bad));
  }
  EXPECT_FALSE(is_utf8(std::string_view("a\0b", 3)));
}

class CsvFile : public testing::Test {
 protected:
  CsvFile() : path_(testing::TempDir() + "csv_test_" + std::to_string(getpid()) + ".csv") {}
  ~CsvFile() override { std::filesystem::remove(path_); }
  void write(const std::string& text) { std::ofstream(path_, std::ios::binary) << text; }
  std::string path_;
};

// Rows that lie across the borders of what is read at once, at every offset.
TEST_F(CsvFile, ReadsTheSameFromDiskAsFromMemory) {
  std::string text = "a,b\r\n";
  for (int i = 0; i < 60000; ++i) {
    const std::string number = std::to_string(i);
    text.append("\"row ").append(number).append("\"\"\r\n\",").append(number).append("\r\n");
    if (i % 9 == 0) text.append("plain,").append(number).append("\r\n");
  }
  write(text);
  const ReadAll disk = read_all(CsvReader::open(path_), 2);
  EXPECT_EQ(disk.error, "");
  EXPECT_EQ(disk.rows.size(), 66667U);
  EXPECT_EQ(disk.rows, read_text(text).rows);
}

TEST_F(CsvFile, OneFieldLargerThanWhatIsReadAtOnce) {
  const std::string large(3'000'000, 'x');
  write("a,b\n\"" + large + "\",2\n");
  const ReadAll all = read_all(CsvReader::open(path_), 2);
  ASSERT_EQ(all.rows.size(), 1U);
  EXPECT_EQ(all.rows[0][0], large);
}

TEST_F(CsvFile, SaysWhenThereIsNoFile) {
  EXPECT_EQ(CsvReader::open(path_).error().category, Category::not_found);
  EXPECT_EQ(CsvReader::open(testing::TempDir()).error().category, Category::bad_input);
}

TEST(CsvField, QuotesWhatNeedsIt) {
  EXPECT_EQ(csv_field("lid"), "lid");
  EXPECT_EQ(csv_field("a,b"), "\"a,b\"");
  EXPECT_EQ(csv_field("say \"no\""), "\"say \"\"no\"\"\"");
  EXPECT_EQ(csv_field(" padded"), "\" padded\"");
}

}  // namespace
}  // namespace lastlook::text
