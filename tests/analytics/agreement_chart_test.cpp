// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "tests/analytics/chart_boxes.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using testing::Contains;

const WideSansMeasure kMeasure;

Chart draw(const Study& study, double width = 800, double height = 450) {
  AgreementChartOptions options;
  options.frame = {width, height, 14, "Does the look work?"};
  return agreement_chart(agreement_of(study), study, options, kMeasure);
}

// AIAG Measurement Systems Analysis, 4th ed. (2010), Table III-C 1.
Study handbook_study() {
  const auto file = references::load("05_attribute_study_50x3x3.json");
  std::vector<StudyRow> rows;
  for (const auto& part : file["raw_data"]) {
    for (const char* name : {"A", "B", "C"}) {
      for (std::size_t t = 0; t < 3; ++t) {
        rows.push_back({part["part"].dump(), name, std::to_string(t), part[name][t].dump(),
                        part["reference"].dump(), 0});
      }
    }
  }
  return *make_study(rows);
}

TEST(AgreementChart, HoldsPairsSelfReferenceAndGroup) {
  const Chart chart = draw(handbook_study());
  std::vector<std::string> all;
  for (const Text& text : texts(chart)) all.push_back(text.text);
  EXPECT_THAT(all, Contains("0.86"));      // A with B
  EXPECT_THAT(all, Contains("84 %"));      // A's own trials
  EXPECT_THAT(all, Contains("71 to 93"));  // as the handbook prints them
  EXPECT_THAT(all, Contains("0.92"));      // B with the reference
  EXPECT_THAT(all, Contains("0.79"));      // all together
  EXPECT_THAT(all, Contains("C missed 6 of 48 looks at 16 bad, stopped 9 of 102 looks at 34 good"));
}

// The row of all together has its name where those of the inspectors are shorter, at every size of
// text: widths that are added and subtracted again lose a last digit.
TEST(AgreementChart, ShortNamesLeaveRoomForAll) {
  const Study study = handbook_study();
  AgreementChartOptions options;
  for (int size = 80; size < 240; ++size) {
    options.frame = {1200, 800, 0.1 * size, "Does the look work?"};
    const Chart chart = agreement_chart(agreement_of(study), study, options, kMeasure);
    std::vector<std::string> all;
    for (const Text& text : texts(chart)) all.push_back(text.text);
    EXPECT_THAT(all, Contains("all")) << size;
  }
}

// Seeded random studies of 1 to 8 inspectors, with and without a reference, at five sizes.
TEST(AgreementChart, TextNeverOverlapsNorLeavesThePage) {
  std::mt19937 random(20240613);
  for (unsigned inspectors = 1; inspectors <= 8; ++inspectors) {
    std::vector<StudyRow> rows;
    for (unsigned item = 0; item < 20; ++item) {
      for (unsigned inspector = 0; inspector < inspectors; ++inspector) {
        rows.push_back({std::to_string(item), std::string(3 * inspector + 1, 'w'), "1",
                        random() % 3 == 0 ? "bad" : "good",
                        inspectors % 2 == 0 ? (item % 3 == 0 ? "bad" : "good") : "", 0});
      }
    }
    const Study study = *make_study(rows);
    for (const auto& [width, height] : kSizes) expect_clean(draw(study, width, height), kMeasure);
  }
}

}  // namespace
}  // namespace lastlook::analytics
