// SPDX-License-Identifier: Apache-2.0
// Every right at the command line, both ways: who has it gets on with the own PIN, who has it not
// is turned down, and nothing is changed.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <map>

#include "kiosk/records/people.h"
#include "kiosk/records/records.h"
#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using ::testing::HasSubstr;

class RightsTest : public ProgramTest {
 protected:
  RightsTest() {
    people_["quality_engineer"] = make_station();
    for (const char* role : {"inspector", "supervisor"}) admit(role);
  }
  std::string dir() const { return path("LL-7"); }
  void admit(const std::string& role, const std::string& by = "", const std::string& typed = "") {
    run(fmt::format("people add --json --name 'A {0}' --role {0} --dir {1} {2}", role, dir(), by),
        typed + "4101\n");
    ASSERT_EQ(code_, 0) << err_;
    people_[role] = json()["id"];
  }
  std::string revised(int revision, const std::string& rule = "quality_engineer") {
    auto document = plant_json();
    document["revision"] = revision;
    document["revision_approval"] = rule;
    return file(fmt::format("revised-{}.json", revision), document.dump());
  }
  std::int64_t entries() const {
    const auto station = records::Records::open_to_read(dir()).value();
    const auto last = station->store().last_entry(station->journal()).value();
    return last ? last->seq : 0;
  }
  std::int64_t revision() const {
    return records::Records::open_to_read(dir()).value()->master().revision;
  }
  std::size_t people_there() const { return records::People::open(dir()).value()->all()->size(); }
  std::map<std::string, std::string> people_;  // role -> id; each with the PIN 4101
};

TEST_F(RightsTest, WhatIsApprovedIsApprovedByTheQualityEngineerAlone) {
  admit("administrator");
  const std::string items = file("items.csv", "item\n01\n02\n");
  const std::vector<std::string> commands{
      "station adopt --master " + revised(900),
      "concession grant D-17 --authority us --variant CP-210 --component lid --defect dirty "
      "--quantity 2 --last-day 2099-12-31",
      "claim open 26330-00417 --claim C-1 --reported 2026-11-20 --complaint leaks",
      "study plan " + items + " --title Seals --inspector " + people_["inspector"] +
          " --inspector " + people_["supervisor"]};
  for (const std::string& command : commands) {
    const auto attempt = [&](const std::string& role, const std::string& pin) {
      run(fmt::format("{} --approved-by {} --dir {}", command, people_[role], dir()), pin + "\n");
    };
    const std::int64_t before = entries();
    for (const char* role : {"inspector", "supervisor", "administrator"}) {
      attempt(role, "4101");
      EXPECT_EQ(code_, 1) << command << " by " << role << ": " << err_;
      EXPECT_THAT(err_, HasSubstr("is no quality engineer of this station")) << command;
    }
    attempt("quality_engineer", "9999");
    EXPECT_EQ(code_, 1) << command;
    EXPECT_THAT(err_, HasSubstr("the PIN is wrong, nothing was changed")) << command;
    EXPECT_EQ(entries(), before) << command;
    attempt("quality_engineer", "4101");
    EXPECT_EQ(code_, 0) << command << ": " << err_;
    EXPECT_GT(entries(), before) << command;
  }
}

TEST_F(RightsTest, WhoIsLockedOutApprovesNothing) {
  {
    const auto people = records::People::open(dir()).value();
    for (int i = 0; i < 10; ++i)
      EXPECT_FALSE(people->pin_is_right(people_["quality_engineer"], "0000").value());
  }
  run(fmt::format("station adopt --master {} --approved-by {} --dir {}", revised(900),
                  people_["quality_engineer"], dir()),
      "4101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("is locked out after 10 wrong PINs"));
}

TEST_F(RightsTest, ARevisionTakesTwoWhereTheOneAtWorkSaysSo) {
  const std::string engineer = people_["quality_engineer"], supervisor = people_["supervisor"];
  const auto adopt = [&](const std::string& file, const std::string& second,
                         const std::string& typed) {
    run(fmt::format("station adopt --master {} --approved-by {} {} --dir {}", file, engineer,
                    second.empty() ? "" : "--second " + second, dir()),
        typed);
  };
  const std::string first = revised(900, "two_people"), next = revised(901);
  adopt(first, supervisor, "4101\n4101\n");
  EXPECT_EQ(code_, 2) << "one person approves as yet";
  EXPECT_THAT(err_, HasSubstr("--second: under revision"));
  adopt(first, "", "4101\n");
  ASSERT_EQ(code_, 0) << err_;
  adopt(next, "", "4101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("--second: revision 900 wants two people"));
  adopt(next, engineer, "4101\n4101\n");
  EXPECT_EQ(code_, 1);
  adopt(next, people_["inspector"], "4101\n4101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("is no supervisor or quality engineer"));
  adopt(next, supervisor, "4101\n9999\n");
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(revision(), 900);
  adopt(next, supervisor, "4101\n4101\n");
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(revision(), 901);
}

TEST_F(RightsTest, PeopleAreChangedByTheAdministratorOnceThereIsOne) {
  const std::string id = people_["inspector"];
  run("people pin --dir " + dir() + " --id " + id, "4101\n");
  EXPECT_EQ(code_, 0) << "as long as there is none: " << err_;
  run("people pin --dir " + dir() + " --id " + id + " --by " + id, "4101\n4101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("this station has no administrator"));
  admit("administrator");
  struct Act {
    std::string command, typed;
  };
  for (const Act& act :
       {Act{"pin --id " + id, "4101\n"}, Act{"qualify --until 2099-12-31 --id " + id, ""},
        Act{"badge --id " + id, "BADGE-0417-77\n"}, Act{"add --name Another", "4101\n"},
        Act{"erase --id " + id, ""}}) {
    const auto attempt = [&](const std::string& by, const std::string& pin) {
      run("people " + act.command + " --dir " + dir() + (by.empty() ? "" : " --by " + by),
          pin + "\n" + act.typed);
    };
    const std::size_t before = people_there();
    run("people " + act.command + " --dir " + dir(), act.typed);
    EXPECT_EQ(code_, 1) << act.command;
    EXPECT_THAT(err_, HasSubstr("this station has an administrator")) << act.command;
    for (const char* role : {"inspector", "supervisor", "quality_engineer"}) {
      attempt(people_[role], "4101");
      EXPECT_EQ(code_, 1) << act.command << " by " << role;
      EXPECT_THAT(err_, HasSubstr("is no administrator of this station")) << act.command;
    }
    attempt(people_["administrator"], "9999");
    EXPECT_EQ(code_, 1) << act.command;
    EXPECT_EQ(people_there(), before) << act.command;
    attempt(people_["administrator"], "4101");
    EXPECT_EQ(code_, 0) << act.command << ": " << err_;
  }
  EXPECT_EQ(people_there(), 4U) << "one came, one was erased";
}

}  // namespace
}  // namespace lastlook::commands
