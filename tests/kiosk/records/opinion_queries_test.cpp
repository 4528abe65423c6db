// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/opinion_queries.h"

#include "tests/kiosk/records/station.h"

namespace {

using namespace lastlook;
using namespace lastlook::records::testing;
using domain::Answer;
using records::OpinionCount;

// Opens a look, gives an opinion and an answer about its seal, and closes it.
void look(Station& station, const std::string& id, const std::string& conforming, Answer answer,
          bool closed = true) {
  station.open_look(id, "26330-" + id, 1);
  domain::OpinionGiven given;
  given.look = id;
  given.frame = 1;
  given.model = "m";
  domain::ComponentOpinion seal;
  seal.component = "seal";
  seal.conforming = conforming;
  given.components = {seal};
  if (!conforming.empty()) station.happen(given);
  station.happen(domain::StepAnswered{id, "seal", answer, Answer::not_answered, ""});
  if (closed) station.happen(domain::LookClosed{id, domain::Disposition::rework, "", ""});
}

const OpinionCount& of_seal(const std::vector<OpinionCount>& counts) {
  static const OpinionCount none;
  return counts.empty() ? none : counts.front();
}

TEST(OpinionCounts, EachOpinionBesideTheAnswerOfThePerson) {
  Station station;
  look(station, "00001", "yes", Answer::conforming);
  look(station, "00002", "no", Answer::conforming);
  look(station, "00003", "unsure", Answer::conforming);
  look(station, "00004", "yes", Answer::nonconforming);
  look(station, "00005", "no", Answer::nonconforming);
  look(station, "00006", "no", Answer::nonconforming);
  look(station, "00007", "unsure", Answer::nonconforming);
  const auto counts = must(records::opinion_counts(*station.records, {}));
  ASSERT_EQ(counts.size(), 1U);
  const OpinionCount& seal = of_seal(counts);
  EXPECT_EQ(seal.component, "seal");
  EXPECT_EQ(std::vector({seal.good_yes, seal.good_no, seal.good_unsure}),
            (std::vector<std::int64_t>{1, 1, 1}));
  EXPECT_EQ(std::vector({seal.bad_yes, seal.bad_no, seal.bad_unsure}),
            (std::vector<std::int64_t>{1, 2, 1}));
  EXPECT_EQ(must(records::looks_with_opinion(*station.records, {})), 7);
}

TEST(OpinionCounts, TheAnswerIsTheOneGivenFirst) {
  Station station;
  look(station, "00001", "no", Answer::conforming, false);
  station.happen(
      domain::StepAnswered{"00001", "seal", Answer::nonconforming, Answer::conforming, ""},
      domain::LookClosed{"00001", domain::Disposition::rework, "", ""});
  EXPECT_EQ(of_seal(must(records::opinion_counts(*station.records, {}))).good_no, 1);
}

TEST(OpinionCounts, OpenLooksAndLooksWithoutAnOpinionStayOut) {
  Station station;
  look(station, "00001", "", Answer::conforming);
  look(station, "00002", "yes", Answer::conforming, false);
  EXPECT_TRUE(must(records::opinion_counts(*station.records, {})).empty());
  EXPECT_EQ(must(records::looks_with_opinion(*station.records, {})), 0);
}

TEST(OpinionCounts, OnlyThePeriodAskedFor) {
  Station station;
  look(station, "00001", "yes", Answer::conforming);
  station.clock.pass(8 * 3600);
  look(station, "00002", "yes", Answer::conforming);
  records::Period late;
  late.shift = "late";
  EXPECT_EQ(must(records::looks_with_opinion(*station.records, late)), 1);
  late.from = "2026-11-26";
  EXPECT_EQ(must(records::looks_with_opinion(*station.records, late)), 0);
  EXPECT_TRUE(must(records::opinion_counts(*station.records, late)).empty());
}

}  // namespace
