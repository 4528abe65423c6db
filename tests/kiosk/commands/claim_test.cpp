// SPDX-License-Identifier: Apache-2.0
// lastlook claim, and what it does to the story of a unit and to escapes.
#include <gmock/gmock.h>

#include <algorithm>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using domain::ClaimVerdict;
using domain::Disposition;
using ::testing::HasSubstr;

class ClaimCommand : public ProgramTest {
 protected:
  void SetUp() override { engineer_ = make_station(); }
  void open(const std::string& more = "", const std::string& pin = "4101\n") {
    run("claim open 26330-00417 --json --claim C-1 --reported 2026-11-20 --complaint leaks --dir " +
            path("LL-7") + " --approved-by " + engineer_ + more,
        pin);
  }
  void judge(const std::string& more, const std::string& pin = "4101\n") {
    run("claim judge 26330-00417 --claim C-1 --why 'looked inside' --dir " + path("LL-7") +
            " --approved-by " + engineer_ + more,
        pin);
  }
  std::string engineer_;
};

TEST_F(ClaimCommand, IsEnteredJudgedAndTold) {
  open();
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["looked_at_here"], false);
  judge(" --verdict not_visible");
  ASSERT_EQ(code_, 0) << err_;
  judge(" --verdict escaped --component seal");
  ASSERT_EQ(code_, 0) << err_;
  run("unit 26330-00417 --json --dir " + path("LL-7"));
  ASSERT_EQ(code_, 0) << err_;
  const auto claim = json()["claims"][0];
  EXPECT_EQ(claim["claim"], "C-1");
  EXPECT_EQ(claim["verdict"], "escaped");
  EXPECT_EQ(claim["complaint"], "leaks");
  run("unit 26330-00417 --dir " + path("LL-7"));
  EXPECT_THAT(out_, HasSubstr("2026-11-20  came back from the field, claim C-1: leaks"));
  EXPECT_THAT(out_, HasSubstr("judged escaped: Connector seal; looked inside"));
  run("claim list --json --dir " + path("LL-7"));
  EXPECT_EQ(json()["claims"][0]["entered_at"], "LL-7");
  EXPECT_TRUE(json()["claims"][0]["look"].is_null());
  run("records verify --dir " + path("LL-7"));
  EXPECT_EQ(code_, 0) << out_ << err_;
}

TEST_F(ClaimCommand, RefusesWhoMayNotAndWhatMakesNoSense) {
  open("", "9999\n");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("PIN is wrong"));
  run("people add --json --name 'Ina Example' --dir " + path("LL-7"), "2101\n");
  std::string inspector = json().value("id", "");
  std::swap(engineer_, inspector);
  open("", "2101\n");
  EXPECT_EQ(code_, 1);
  std::swap(engineer_, inspector);
  judge(" --verdict escaped --component seal");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("claim C-1 of 26330-00417 was not opened at this station"));
  run("claim open 1 --claim C-1 --reported 20.11. --complaint leaks --dir " + path("LL-7") +
          " --approved-by " + engineer_,
      "4101\n");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("'20.11.' is not a date"));
  open();
  judge(" --verdict escaped");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("names the component"));
  judge(" --verdict perhaps");
  EXPECT_EQ(code_, 2);
  open();
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
}

// Four accepted units of which one came back with what the look ought to have seen: 1 of 4, exact
// limits by scipy 1.10.1, beta.ppf([.025, .975], [1, 2], [4, 3]).
TEST_F(ClaimCommand, AnEscapeCountsAmongTheUnitsAcceptedThen) {
  records::testing::Station station;
  const auto twice = [&](const std::string& id) {
    station.look("k-" + id, id, 1, Disposition::accept);
    station.happen(domain::SecondLookDrawn{"k-" + id, Disposition::accept, 1, 0.5});
    station.open_second("s-" + id, id, "k-" + id);
    station.happen(domain::LookClosed{"s-" + id, Disposition::accept, "", ""});
  };
  for (const char* id : {"1", "2", "3", "4"}) twice(id);
  station.look("k-5", "5", 1, Disposition::rework);
  for (const char* serial : {"1", "2", "5"})
    station.happen(domain::ClaimOpened{"C-" + std::string(serial), serial, "2026-12-24", "leaks"});
  station.happen(
      domain::ClaimJudged{"C-1", "1", ClaimVerdict::escaped, "seal", "missing", "looked inside"},
      domain::ClaimJudged{"C-5", "5", ClaimVerdict::escaped, "seal", "missing", "looked inside"});
  station.records.reset();
  const std::string dir = " --dir " + station.folder.path().string();
  for (const char* command : {"claim list", "escapes"}) {
    run(std::string(command) + " --json" + dir);
    ASSERT_EQ(code_, 0) << err_;
    const auto field = json()["field"];
    EXPECT_EQ(field["escaped"], 1) << command;
    EXPECT_EQ(field["not_judged"], 1);
    EXPECT_EQ(field["accepted"], 4);
    EXPECT_DOUBLE_EQ(field["rate"], 0.25);
    EXPECT_NEAR(field["low"], 0.006309463, 1e-9);
    EXPECT_NEAR(field["high"], 0.805879550, 1e-9);
  }
  run("escapes" + dir);
  EXPECT_THAT(out_, HasSubstr("from the field: 1 of 4 accepted units came back with what the last "
                              "look ought to have seen, 25.00 % (0.63 to 80.59) so far; 1 not "
                              "judged yet"));
  run("claim list" + dir);
  EXPECT_THAT(out_, HasSubstr("2026-11-25 at LL-1"));
  EXPECT_THAT(out_, HasSubstr("never here"));
  // A plant that has this journal says the same.
  const std::string plant = "sqlite:" + path("plant.db");
  run("claim list --json" + dir);
  const nlohmann::json of_station = json();
  run("sync" + dir + " --to " + plant);
  run("plant run --once " + plant);
  run("claim list --json --plant " + plant);
  EXPECT_EQ(json(), of_station);
}

}  // namespace
}  // namespace lastlook::commands
