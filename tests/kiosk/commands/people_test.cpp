// SPDX-License-Identifier: Apache-2.0
// lastlook station and lastlook people, as an administrator uses them.
#include "kiosk/records/people.h"

#include <gmock/gmock.h>

#include "kiosk/records/records.h"
#include "kiosk/text/master_json.h"
#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using ::testing::HasSubstr;

class PeopleCommandTest : public ProgramTest {
 protected:
  std::string dir() const { return path("LL-7"); }
  // The plant's document under another revision.
  std::string revised(int revision) const {
    auto document = plant_json();
    document["revision"] = revision;
    return file("revised.json", document.dump());
  }
  int revision_at_work() const {
    const auto station = records::Records::open_to_read(dir());
    return station ? static_cast<int>((*station)->master().revision) : -1;
  }
};

TEST_F(PeopleCommandTest, AStationIsMadeWithItsMasterDataAndItsEngineer) {
  const std::string engineer = make_station();
  EXPECT_THAT(engineer, ::testing::MatchesRegex("p-[0-9a-f]{8}"));
  EXPECT_GT(revision_at_work(), 0);
  run("people list --json --dir " + dir());
  EXPECT_EQ(json()["people"], nlohmann::json::array({{{"id", engineer},
                                                      {"name", "Quentin Example"},
                                                      {"role", "quality_engineer"},
                                                      {"qualified_until", nullptr},
                                                      {"locked_out", false}}}));
  EXPECT_TRUE(records::People::open(dir()).value()->pin_is_right(engineer, "4101").value());
  run("station make --name LL-7 --engineer Q --dir " + dir() + " --master " + plant(), "4101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("there is a station here already"));
}

TEST_F(PeopleCommandTest, ADocumentIsCheckedAdoptedAndWrittenOutAsItWas) {
  const std::string engineer = make_station();
  run("station export --dir " + dir());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(out_, content_of(plant())) << "byte for byte";
  run("station check --json --master " + revised(12));
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["revision"], 12);
  auto spoiled = plant_json();
  spoiled["revision"] = 13;
  spoiled["shifts"][1]["begins"] = 840;
  const std::string strange = file("strange.json", spoiled.dump());
  run("station check --master " + strange);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("strange.json: shifts[1].begins: nothing reads it"));
  run("station adopt --dir " + dir() + " --master " + strange + " --approved-by " + engineer,
      "4101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_EQ(revision_at_work(), 1);
}

// With its pictures inside it a revision goes wherever its document goes.
TEST_F(PeopleCommandTest, PicturesBesideADocumentAreTakenIntoIt) {
  const std::string engineer = make_station();
  auto document = plant_json();
  document["revision"] = 2;
  document["limit_samples"] = {{{"component", "lid"},
                                {"defect", "lid_not_seated"},
                                {"conforming", true},
                                {"picture", "lid.jpg"}}};
  const std::string adopt = "station adopt --dir " + dir() + " --approved-by " + engineer +
                            " --master " + file("with.json", document.dump());
  run(adopt, "4101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("with.json: limit_samples[0].picture: "));
  const std::string lid = file("lid.jpg", "no picture");
  run(adopt, "4101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("is no picture, expected a JPEG or PNG file"));
  EXPECT_EQ(revision_at_work(), 1);
  std::filesystem::copy_file(source_dir() + "/assets/plant/limit-samples/lid-good.jpg", lid,
                             std::filesystem::copy_options::overwrite_existing);
  run(adopt, "4101\n");
  ASSERT_EQ(code_, 0) << err_;
  const auto station = records::Records::open_to_read(dir()).value();
  const std::string picture = station->master().limit_samples.at(0).picture;
  EXPECT_THAT(picture, ::testing::StartsWith("/9j/")) << "a JPEG file in base64";
  EXPECT_EQ(picture.size(), (std::filesystem::file_size(lid) + 2) / 3 * 4);
}

TEST_F(PeopleCommandTest, AStationThatCannotBeMadeLeavesNothing) {
  run("station make --name LL-7 --engineer Q --dir " + dir() + " --master " + plant(), "12\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("4 to 12 digits"));
  run("station make --name LL-7 --engineer Q --dir " + dir() + " --master " +
          file("bad.json", "{\"revision\": 1}"),
      "4101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("bad.json"));
  run("station make --name LL-7 --engineer Q --dir " + dir() + " --master " + plant());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("standard input: ended"));
  EXPECT_FALSE(std::filesystem::exists(dir()));
}

TEST_F(PeopleCommandTest, PeopleHaveADayAndABadgeAndTheListSaysWhoIsLockedOut) {
  const std::string id = make_station();
  run("people qualify --dir " + dir() + " --id " + id + " --until 31.3.2027");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("--until 31.3.2027: expected a day, 2027-03-31"));
  run("people qualify --dir " + dir() + " --id " + id + " --until 2027-03-31");
  EXPECT_EQ(code_, 0) << err_;
  run("people badge --dir " + dir() + " --id " + id, "BADGE-0417-77\n");
  EXPECT_EQ(code_, 0) << err_;
  run("people badge --dir " + dir() + " --id " + id, "4711\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("can be guessed"));
  {
    const auto people = records::People::open(dir()).value();
    EXPECT_EQ(people->with_badge("BADGE-0417-77").value(), id);
    for (int i = 0; i < 10; ++i) EXPECT_FALSE(people->pin_is_right(id, "0000").value());
  }
  run("people list --json --dir " + dir());
  EXPECT_EQ(json()["people"][0]["qualified_until"], "2027-03-31");
  EXPECT_EQ(json()["people"][0]["locked_out"], true);
}

TEST_F(PeopleCommandTest, PeopleComeGetANewPinAndGoAgain) {
  make_station();
  run("people add --json --name 'Alma Example' --dir " + dir(), "2101\n");
  ASSERT_EQ(code_, 0) << err_;
  const std::string id = json()["id"];
  run("people pin --dir " + dir() + " --id " + id, "2199\n");
  EXPECT_EQ(code_, 0) << err_;
  {
    const auto people = records::People::open(dir()).value();
    EXPECT_FALSE(people->pin_is_right(id, "2101").value());
    EXPECT_TRUE(people->pin_is_right(id, "2199").value());
  }
  run("people erase --dir " + dir() + " --id " + id);
  EXPECT_EQ(code_, 0) << err_;
  run("people list --dir " + dir());
  EXPECT_THAT(out_, ::testing::Not(HasSubstr("Alma")));
  EXPECT_THAT(content_of(dir() + "/people.db"), ::testing::Not(HasSubstr("Alma")))
      << "erased is gone from the disk";
}

TEST_F(PeopleCommandTest, WhatCannotBeDoneSaysWhy) {
  make_station();
  run("people erase --dir " + dir() + " --id p-00000000");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("p-00000000: nobody here has it"));
  run("people add --name 'Alma' --role boss --dir " + dir(), "2101\n");
  EXPECT_EQ(code_, 2);
  run("people add --name ' ' --dir " + dir(), "2101\n");
  EXPECT_EQ(code_, 2);
  run("people add --name 'Alma' --dir " + path("nowhere"), "2101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_FALSE(std::filesystem::exists(path("nowhere")));
}

TEST_F(PeopleCommandTest, OnlyAQualityEngineerWithThePinBringsARevision) {
  const std::string engineer = make_station();
  const int before = revision_at_work();
  const std::string adopt = "station adopt --dir " + dir() + " --master " + revised(before + 1);
  run("people add --json --name Dora --role supervisor --dir " + dir(), "3101\n");
  const std::string supervisor = json()["id"];
  run(adopt + " --approved-by " + supervisor, "3101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("no quality engineer"));
  run(adopt + " --approved-by " + engineer, "9999\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("PIN is wrong"));
  EXPECT_EQ(revision_at_work(), before);
  run(adopt + " --approved-by " + engineer, "4101\n");
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(revision_at_work(), before + 1);
  run(adopt + " --approved-by " + engineer, "4101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("is not newer"));
}

}  // namespace
}  // namespace lastlook::commands
