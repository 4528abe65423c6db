// SPDX-License-Identifier: Apache-2.0
// Second looks and the camera's opinions from a station's own records.
#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using domain::Disposition;
using testing::HasSubstr;
using testing::Not;

class SecondLookRecords : public ProgramTest {
 protected:
  std::string dir() {
    station.records.reset();
    return " --dir " + station.folder.path().string();
  }
  // A first look by p-1 that was drawn, and its second look.
  void twice(Disposition first, Disposition second, double rate, int count) {
    for (int i = 0; i < count; ++i) {
      const std::string id = std::to_string(++units_);
      station.look("k-" + id, id, 1, first);
      station.happen(domain::SecondLookDrawn{"k-" + id, first, rate, rate / 2});
      station.open_second("s-" + id, id, "k-" + id);
      station.happen(domain::LookClosed{"s-" + id, second, "", ""});
      csv_ += id + "," + std::string(to_word(first)) + "," + std::string(to_word(second)) + "," +
              std::to_string(rate) + ",2026-11-23\n";
    }
  }
  records::testing::Station station;
  std::string csv_ = "unit,first,second,probability,period\n";
  int units_ = 0;
};

TEST_F(SecondLookRecords, EscapesAreThoseOfTheSameTable) {
  twice(Disposition::accept, Disposition::accept, 0.25, 4);
  twice(Disposition::accept, Disposition::rework, 0.25, 1);
  twice(Disposition::rework, Disposition::accept, 1, 10);
  twice(Disposition::rework, Disposition::scrap, 1, 15);
  run("escapes --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  nlohmann::json from_records = json();
  EXPECT_EQ(from_records["as_of"][0]["station"], "LL-1");
  const std::string plant = "sqlite:" + path("plant.db");
  run("sync" + dir() + " --to " + plant);
  run("plant run --once " + plant);
  ASSERT_EQ(code_, 0) << err_;
  run("escapes --json --plant " + plant);
  EXPECT_EQ(json(), from_records);
  run("agreement --json" + dir());
  const nlohmann::json agreement = json();
  run("agreement --json --plant " + plant);
  EXPECT_EQ(json(), agreement);
  from_records.erase("as_of");  // a file has neither
  from_records.erase("second_looks");
  from_records.erase("field");
  EXPECT_EQ(from_records["escapes"], 1);
  EXPECT_EQ(from_records["accepted"], 5);
  // 16, 4, 10, 15 of 45 units: observed 31/45, expected (20 * 26 + 25 * 19) / 45^2.
  const double expected = (20.0 * 26 + 25 * 19) / (45.0 * 45);
  EXPECT_NEAR(from_records["kappa"], (31.0 / 45 - expected) / (1 - expected), 1e-12);
  EXPECT_EQ(from_records["periods"][0]["period"], "2026-11-23");  // the Monday of the week
  run("escapes --json " + file("f.csv", csv_));
  EXPECT_EQ(json(), from_records);
  run("escapes --json --each day" + dir());
  EXPECT_EQ(json()["periods"][0]["period"], "2026-11-25");
  run("escapes --json --each shift" + dir());
  EXPECT_EQ(json()["periods"][0]["period"], "2026-11-25 early");
}

// Half of the accepted units that were drawn wait for their second look, one of them opened: the
// other half stand for them.
TEST_F(SecondLookRecords, DrawnIsNotDone) {
  twice(Disposition::accept, Disposition::accept, 0.25, 4);
  twice(Disposition::accept, Disposition::rework, 0.25, 1);
  twice(Disposition::rework, Disposition::rework, 1, 10);
  for (int unit = 101; unit <= 105; ++unit) {
    const std::string id = std::to_string(unit);
    station.look("k-" + id, id, 1, Disposition::accept);
    station.happen(domain::SecondLookDrawn{"k-" + id, Disposition::accept, 0.25, 0.1});
  }
  station.open_second("s-101", "101", "k-101");
  for (const char* command : {"escapes", "agreement"}) {
    run(command + std::string(" --json") + dir());
    ASSERT_EQ(code_, 0) << err_;
    const auto looks = json()["second_looks"];
    EXPECT_EQ(looks["accepted"].dump(), R"({"done":5,"drawn":10,"not_done":5})") << command;
    EXPECT_EQ(looks["rejected"].dump(), R"({"done":10,"drawn":10,"not_done":0})") << command;
    run(command + dir());
    EXPECT_THAT(out_, HasSubstr("20 units were drawn, 15 looked at again; not yet or never: 5 of "
                                "10 accepted and 0 of 10 rejected ones"));
  }
  run("escapes --json" + dir());
  EXPECT_DOUBLE_EQ(json()["rate"], 0.2);
  EXPECT_NEAR(json()["units"], 10 * 4 + 10, 1e-9);
}

TEST_F(SecondLookRecords, APlantIsAskedAsItsStation) {
  twice(Disposition::accept, Disposition::accept, 0.25, 4);
  twice(Disposition::accept, Disposition::rework, 0.25, 1);
  twice(Disposition::rework, Disposition::scrap, 1, 15);
  station.open_look("k-90", "90", 1);
  station.happen(domain::StepAnswered{"k-90", "seal", domain::Answer::conforming,
                                      domain::Answer::not_answered, ""});
  domain::OpinionGiven opinion{"k-90", 1, "m-1", "", {}};
  opinion.components.emplace_back().component = "seal";
  opinion.components[0].conforming = "yes";
  station.happen(opinion, domain::LookClosed{"k-90", Disposition::accept, "", ""});
  const std::string plant = "sqlite:" + path("plant.db");
  run("sync" + dir() + " --to " + plant);
  run("plant run --once " + plant);
  ASSERT_EQ(code_, 0) << err_;
  for (const char* command :
       {"agreement --compare camera", "agreement --inspector all", "agreement --inspector p-1",
        "pchart --phases records", "pchart --phases none", "escapes --each day",
        "pareto --against-from 2026-11-01 --against-to 2026-11-24"}) {
    run(command + std::string(" --json") + dir());
    ASSERT_EQ(code_, 0) << command << ": " << err_;
    const nlohmann::json of_station = json();
    run(command + std::string(" --json --plant ") + plant);
    ASSERT_EQ(code_, 0) << command << ": " << err_;
    EXPECT_EQ(json(), of_station) << command;
  }
}

// 0 of 14 differ: at least 0.05^(1/14) of all agree, with 95 %.
TEST_F(SecondLookRecords, AllAgreedIsSaidWithWhatThatProves) {
  for (int unit = 1; unit <= 14; ++unit) {
    const std::string id = "k-" + std::to_string(unit);
    station.open_look(id, std::to_string(unit), 1);
    const auto answer = unit > 2 ? domain::Answer::conforming : domain::Answer::nonconforming;
    station.happen(domain::StepAnswered{id, "seal", answer, domain::Answer::not_answered, ""});
    domain::OpinionGiven opinion{id, 1, "m-1", "", {}};
    opinion.components.emplace_back().component = "seal";
    opinion.components[0].conforming = unit > 2 ? "yes" : "no";
    station.happen(opinion, domain::LookClosed{id, Disposition::accept, "", ""});
  }
  run("agreement --compare camera --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_NEAR(json()["pairs"][0]["agree_at_least"], std::pow(0.05, 1.0 / 14), 1e-9);
  run("agreement --compare camera" + dir());
  EXPECT_THAT(out_, HasSubstr("that 14 units agree throughout proves only that at least 80.7 % of "
                              "units do"));
}

TEST_F(SecondLookRecords, WhatWouldBeIgnoredIsRefused) {
  twice(Disposition::accept, Disposition::accept, 0.25, 4);
  const std::string csv = " " + file("f.csv", csv_);
  const auto refused = [&](const std::string& command, const char* why) {
    run(command);
    EXPECT_EQ(code_, 2) << command;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
    EXPECT_THAT(err_, HasSubstr(why));
  };
  refused("escapes --each day" + csv, "--each: expected with --dir or --plant, not with FILE");
  refused("escapes --good ok" + dir(), "--good: expected with FILE, not with --dir or --plant");
  refused("agreement --good ok" + dir(), "--good: expected with FILE");
  refused("agreement --compare camera" + csv, "--compare: expected with --dir or --plant");
  refused("agreement --inspector p-1" + csv, "--inspector: expected with --dir or --plant");
  refused("pchart --phases none" + csv, "--phases: expected with --dir or --plant");
  refused("pareto --inspected 5" + dir(), "--inspected: expected with FILE");
  refused("escapes --from 2026-02-30" + dir(), "--from: '2026-02-30' is not a date, expected one");
  refused("pchart --from 2026-11-09 --to 2026-11-02" + dir(),
          "--to 2026-11-02: expected a date not before --from 2026-11-09");
  refused("pareto --against-from 2.11. --against-to 2026-11-09" + dir(),
          "--against-from: '2.11.' is not a date");
  refused("pareto --against-from 2026-11-02 --against-to 2026-13-01" + dir(),
          "--against-to: '2026-13-01' is not a date");
}

TEST_F(SecondLookRecords, NothingIsSaidAboutNothing) {
  station.look("k-1", "1", 1, Disposition::accept);
  for (const char* command : {"escapes", "agreement", "agreement --compare camera"}) {
    run(command + dir());
    EXPECT_EQ(code_, 1) << command;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
  }
  EXPECT_THAT(err_, HasSubstr("before the camera's opinion was on the screen"));
  run("escapes --from 26.11." + dir());
  EXPECT_EQ(code_, 2);
  run("escapes");
  EXPECT_EQ(code_, 2);
  run("agreement");
  EXPECT_EQ(code_, 2);
}

TEST_F(SecondLookRecords, AgreementIsOfAllUnitsAndNamesNobodyUnlessAsked) {
  twice(Disposition::accept, Disposition::accept, 0.25, 4);
  twice(Disposition::accept, Disposition::rework, 0.25, 1);
  twice(Disposition::rework, Disposition::accept, 1, 10);
  twice(Disposition::rework, Disposition::scrap, 1, 15);
  run("agreement --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  ASSERT_EQ(json()["pairs"].size(), 1U);
  const auto pair = json()["pairs"][0];
  EXPECT_EQ(pair["n"], 30);
  EXPECT_NEAR(pair["agree"], 31.0 / 45, 1e-12);
  EXPECT_EQ(pair["table"].dump(), "[[4.0,1.0],[10.0,15.0]]");
  EXPECT_EQ(pair["stands_for"].dump(), "[[16.0,4.0],[10.0,15.0]]");
  EXPECT_TRUE(pair["ac1"].is_null());
  EXPECT_TRUE(json()["group"]["fleiss"].is_null());
  EXPECT_THAT(out_, Not(HasSubstr("p-1")));
  run("agreement --inspector p-1 --svg " + path("a.svg") + dir());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("p-1"));
  EXPECT_THAT(content_of(path("a.svg")), HasSubstr("for 16"));
  run("agreement --inspector p-9" + dir());
  EXPECT_EQ(code_, 1);
  run("agreement --compare camera --inspector p-1" + dir());
  EXPECT_EQ(code_, 2);
}

// Two looks answered before an opinion was seen, one after; the camera is unsure of one lid.
TEST_F(SecondLookRecords, TheCameraIsComparedWithAnswersGivenBeforeItsOpinion) {
  using domain::Answer;
  for (int unit = 1; unit <= 3; ++unit) {
    const std::string id = "k-" + std::to_string(unit);
    station.open_look(id, std::to_string(unit), 1);
    const char* shown = unit == 3 ? "present" : "";
    station.happen(
        domain::StepAnswered{id, "seal", unit == 2 ? Answer::nonconforming : Answer::conforming,
                             Answer::not_answered, shown},
        domain::StepAnswered{id, "lid", Answer::conforming, Answer::not_answered, shown});
    domain::OpinionGiven opinion{id, 1, "m-1", "", {}};
    opinion.components.resize(2);
    opinion.components[0].component = "seal";
    opinion.components[0].conforming = unit == 2 ? "no" : "yes";
    opinion.components[1].component = "lid";
    opinion.components[1].conforming = unit == 2 ? "unsure" : "yes";
    station.happen(opinion, domain::LookClosed{id, Disposition::accept, "", ""});
  }
  run("agreement --compare camera --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  const auto all = json()["pairs"][0];
  EXPECT_EQ(all["n"], 4);
  EXPECT_EQ(all["items"], 2);
  EXPECT_EQ(all["table"].dump(), "[[2.0,0.0,1.0],[0.0,1.0,0.0],[0.0,0.0,0.0]]");
  EXPECT_DOUBLE_EQ(all["agree"], 0.75);
  EXPECT_EQ(json()["pairs"][2]["of"], "connector seal");
  EXPECT_TRUE(all["low"].is_null());  // two looks are too few to be resampled
  run("agreement --compare camera" + dir());
  EXPECT_THAT(out_, HasSubstr("unsure"));
}

// Unit 1 comes back after rework; units 3 (accepted, drawn at 0.25) and 4 (reworked, drawn at 0.5)
// are looked at again. The camera misses the seal of unit 3.
TEST_F(SecondLookRecords, TheCameraIsComparedInSecondLooksApartByTheirRates) {
  using domain::Answer;
  const auto answered = [&](const std::string& id, Answer answer, const char* camera) {
    station.happen(domain::StepAnswered{id, "seal", answer, Answer::not_answered, ""});
    domain::OpinionGiven opinion{id, 1, "m-1", "", {}};
    opinion.components.resize(1);
    opinion.components[0].component = "seal";
    opinion.components[0].conforming = camera;
    station.happen(opinion, domain::LookClosed{id, Disposition::rework, "", ""});
  };
  const auto again = [&](const std::string& unit, Disposition first, double rate) {
    station.look("k-" + unit, unit, 1, first);
    station.happen(domain::SecondLookDrawn{"k-" + unit, first, rate, rate / 2});
    station.open_second("s-" + unit, unit, "k-" + unit);
  };
  station.open_look("k-1", "1", 1);
  answered("k-1", Answer::nonconforming, "no");
  station.open_look("k-1b", "1", 2);
  answered("k-1b", Answer::conforming, "yes");
  station.open_look("k-2", "2", 1);
  answered("k-2", Answer::conforming, "yes");
  again("3", Disposition::accept, 0.25);
  answered("s-3", Answer::nonconforming, "yes");
  again("4", Disposition::rework, 0.5);
  answered("s-4", Answer::nonconforming, "no");
  run("agreement --compare camera --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  ASSERT_EQ(json()["pairs"].size(), 4U);
  const auto ordinary = json()["pairs"][0];
  EXPECT_EQ(ordinary["looks"], "ordinary looks");
  EXPECT_EQ(ordinary["n"], 3);
  EXPECT_EQ(ordinary["items"], 2);
  EXPECT_DOUBLE_EQ(ordinary["agree"], 1);
  const auto second = json()["pairs"][2];
  EXPECT_EQ(second["looks"], "second looks");
  EXPECT_TRUE(second["of"].is_null());
  EXPECT_EQ(second["n"], 2);
  EXPECT_EQ(second["stands_for"].dump(), "[[0.0,0.0,0.0],[4.0,2.0,0.0],[0.0,0.0,0.0]]");
  EXPECT_NEAR(second["agree"], 2.0 / 6, 1e-12);
  EXPECT_EQ(json()["pairs"][3]["of"], "connector seal");
  run("agreement --compare camera" + dir());
  EXPECT_THAT(out_, HasSubstr("== second looks: connector seal"));
  EXPECT_THAT(out_, HasSubstr("1 (for 4)"));
  EXPECT_THAT(out_, HasSubstr("3 answers on 2 units"));
}

// The first look on the 25th, the second on the 26th: both belong to the 25th, as an escape does.
TEST_F(SecondLookRecords, ASecondLookBelongsToTheDayOfTheFirst) {
  station.look("k-1", "1", 1, Disposition::accept);
  station.happen(domain::SecondLookDrawn{"k-1", Disposition::accept, 0.25, 0.1});
  station.clock.pass(24 * 3600);
  station.open_second("s-1", "1", "k-1");
  station.happen(domain::StepAnswered{"s-1", "seal", domain::Answer::nonconforming,
                                      domain::Answer::not_answered, ""});
  domain::OpinionGiven opinion{"s-1", 1, "m-1", "", {}};
  opinion.components.emplace_back().component = "seal";
  opinion.components[0].conforming = "yes";
  station.happen(opinion, domain::LookClosed{"s-1", Disposition::rework, "", ""});
  for (const char* command : {"escapes --json", "agreement --compare camera --json"}) {
    run(command + std::string(" --from 2026-11-25 --to 2026-11-25") + dir());
    EXPECT_EQ(code_, 0) << command << ": " << err_;
    run(command + std::string(" --from 2026-11-26 --to 2026-11-26") + dir());
    EXPECT_EQ(code_, 1) << command;
  }
  run("agreement --compare camera --json --to 2026-11-25" + dir());
  EXPECT_EQ(json()["pairs"][0]["looks"], "second looks");
  EXPECT_EQ(json()["pairs"][0]["n"], 1);
}

// Revision 8 changes nothing that is judged, 9 and 10 do; the camera's opinions come in between.
TEST_F(SecondLookRecords, ChartPhasesStartWithAReason) {
  const auto shift = [&](int number, bool opinions, std::int64_t revision) {
    for (int i = 0; i < 3; ++i) {
      const std::string id = std::to_string(100 * number + i);
      domain::LookOpened opened;
      opened.look = "k-" + id;
      opened.serial = id;
      opened.variant = "CP-210";
      opened.revision = revision;
      station.happen(opened);
      if (opinions) {
        domain::OpinionGiven given{"k-" + id, 1, "m-1", "", {}};
        given.components.emplace_back().component = "seal";
        station.happen(given);
      }
      station.happen(domain::LookClosed{
          "k-" + id, i == 0 ? Disposition::rework : Disposition::accept, "", ""});
    }
    station.clock.pass(8 * 3600);
  };
  const auto adopt = [&](std::int64_t revision, const auto& change) {
    auto plant = text::read_master(text::write_master(domain::testing::small_plant()));
    plant->revision = revision;
    change(*plant);
    station.happen(domain::MasterAdopted{revision, text::write_master(*plant), "p-boss"});
  };
  const auto without_lid = [](domain::Master& plant) {
    std::erase_if(plant.variants[0].checklist,
                  [](const domain::Step& step) { return step.component == "lid"; });
  };
  shift(1, false, 7);
  adopt(8, [](domain::Master& plant) {
    plant.lock_after_min = 5;
    plant.components[0].box.x = 0.06;
    plant.variants[1].checklist.pop_back();  // of the variant that nobody makes
  });
  shift(2, false, 8);
  adopt(9, without_lid);
  shift(3, false, 9);
  shift(4, true, 9);
  adopt(10, [&](domain::Master& plant) {
    without_lid(plant);
    plant.variants[0].checklist[0].instruction = "Orange ring, not torn.";
  });
  shift(5, true, 10);
  run("pchart --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  const auto phases = json()["phases"];
  ASSERT_EQ(phases.size(), 4U) << out_;
  EXPECT_EQ(phases[0]["name"], "revision 7, camera's opinions off");
  EXPECT_EQ(phases[0]["points"], 2);
  EXPECT_EQ(phases[1]["name"], "revision 9: lid is no longer in the checklist");
  EXPECT_EQ(phases[2]["name"], "camera's opinions on");
  EXPECT_EQ(phases[3]["name"], "revision 10: what is right of connector seal");
  run("pchart --json --phases none" + dir());
  EXPECT_EQ(json()["phases"].size(), 1U);
}

TEST_F(SecondLookRecords, ParetoByHourStationAndVariant) {
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});
  station.clock.pass(3600);
  station.look("k-2", "2", 1, Disposition::rework, {{"seal", "not_seated"}, {"lid", "missing"}});
  run("pareto --json --kinds hour,defect" + dir());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["total"], 3);
  EXPECT_EQ(json()["rows"][0]["defect"], "06:00: not seated");
  EXPECT_EQ(json()["rows"].size(), 3U);
  run("pareto --json --kinds station,variant" + dir());
  EXPECT_EQ(json()["rows"][0]["defect"], "LL-1: CP-210");
  EXPECT_EQ(json()["rows"][0]["count"], 3);
  run("pareto --json --kinds component --where hour=07:00" + dir());
  EXPECT_EQ(json()["total"], 2);
}

}  // namespace
}  // namespace lastlook::commands
