// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/master_json.h"

#include <array>
#include <vector>

#include "tests/kiosk/domain/plant.h"

namespace lastlook::text {
namespace {

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

std::string complaint(const std::string& json) {
  const auto master = read_master(json);
  return master ? "" : master.error().message;
}

TEST(MasterJson, WhatIsWrittenReadsBackTheSame) {
  const std::string json = write_master(domain::testing::small_plant());
  const auto master = read_master(json);
  ASSERT_TRUE(master) << master.error().message;
  EXPECT_EQ(write_master(*master), json);
  EXPECT_EQ(master->variants[1].checklist[1].expected, domain::Expectation::absent);
  EXPECT_EQ(master->defects[2].voids.at(0), domain::UpstreamTest::leak);
}

TEST(MasterJson, WhoseWordMakesARevisionIsReadBack) {
  domain::Master plant = domain::testing::small_plant();
  EXPECT_EQ(read_master(write_master(plant))->revision_approval,
            domain::RevisionRule::quality_engineer);
  plant.revision_approval = domain::RevisionRule::two_people;
  EXPECT_EQ(read_master(write_master(plant))->revision_approval, domain::RevisionRule::two_people);
  EXPECT_EQ(complaint(replaced(write_master(plant), "\"two_people\"", "\"three\"")),
            "revision_approval: \"three\" is not right, expected 'quality_engineer' or "
            "'two_people'");
}

TEST(MasterJson, AComplaintNamesThePathAndWhatWasExpected) {
  const std::string json = write_master(domain::testing::small_plant());
  EXPECT_EQ(complaint(replaced(json, "\"absent\"", "\"maybe\"")),
            "defects[1].only_when: \"maybe\" is not right, expected 'present' or 'absent'");
  EXPECT_EQ(complaint(replaced(json, "\"revision\": 7", "\"revision\": \"7\"")),
            "revision: \"7\" is not right, expected a whole number");
  EXPECT_EQ(complaint("{}"), "revision: is missing");
}

TEST(MasterJson, AKeyThatNothingReadsIsNamedInANewDocumentAndNotInAnOldOne) {
  const std::string json = write_master(domain::testing::small_plant());
  EXPECT_TRUE(read_new_master(json));
  for (const auto& [from, to, path] : std::vector<std::array<std::string, 3>>{
           {"\"hold_release\"", "\"hold_realease\"", "hold_realease"},
           {"\"instruction\"", "\"instructions\"", "variants[0].checklist[0].instructions"},
           {"\"rework\"", "\"reworks\"", "second_looks.reworks"}}) {
    const std::string spoiled = replaced(json, from, to);
    const auto read = read_new_master(spoiled);
    ASSERT_FALSE(read) << path;
    EXPECT_EQ(read.error().message, path + ": nothing reads it, expected a key of the schema");
    EXPECT_TRUE(read_master(spoiled)) << "what was adopted once is read for ever";
  }
}

TEST(MasterJson, BrokenJsonSaysWhere) {
  EXPECT_THAT(complaint("{\"revision\": 1,\n oops}"), ::testing::HasSubstr("line 2"));
}

TEST(MasterJson, ChallengePartsAreReadBackAndMayBeLeftOut) {
  domain::Master plant = domain::testing::small_plant();
  plant.challenge_parts = {{"99999-00001", "CP-210", {}}, {"99999-00002", "CP-210N", {"lid"}}};
  const auto master = read_master(write_master(plant));
  ASSERT_TRUE(master) << master.error().message;
  EXPECT_EQ(master->challenge_parts, plant.challenge_parts);
  EXPECT_FALSE(master->assist_needs_proof);
  EXPECT_EQ(complaint(replaced(write_master(plant), "\"assist_needs_proof\": false",
                               "\"assist_needs_proof\": 1")),
            "assist_needs_proof: 1 is not right, expected true or false");
  EXPECT_EQ(
      complaint(replaced(write_master(plant), "\"lock_after_min\": 0", "\"lock_after_min\": -1")),
      "lock_after_min: -1 minutes, expected 0 (never) to 1440");
}

}  // namespace
}  // namespace lastlook::text
