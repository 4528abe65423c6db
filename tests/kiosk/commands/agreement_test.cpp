// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <algorithm>

#include "tests/kiosk/commands/program.h"
#include "tests/places.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

constexpr const char* kHeader = "item,inspector,trial,rating\n";

class Agreement : public ProgramTest {
 protected:
  // AIAG Measurement Systems Analysis, 4th ed. (2010), Table III-C 1.
  std::string handbook_study() const {
    std::ifstream in(source_dir() + "/tests/references/05_attribute_study_50x3x3.json");
    const auto data = nlohmann::json::parse(in)["raw_data"];
    std::string csv = "item,inspector,trial,rating,reference\n";
    for (const auto& part : data) {
      for (const char* name : {"A", "B", "C"}) {
        for (std::size_t t = 0; t < 3; ++t) {
          csv += fmt::format("{},{},{},{},{}\n", part["part"].dump(), name, t + 1,
                             part[name][t].dump(), part["reference"].dump());
        }
      }
    }
    return file("study.csv", csv);
  }
};

TEST_F(Agreement, HandbookStudyAsJson) {
  run("agreement --json " + handbook_study());
  EXPECT_EQ(code_, 0);
  const auto out = json();
  EXPECT_DOUBLE_EQ(out["self"][0]["agree"], 0.84);
  EXPECT_EQ(out["self"][0]["items"], 50);
  EXPECT_NEAR(out["self"][0]["low"], 0.7089, 0.00005);
  EXPECT_NEAR(out["pairs"][0]["kappa"], 0.86, 0.005);
  EXPECT_NEAR(out["pairs"][0]["se"], 0.0442, 0.00005);
  EXPECT_EQ(out["pairs"][0]["n"], 150);
  EXPECT_NEAR(out["group"]["fleiss"], 0.7936, 0.00005);
  EXPECT_EQ(out["with_reference"][2]["inspector"], "C");
  EXPECT_NEAR(out["with_reference"][2]["kappa"], 0.77, 0.005);
  EXPECT_DOUBLE_EQ(out["with_reference"][2]["effectiveness"], 0.8);
  EXPECT_DOUBLE_EQ(out["with_reference"][2]["miss_rate"], 0.125);
  EXPECT_NEAR(out["with_reference"][2]["false_alarm_rate"], 0.088, 0.0005);
  for (const char* key : {"fleiss_se", "light", "conger", "alpha", "ac1"}) {
    EXPECT_TRUE(out["group"][key].is_number()) << key;
  }
}

TEST_F(Agreement, WhatIsNotDefinedIsNullWithItsReason) {
  run("agreement --json " +
      file("f.csv", std::string(kHeader) + "1,A,1,x\n1,B,1,x\n2,A,1,x\n2,B,1,x\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_TRUE(json()["pairs"][0]["kappa"].is_null());
  EXPECT_TRUE(json()["self"][0]["agree"].is_null());
  EXPECT_TRUE(json()["group"]["fleiss"].is_null());
  EXPECT_TRUE(json()["with_reference"].empty());
  const std::string notes = json()["notes"].dump();
  EXPECT_THAT(notes, HasSubstr("pairs A B kappa, se, kappa_first_trial, low, high"));
  EXPECT_THAT(notes, HasSubstr("both used one and the same category"));
  EXPECT_THAT(notes, HasSubstr("self A agree, low, high: no item was rated twice"));
  EXPECT_THAT(notes, HasSubstr("group fleiss, fleiss_se, fleiss_low, fleiss_high"));
}

// Every null has its name in a note that begins with its place.
TEST_F(Agreement, NoNullIsWithoutItsReason) {
  const auto explain = [&](const nlohmann::json& values, const std::string& place,
                           const std::vector<std::string>& notes) {
    for (const auto& [name, value] : values.items()) {
      if (!value.is_null()) continue;
      EXPECT_TRUE(std::ranges::any_of(notes,
                                      [&](const std::string& note) {
                                        const std::string names =
                                            note.substr(0, note.find(": ")) + ",";
                                        return names.starts_with(place + " ") &&
                                               names.find(" " + name + ",") != std::string::npos;
                                      }))
          << place << " " << name;
    }
  };
  const char* studies[] = {
      "1,A,1,ok,ok\n1,B,1,ok,ok\n2,A,1,ok,ok\n2,B,1,ok,ok\n",  // nobody ever says no
      "1,A,1,ok,no\n1,B,1,ok,no\n2,A,1,ok,ok\n2,B,1,no,ok\n",  // one does
      "1,A,1,red,\n2,B,1,blue,\n",                             // no item in common
      "1,A,1,ok,ok\n2,A,1,no,no\n"};                           // alone, and right
  for (const char* rows : studies) {
    run("agreement --json " +
        file("f.csv", std::string("item,inspector,trial,rating,reference\n") + rows));
    ASSERT_EQ(code_, 0) << err_;
    const nlohmann::json out = json();
    const auto notes = out["notes"].get<std::vector<std::string>>();
    for (const auto& one : out["self"])
      explain(one, "self " + one["inspector"].get<std::string>(), notes);
    for (const auto& one : out["pairs"])
      explain(one, "pairs " + one["a"].get<std::string>() + " " + one["b"].get<std::string>(),
              notes);
    for (const auto& one : out["with_reference"])
      explain(one, "with_reference " + one["inspector"].get<std::string>(), notes);
    explain(out["group"], "group", notes);
    for (const auto& one : out["group"]["by_category"])
      explain(one, "group " + one["category"].get<std::string>(), notes);
  }
}

// An inspector who never rejects agrees with the other by chance alone: kappa is 0 and so is its
// error, which is no interval.
TEST_F(Agreement, AnErrorOfNothingGivesNoLimits) {
  run("agreement --json " +
      file("f.csv", std::string(kHeader) + "1,A,1,ok\n1,B,1,ok\n2,A,1,ok\n2,B,1,no\n3,A,1,ok\n"
                                           "3,B,1,ok\n"));
  EXPECT_NEAR(json()["pairs"][0]["kappa"], 0, 1e-12);
  EXPECT_TRUE(json()["pairs"][0]["low"].is_null());
  EXPECT_TRUE(json()["pairs"][0]["high"].is_null());
}

// An item without a reference is in the study and in no number against the reference.
TEST_F(Agreement, CountsTheItemsThatHaveAReference) {
  run("agreement --json " + file("f.csv",
                                 "item,inspector,trial,rating,reference\n1,A,1,ok,ok\n2,A,1,no,no\n"
                                 "3,A,1,ok,\n4,A,1,ok,no\n"));
  EXPECT_EQ(json()["with_reference"][0]["items"], 3);
  EXPECT_EQ(json()["with_reference"][0]["items_right"], 2);
}

// Fleiss (1971) Psychol Bull 76:378, table 1 and the text on its p. 381, through a file.
TEST_F(Agreement, EachCategoryOfManyInspectors) {
  std::ifstream in(source_dir() + "/tests/references/04_multi_rater_agreement.json");
  const auto data = nlohmann::json::parse(in)["datasets"]["fleiss_1971_diagnoses"];
  std::string csv = kHeader;
  int item = 0;
  for (const auto& counts : data["counts"]) {
    ++item;
    int rater = 0;
    for (std::size_t category = 0; category < counts.size(); ++category)
      for (int n = 0; n < counts[category].get<int>(); ++n)
        csv += fmt::format("{},r{},1,{}\n", item, ++rater, category + 1);
  }
  csv = file("f.csv", csv);
  run("agreement --json " + csv);
  const auto by_category = json()["group"]["by_category"];
  ASSERT_EQ(by_category.size(), 5U);
  for (std::size_t c = 0; c < 5; ++c) {
    const std::string published = data["checks"][fmt::format("k{}", c + 1)]["published"];
    EXPECT_NEAR(by_category[c]["fleiss"], std::stod(published), 0.0005) << c;
    EXPECT_NEAR(by_category[c]["fleiss_se"], data["computed"]["se_j0"], 1e-9);
  }
  run("agreement " + csv);
  EXPECT_THAT(out_, HasSubstr("  of 1 or not      0.245"));
}

TEST_F(Agreement, RanksOfSeverities) {
  // Siegel (1956), ch. 9: 12 students, authoritarianism and striving for status, tau .67.
  const int x[] = {3, 4, 2, 1, 8, 11, 10, 6, 7, 12, 5, 9};
  const int y[] = {2, 6, 5, 1, 10, 9, 8, 3, 4, 12, 7, 11};
  std::string csv = kHeader;
  for (int i = 0; i < 12; ++i) csv += fmt::format("{0},A,1,{1}\n{0},B,1,{2}\n", i, x[i], y[i]);
  csv = file("f.csv", csv);
  run("agreement --json " + csv);
  EXPECT_NEAR(json()["pairs"][0]["kendall_tau"], 0.67, 0.005);
  run("agreement " + csv);
  EXPECT_THAT(out_, HasSubstr("tau"));
  EXPECT_THAT(out_, HasSubstr("AC2, quadratic"));
}

TEST_F(Agreement, OneInspectorOnly) {
  run("agreement --json " + file("f.csv", std::string(kHeader) + "1,A,1,x\n1,A,2,y\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_TRUE(json()["pairs"].empty());
  EXPECT_TRUE(json()["group"]["light"].is_null());
  EXPECT_THAT(json()["notes"].dump(), HasSubstr("one inspector only"));
}

// Agresti (1990), data of Hout, Duncan & Sobel (1987): linear .2374, quadratic .3320 (R vcd). The
// categories stand in the file out of order.
TEST_F(Agreement, NumbersAreOrderedAsNumbersForWeights) {
  const std::vector<std::vector<int>> table = {
      {7, 7, 2, 3}, {2, 8, 3, 7}, {1, 5, 4, 9}, {2, 8, 9, 14}};
  std::string csv = kHeader;
  int item = 0;
  for (std::size_t i = 4; i-- > 0;) {
    for (std::size_t j = 0; j < 4; ++j) {
      for (int n = 0; n < table[i][j]; ++n) {
        csv += fmt::format("{0},A,1,{1}\n{0},B,1,{2}\n", ++item, 9 + i, 9 + j);
      }
    }
  }
  run("agreement --json " + file("f.csv", csv));
  EXPECT_NEAR(json()["pairs"][0]["kappa_linear"], 0.23738, 0.000005);
  EXPECT_NEAR(json()["pairs"][0]["kappa_quadratic"], 0.33205, 0.000005);
}

TEST_F(Agreement, TellsWhereTheInputIsWrong) {
  run("agreement " + file("f.csv", std::string(kHeader) + "1,A,1,x\n1,,1,x\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("f.csv: line 3, column 2 (inspector): expected a name"));
  run("agreement " + file("f.csv", std::string(kHeader) + "1,A,1,x\n1,A,1,y\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("f.csv: line 3: item '1', inspector 'A', trial '1'"));
  run("agreement " + file("f.csv", kHeader));
  EXPECT_EQ(code_, 2);
  run("agreement " + file("f.csv", "item,inspector,rating\n1,A,x\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("no column 'trial'"));
  run("agreement --good z " + file("f.csv", std::string(kHeader) + "1,A,1,x\n"));
  EXPECT_EQ(code_, 2);
}

TEST_F(Agreement, TextLeadsWithTheSentences) {
  run("agreement " + handbook_study());
  EXPECT_THAT(out_,
              testing::StartsWith("A missed 3 of 48 looks at 16 bad, stopped 5 of 102 looks at "
                                  "34 good\n"));
}

TEST_F(Agreement, BandsOnTheLimitToo) {
  run("agreement --json " + handbook_study());
  const auto b = json()["with_reference"][1];
  // 90 % right is acceptable by the handbook; what 50 items prove is 78 %, which is not.
  EXPECT_EQ(b["effectiveness_band"], "acceptable");
  EXPECT_EQ(b["effectiveness_band_by_limit"], "unacceptable");
  EXPECT_EQ(b["miss_band"], "unacceptable");
  EXPECT_EQ(b["false_alarm_band"], "acceptable");
  EXPECT_EQ(b["false_alarm_band_by_limit"], "unacceptable");
  EXPECT_EQ(json()["split_items"].size(), 11U);
  EXPECT_DOUBLE_EQ(json()["pairs"][0]["kappa_first_trial"], 1);
}

TEST_F(Agreement, SeveralDefectsAtOnce) {
  std::string csv = "item,inspector,trial,defect,rating,reference\n";
  for (int item = 0; item < 4; ++item) {
    for (const char* inspector : {"A", "B"}) {
      // A calls every scratch; B none. Both are right about the caps.
      const bool scratched = item % 2 == 0;
      const bool calls = scratched && std::string(inspector) == "A";
      csv += fmt::format("{},{},1,scratch,{},{}\n", item, inspector, calls ? "bad" : "ok",
                         scratched ? "bad" : "ok");
      csv += fmt::format("{},{},1,cap,{},{}\n", item, inspector, item == 1 ? "bad" : "ok",
                         item == 1 ? "bad" : "ok");
    }
  }
  run("agreement --json " + file("f.csv", csv));
  ASSERT_EQ(code_, 0) << err_;
  const auto out = json();
  ASSERT_EQ(out["defects"].size(), 2U);
  EXPECT_EQ(out["defects"][0]["defect"], "scratch");
  EXPECT_DOUBLE_EQ(out["defects"][0]["with_reference"][1]["miss_rate"], 1);
  EXPECT_DOUBLE_EQ(out["defects"][1]["with_reference"][1]["miss_rate"], 0);
  // Of the three items that must not leave, B lets the two scratched ones pass.
  EXPECT_EQ(out["of"], "disposition");
  EXPECT_NEAR(out["with_reference"][1]["miss_rate"], 2.0 / 3, 1e-12);
  EXPECT_DOUBLE_EQ(out["with_reference"][0]["miss_rate"], 0);
  run("agreement " + path("f.csv"));
  EXPECT_THAT(out_, HasSubstr("== scratch"));
  run("agreement " +
      file("g.csv", "item,inspector,trial,defect,rating\n1,A,1,cap,x\n1,B,1,cap,y\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected --good"));
}

}  // namespace
}  // namespace lastlook::commands
