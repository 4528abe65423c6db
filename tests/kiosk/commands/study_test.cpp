// SPDX-License-Identifier: Apache-2.0
// lastlook study, and lastlook agreement on what was rated at the kiosk.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include "kiosk/flows/station.h"
#include "kiosk/records/records.h"
#include "kiosk/records/study_queries.h"
#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using ::testing::HasSubstr;

class StudyCommandTest : public ProgramTest {
 protected:
  void SetUp() override {
    engineer_ = make_station();
    for (std::string* id : {&ina_, &ivo_}) {
      run("people add --json --name 'Ina Example' --dir " + dir(), "2101\n");
      *id = json().value("id", "");
    }
  }
  std::string dir() const { return path("LL-7"); }
  std::string people() const { return " --inspector " + ina_ + " --inspector " + ivo_; }
  std::string plan(const std::string& items, const std::string& more = "",
                   const std::string& pin = "4101\n") {
    run("study plan " + file("items.csv", items) + " --json --title Seals" + people() +
            " --approved-by " + engineer_ + " --dir " + dir() + more,
        pin);
    return code_ == 0 ? json().value("study", "") : "";
  }
  // Everybody rates all there is, as `rating` says: of the item and the person.
  template <class Rating>
  void rate_all(const std::string& study, const Rating& rating) {
    domain::SystemClock clock;
    const auto records = records::Records::open(dir()).value();
    const auto station = flows::Station::open(*records, clock).value();
    for (const std::string& person : {ina_, ivo_}) {
      ASSERT_TRUE(station->handle(flows::SignIn{person, domain::Role::inspector}));
      for (;;) {
        const auto known = records::study(*records, study).value();
        const auto turn = domain::study_turn(*known, person);
        if (!turn) break;
        const std::string& item = known->plan.items[turn->item].label;
        const auto said = station->handle(flows::RateItem{study, item, rating(item, person)});
        ASSERT_TRUE(said) << said.error().message;
        ASSERT_EQ(said->happenings.size(), 1U);
      }
    }
  }

  std::string engineer_, ina_, ivo_;
};

// Two inspectors, one trial, the fourfold table 4, 1, 1, 4: they agree on 8 of 10, half of each
// kind, so kappa is (0.8 - 0.5) / (1 - 0.5) = 0.6 (Cohen 1960, equation 1).
TEST_F(StudyCommandTest, WhatWasRatedAtTheKioskIsWhatAgreementIsAskedAbout) {
  std::string items = "item,reference\n";
  for (int i = 0; i < 10; ++i)
    items += fmt::format("{:02},{}\n", i, i < 5 ? "conforming" : "nonconforming");
  const std::string study = plan(items, " --trials 1");
  ASSERT_FALSE(study.empty()) << err_;
  run("agreement --json --dir " + dir() + " --study " + study);
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("nobody has rated an item yet"));
  rate_all(study, [this](const std::string& item, const std::string& person) {
    const bool swaps = person == ivo_ && (item == "04" || item == "05");
    return (item < "05") != swaps ? "conforming" : "nonconforming";
  });
  run("agreement --json --dir " + dir() + " --study " + study);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_NEAR(json()["pairs"][0].value("kappa", 0.0), 0.6, 1e-12);
  EXPECT_EQ(json()["with_reference"][0]["effectiveness"], 1.0);
  EXPECT_NEAR(json()["with_reference"][1].value("miss_rate", 0.0), 0.2, 1e-12);
  EXPECT_EQ(json()["as_of"][0]["station"], "LL-7");
  run("study list --json --dir " + dir());
  EXPECT_EQ(json()["studies"][0]["rated"], 20);
  EXPECT_EQ(json()["studies"][0]["of"], 20);
  run("records verify --dir " + dir());
  EXPECT_EQ(code_, 0) << out_ << err_;
}

TEST_F(StudyCommandTest, AStudyIsAskedAboutAsAWhole) {
  for (const char* option : {"--from 2026-11-01", "--inspector all", "--compare camera"}) {
    run("agreement --study s-1 " + std::string(option) + " --dir " + dir());
    EXPECT_EQ(code_, 2) << option;
    EXPECT_THAT(err_, HasSubstr("excludes --study")) << option;
  }
  run("agreement --study s-1");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected FILE, --dir or --plant"));
  run("agreement --study s-1 --dir " + dir());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("--study s-1: there is none of this id"));
}

TEST_F(StudyCommandTest, IsPlannedByWhoMayAndForPeopleWhoAreThere) {
  const std::string items = "item\n01\n02\n";
  EXPECT_EQ(plan(items, "", "9999\n"), "");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("the PIN is wrong"));
  EXPECT_EQ(plan(items, " --panel p-nobody"), "");
  EXPECT_THAT(err_, HasSubstr("--panel p-nobody: nobody here has this id"));
  EXPECT_EQ(plan(items, " --panel " + ina_), "");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("knows the references"));
  run("study list --dir " + dir());
  EXPECT_THAT(out_, HasSubstr("no study was planned here"));
}

TEST_F(StudyCommandTest, BadItemsAreNamedByLineAndColumn) {
  EXPECT_EQ(plan("mark\n01\n"), "");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("item[,reference,picture]"));
  EXPECT_EQ(plan("item,picture\n01,none.jpg\n02,none.jpg\n"), "");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("line 2, column 2 (picture)"));
  EXPECT_EQ(plan("item\n01\n01\n"), "");
  EXPECT_THAT(err_, HasSubstr("items[1].label"));
}

TEST_F(StudyCommandTest, PicturesAreKeptWithTheStationsOwn) {
  file("a.jpg", "one picture");
  file("b.jpg", "another");
  const std::string study = plan("item,picture\n01,a.jpg\n02,b.jpg\n");
  ASSERT_FALSE(study.empty()) << err_;
  const auto records = records::Records::open_to_read(dir()).value();
  const auto known = records::study(*records, study).value();
  ASSERT_TRUE(known);
  for (const domain::StudyItem& item : known->plan.items) {
    EXPECT_EQ(item.picture.size(), 64U);
    EXPECT_TRUE(std::filesystem::exists(path("LL-7/pictures/" + item.picture.substr(0, 2))));
  }
}

TEST_F(StudyCommandTest, EndsWithAReason) {
  const std::string study = plan("item\n01\n02\n");
  run("study end " + study + " --why 'an item broke' --approved-by " + engineer_ + " --dir " +
          dir(),
      "4101\n");
  EXPECT_EQ(code_, 0) << err_;
  run("study end " + study + " --why again --approved-by " + engineer_ + " --dir " + dir(),
      "4101\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("has ended already"));
  run("study list --dir " + dir());
  EXPECT_THAT(out_, HasSubstr("ended: an item broke"));
}

}  // namespace
}  // namespace lastlook::commands
