// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_report.h"

#include "kiosk/reports/html.h"
#include "kiosk/reports/shift_words.h"
#include "tests/places.h"

namespace {

using namespace lastlook;
using namespace lastlook::reports;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr std::int64_t hour_us = 3'600'000'000;

const text::Strings& say() {
  static const text::Strings strings =
      text::Strings::load(source_dir() + "/assets/strings/en.json").value();
  return strings;
}

// Ten shifts with 5 of 100 not right, then this one.
analytics::AttributeChart after_ten_shifts(std::int64_t not_right_now, std::int64_t units_now) {
  std::vector<analytics::ChartSample> samples;
  for (int i = 0; i < 10; ++i) samples.push_back({std::to_string(i), 100, 5, "", ""});
  samples.push_back({"now", units_now, not_right_now, "", ""});
  analytics::ChartOptions options;
  options.frozen_centre = 0.05;
  return analytics::attribute_chart(samples, options).value();
}

ShiftFacts facts(std::int64_t not_right = 6) {
  ShiftFacts facts;
  facts.station = "LL-1";
  facts.product = "Electric coolant pump";
  facts.shift_name = "Early shift";
  facts.which = {"2026-11-24", "early"};
  facts.counts.first_looks = 100;
  facts.counts.first_pass = 100 - not_right;
  facts.counts.looks = 104;
  facts.counts.accept = 97;
  facts.counts.rework = 5;
  facts.counts.hold = 2;
  facts.first_pass = analytics::first_pass_yield(100 - not_right, 100).value();
  analytics::ParetoCounter counter;
  counter.add("Connector seal: cut", 5);
  counter.add("Plug clip: half seated", 2);
  facts.findings = counter.table();
  facts.usual.by_shift = after_ten_shifts(not_right, 100);
  facts.usual.shifts = 10;
  facts.written_us = 1'795'600'000'000'000;
  facts.waiting = {{"k-1", "LL-1", "26328-10007", "", "CP-210", "finding", false,
                    facts.written_us - 3 * hour_us}};
  facts.journal = records::Verdict{1234, "ab12", {}};
  return facts;
}

ShiftFacts with_camera(std::int64_t missed, std::int64_t bad) {
  ShiftFacts all = facts();
  records::OpinionCount seal{"seal", 90, 1, 2, missed, bad - missed, 0};
  all.camera = {seal};
  all.camera_sums = {93, bad, missed, 1, 2, 0};
  all.looks_with_opinion = 100;
  return all;
}

std::string html(const ShiftFacts& of) {
  return to_html(shift_report(of, domain::Master{}, say()));
}

TEST(ShiftReport, AsksFiveQuestionsInOrder) {
  const std::string page = html(facts());
  std::size_t at = 0;
  for (const char* key :
       {"question.most", "question.usual", "question.waiting", "question.look", "question.next"}) {
    const std::size_t next = page.find(say()(key), at);
    ASSERT_NE(next, std::string::npos) << key;
    at = next;
  }
}

TEST(ShiftReport, HasTwoChartsAndFetchesNothing) {
  const std::string page = html(facts());
  std::size_t charts = 0;
  for (std::size_t at = page.find("<svg"); at != std::string::npos; at = page.find("<svg", at + 1))
    ++charts;
  EXPECT_EQ(charts, 2U);
  for (const char* outside : {"src=", "href=", "@import", "url(", "<script", "https:"})
    EXPECT_THAT(page, Not(HasSubstr(outside)));
}

// 95 of 100: Wilson 88.8 to 97.8 %, as Newcombe's method 3 gives.
TEST(ShiftReport, TheYieldComesWithItsInterval) {
  const std::string page = html(facts(5));
  EXPECT_THAT(page, HasSubstr("95.0 %"));
  EXPECT_THAT(page, HasSubstr("88.8 to 97.8 %"));
}

TEST(ShiftReport, WhatPeopleWroteStaysText) {
  ShiftFacts all = facts();
  all.notes = {"<script>alert(1)</script>"};
  all.waiting.front().serial = "<img src=x>";
  analytics::ParetoCounter counter;
  counter.add("<b>seal</b>", 3);
  all.findings = counter.table();
  const std::string page = html(all);
  EXPECT_THAT(page, HasSubstr("&lt;script&gt;alert(1)&lt;/script&gt;"));
  for (const char* markup : {"<script", "<img", "<b>seal"})
    EXPECT_THAT(page, Not(HasSubstr(markup)));
}

TEST(ShiftReport, EveryTextIsThere) {
  ShiftFacts all = with_camera(1, 8);
  all.waiting.push_back({"k-2", "LL-1", "", "H-4K7Q", "CP-210", "no_tag", false, all.written_us});
  EXPECT_THAT(html(all), Not(HasSubstr("[")));
  EXPECT_THAT(shift_report_text(all, say()), Not(HasSubstr("[")));
}

TEST(Standing, AgainstTheShiftsBefore) {
  EXPECT_EQ(standing_of(facts(6).usual), Standing::as_usual);
  EXPECT_EQ(standing_of(facts(20).usual), Standing::worse);
  ShiftFacts first = facts(20);
  first.usual.shifts = least_usual_shifts - 1;
  EXPECT_EQ(standing_of(first.usual), Standing::too_few_shifts);
  first.usual.by_shift.reset();
  EXPECT_EQ(standing_of(first.usual), Standing::no_units);
}

TEST(ShiftReport, ThatTheUsualItselfWandersIsSaid) {
  ShiftFacts all = facts();
  EXPECT_THAT(html(all), Not(HasSubstr("causes to look for")));
  all.usual.wanders = 2.44;
  EXPECT_THAT(html(all), HasSubstr("differ 2.4 times as much"));
}

TEST(ShiftReport, AWorseShiftIsSaidInWordsAndToTheNextShift) {
  const std::string page = html(facts(20));
  EXPECT_THAT(page, HasSubstr("Yes: 20 of 100 units not right at the first look (20.0 %)"));
  EXPECT_THAT(page, HasSubstr("Most often: Connector seal: cut."));
}

// No miss in 8: the exact one-sided 95 % limit is 1 - 0.05^(1/8) = 31.2 %.
TEST(ShiftReport, NoMissProvesNoRateBelowItsLimit) {
  EXPECT_THAT(html(with_camera(0, 8)), HasSubstr("as high as 31.2 % passed"));
}

TEST(ShiftReport, WithoutAStoppedPartNothingIsSaidOfMisses) {
  EXPECT_THAT(html(with_camera(0, 0)), HasSubstr("nothing can be said"));
}

TEST(ShiftReport, WhatCameBackFromTheFieldIsToldOnceThereIsAny) {
  ShiftFacts all = facts();
  EXPECT_EQ(field_answer(all, say()), "");
  all.let_pass.field = {2, 1, 3};
  const std::string page = html(all);
  EXPECT_THAT(page, HasSubstr("units that the look ought to have stopped 2, that it could not have "
                              "seen 1, not judged yet 3."));
}

TEST(ShiftReport, AFailedProofListsTheUnitsToContain) {
  ShiftFacts all = facts();
  EXPECT_THAT(html(all), HasSubstr("no challenge part was shown in this shift"));
  all.proofs = {{"2026-11-25", "early", "LL-1", "CP-210", "m-1", "held", 2, {}}};
  EXPECT_THAT(html(all), HasSubstr("CP-210 proved, parts shown: 2"));
  EXPECT_THAT(html(all), Not(HasSubstr("Containment")));
  all.proofs[0].state = "failed";
  all.proofs[0].failures = {"s-1"};
  all.contained = {{"k-1", "26330-00411", "CP-210", 0, true}};
  EXPECT_THAT(html(all), HasSubstr("find these units (1)"));
  EXPECT_THAT(html(all), HasSubstr("26330-00411"));
  EXPECT_THAT(html(all), HasSubstr("proof for CP-210 failed in this shift"));
  EXPECT_THAT(shift_report_text(all, say()), HasSubstr("CP-210 failed, parts shown: 2"));
}

TEST(ShiftReport, ADamagedJournalIsTheFirstThingToKnow) {
  ShiftFacts all = facts();
  all.journal = records::Verdict{41, "", {{"j", 42, "hash differs"}}};
  EXPECT_THAT(html(all), HasSubstr("JOURNAL DAMAGED at entry 42: hash differs"));
  EXPECT_THAT(shift_report_text(all, say()), HasSubstr("DAMAGED at entry 42"));
}

TEST(ShiftReport, AnEmptyShiftIsAPageToo) {
  ShiftFacts none;
  none.which = {"2026-11-24", "late"};
  const std::string page = html(none);
  EXPECT_THAT(page, HasSubstr(say()("report.most.none")));
  EXPECT_THAT(page, HasSubstr(say()("report.waiting.none")));
  EXPECT_THAT(page, Not(HasSubstr("nan")));
}

// The values stand flush right in one column.
TEST(ShiftText, LinesUp) {
  const std::string text = shift_report_text(with_camera(1, 8), say());
  std::vector<std::size_t> ends;
  for (const char* label : {"Units, first look", "Looks in all", "Findings", "Waiting now"}) {
    const std::size_t line = text.find(label);
    ASSERT_NE(line, std::string::npos) << label << "\n" << text;
    const std::size_t start = text.rfind('\n', line) + 1;
    const std::size_t digit = text.find_first_of("0123456789", line);
    ends.push_back(text.find_first_not_of("0123456789", digit) - start);
  }
  EXPECT_THAT(ends, ::testing::Each(ends.front())) << text;
}

}  // namespace
