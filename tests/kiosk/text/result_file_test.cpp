// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/result_file.h"

#include <gmock/gmock.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>

namespace lastlook::text {
namespace {

using ::testing::HasSubstr;

class ResultFileTest : public ::testing::Test {
 protected:
  ResultFileTest() {
    std::string pattern = ::testing::TempDir() + "lastlook_XXXXXX";
    folder_ = mkdtemp(pattern.data());
  }
  ~ResultFileTest() override { std::filesystem::remove_all(folder_); }
  Result<ResultFile> read(const std::string& text) const {
    std::ofstream(folder_ / "leak.csv", std::ios::binary) << text;
    return read_result_file((folder_ / "leak.csv").string());
  }
  std::string message(const std::string& text) const {
    const auto file = read(text);
    return file ? "" : file.error().message;
  }
  std::filesystem::path folder_;
};

// 2026-11-25T06:12:03+01:00 is 2026-11-25T05:12:03Z, 1,795,583,523 s after 1970 (date -u -d … +%s).
TEST_F(ResultFileTest, ReadsResultsAndWhatUnitsAreBuiltAs) {
  const auto file = read(
      "serial;variant;test;result;value;measured\r\n"
      "26330-00417;CP-210;leak;passed;0.4 cm3/min;2026-11-25T06:12:03+01:00\r\n"
      "26330-00418;;fill_mass;failed;;2026-11-25T05:12:03.25Z\r\n"
      "26330-00419;CP-210N;;;;\r\n");
  ASSERT_TRUE(file) << file.error().message;
  ASSERT_EQ(file->built.size(), 2U);
  EXPECT_EQ(file->built[0].serial, "26330-00417");
  EXPECT_EQ(file->built[1].variant, "CP-210N");
  ASSERT_EQ(file->results.size(), 2U);
  EXPECT_EQ(file->results[0].result.test, domain::UpstreamTest::leak);
  EXPECT_TRUE(file->results[0].result.passed);
  EXPECT_EQ(file->results[0].result.value, "0.4 cm3/min");
  EXPECT_EQ(file->results[0].result.measured_us, 1'795'583'523'000'000);
  EXPECT_FALSE(file->results[1].result.passed);
  EXPECT_EQ(file->results[1].result.measured_us, 1'795'583'523'250'000);
}

TEST_F(ResultFileTest, ReadsPartsEachUnitOnceAndTheDayOfABuild) {
  const auto file = read(
      "serial,variant,made,part,lot\n"
      "26330-00417,CP-210,2026-11-24,seal ring,L-2291\n"
      "26330-00418,,,seal ring,L-2292\n"
      "26330-00417,,,stator,S-118734\n"
      "26330-00417,,,stator,S-118734\n"
      "26330-00418,CP-210,,,\n");
  ASSERT_TRUE(file) << file.error().message;
  EXPECT_EQ(file->fitted, (std::vector<domain::PartsFitted>{
                              {"26330-00417", {{"seal ring", "L-2291"}, {"stator", "S-118734"}}},
                              {"26330-00418", {{"seal ring", "L-2292"}}}}));
  ASSERT_EQ(file->built.size(), 2U);
  EXPECT_EQ(file->built[0].made, "2026-11-24");
  EXPECT_EQ(file->built[1].made, "");
  EXPECT_TRUE(read("serial,part,lot\n1,ring,L-1\n"));
  EXPECT_THAT(message("serial,part\n1,ring\n"), HasSubstr("serial,part,lot"));
  EXPECT_THAT(message("serial,part,lot\n1,ring,\n"), HasSubstr("line 2, column 3 (lot)"));
  EXPECT_THAT(message("serial,variant,made\n1,CP-210,24.11.2026\n"),
              HasSubstr("line 2, column 3 (made): expected a day, 2026-11-25"));
  EXPECT_THAT(message("serial,part,lot\n1,,\n"), HasSubstr("expected a variant, a part or a test"));
}

TEST_F(ResultFileTest, NamesWhatIsWrongByLineAndColumn) {
  const std::string head = "serial,test,result,value,measured\n";
  const std::string good = "26330-00417,leak,passed,1,2026-11-25T06:12:03+01:00\n";
  EXPECT_THAT(message("number,test\n1,leak\n"), HasSubstr("serial,test,result,value,measured"));
  EXPECT_THAT(message(head + good + "26330-00418,weight,passed,1,2026-11-25T06:12:03Z\n"),
              HasSubstr("line 3, column 2 (test): expected dimensions, leak"));
  EXPECT_THAT(message(head + "26330-00418,leak,ok,1,2026-11-25T06:12:03Z\n"),
              HasSubstr("column 3 (result): expected passed or failed"));
  EXPECT_THAT(message(head + "26330-00418,leak,passed,1,2026-11-25T06:12:03\n"),
              HasSubstr("column 5 (measured): expected a time with its offset"));
  EXPECT_THAT(message(head + "26330-00418,leak,passed,1,2026-02-30T06:12:03Z\n"),
              HasSubstr("column 5 (measured)"));
  EXPECT_THAT(message(head + ",leak,passed,1,2026-11-25T06:12:03Z\n"), HasSubstr("line 2"));
  EXPECT_THAT(message("serial,variant\n26330-00418,\n"),
              HasSubstr("expected a variant, a part or a test"));
}

}  // namespace
}  // namespace lastlook::text
