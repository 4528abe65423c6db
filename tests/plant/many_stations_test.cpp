// SPDX-License-Identifier: Apache-2.0
// Many stations send to one server while everything fails that can: 'lastlook simulate' cuts their
// networks and kills them, and here the server is killed under it. At the end every entry is in the
// store, once.
//
// LASTLOOK_LONG=1: a hundred stations for ten minutes at 20 times the rate of a line; else twelve
// for some seconds.
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <future>
#include <iostream>
#include <thread>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::commands {
namespace {

using namespace std::chrono_literals;

struct Trial {
  int stations = 12, seconds = 12, rate = 200;
  std::chrono::seconds between_outages = 4s;
};

Trial trial() {
  const char* asked = std::getenv("LASTLOOK_LONG");
  if (!asked || std::string_view(asked) != "1") return {};
  return {100, 600, 20, 60s};
}

// A text in SQL that passes a shell, which takes the usual quotes away.
std::string quoted(const std::string& text) {
  return "\\$\\$" + text + "\\$\\$";
}

class ManyStations : public ProgramTest {
 protected:
  ManyStations() {
    database = cluster.new_database();
    cluster.sql("postgres", "ALTER ROLE owner CREATEROLE");
    store = cluster.address("owner", database);
    run("plant init " + store);
    EXPECT_EQ(code_, 0) << err_;
  }
  void simulate(const std::string& options) {
    run(fmt::format("simulate {} --json --dir {} {}", store, path("trial"), options));
  }
  std::string count(const std::string& what) const { return cluster.sql(database, what); }

  const Trial now = trial();
  sync::testing::Cluster& cluster = sync::testing::Cluster::running();
  std::string database, store;
  const std::string logins =
      "SELECT count(*) FROM pg_roles WHERE rolname LIKE " + quoted("lastlook_trial%");
};

TEST_F(ManyStations, EveryEntryArrivesOnceWhateverFails) {
  auto ends = std::async(std::launch::async, [&] {
    simulate(
        fmt::format("--stations {} --seconds {} --rate {}", now.stations, now.seconds, now.rate));
  });
  int outages = 0;
  while (ends.wait_for(now.between_outages) == std::future_status::timeout) {
    cluster.stop();
    std::this_thread::sleep_for(500ms);
    cluster.start();
    ++outages;
  }
  ASSERT_EQ(code_, 0) << out_ << err_;
  const auto said = json();
  std::cout << out_ << outages << " outages of the server\n";
  EXPECT_TRUE(said["whole"]);
  EXPECT_GT(outages, 0);
  EXPECT_GT(said["kills"], 0);
  EXPECT_GT(said["cuts"], 0);
  const std::int64_t entries = said["entries"];
  EXPECT_GT(entries - said["entries_at_the_end"].get<std::int64_t>(), now.stations * 24)
      << "two looks of each station went while things failed";
  EXPECT_EQ(count("SELECT count(*), count(DISTINCT (journal, seq)), count(DISTINCT journal) "
                  "FROM lastlook_plant.entry"),
            fmt::format("{0}|{0}|{1}\n", entries, now.stations));
  EXPECT_EQ(
      count("SELECT count(*) FROM lastlook_plant.entry WHERE kind = " + quoted("look_closed")),
      fmt::format("{}\n", said["looks"].get<int>()));
  EXPECT_EQ(count(logins), "0\n");
}

// The count at the end can say no.
TEST_F(ManyStations, AnEntryThatTheStoreLostIsFound) {
  auto ends = std::async(std::launch::async,
                         [&] { simulate("--stations 2 --seconds 4 --rate 100 --calm"); });
  std::this_thread::sleep_for(2s);
  cluster.sql(database,
              "ALTER TABLE lastlook_plant.entry DISABLE TRIGGER ALL; "
              "DELETE FROM lastlook_plant.entry WHERE seq = 5");
  ends.wait();
  EXPECT_EQ(code_, 1) << err_;
  EXPECT_FALSE(json()["whole"]);
  EXPECT_THAT(json()["faults"].dump(), testing::HasSubstr("the stations wrote"));
}

TEST_F(ManyStations, InACalmNothingFails) {
  simulate("--stations 3 --seconds 3 --rate 100 --calm");
  ASSERT_EQ(code_, 0) << out_ << err_;
  const auto said = json();
  EXPECT_EQ(said["kills"], 0);
  EXPECT_EQ(said["cuts"], 0);
  EXPECT_TRUE(said["troubles"].empty()) << out_;
  EXPECT_GT(said["looks"], 10);
  EXPECT_LE(said["lag_ms"]["half"], said["lag_ms"]["longest"]);
  EXPECT_GT(said["lag_ms"]["longest"], 0);
}

TEST_F(ManyStations, OneTrialIsNotMixedWithAnotherNorWithAPlant) {
  simulate("--stations 1 --seconds 1 --rate 1000 --calm");
  ASSERT_EQ(code_, 0) << err_;
  run(fmt::format("simulate {} --dir {} --seconds 1", store, path("again")));
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, testing::HasSubstr("a trial wants an empty one of its own"));
  EXPECT_FALSE(std::filesystem::exists(path("again")));
}

// What a trial leaves that was killed with its terminal.
TEST_F(ManyStations, LoginsOfATrialThatWasCutAreClearedAwayByTheNext) {
  cluster.sql(database,
              "CREATE ROLE lastlook_trial_1 LOGIN; GRANT lastlook_trial_1 TO owner; "
              "INSERT INTO lastlook_plant.station VALUES (" +
                  quoted("lastlook_trial_1") + ", " + quoted("LL-1") +
                  "); "
                  "GRANT USAGE ON SCHEMA lastlook_plant TO lastlook_trial_1");
  simulate("--stations 1 --seconds 1 --rate 1000 --calm");
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(count(logins), "0\n");
}

TEST_F(ManyStations, AServerThatLetsItMakeNoLoginsIsToldAsItSaysIt) {
  cluster.sql("postgres", "ALTER ROLE owner NOCREATEROLE");
  simulate("--stations 1 --seconds 1");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, testing::HasSubstr("permission denied to create role"));
}

TEST_F(ProgramTest, AFileIsTriedWithoutLogins) {
  run(fmt::format("simulate sqlite:{} --stations 2 --seconds 2 --rate 500 --json --dir {}",
                  path("plant.db"), path("trial")));
  EXPECT_EQ(code_, 0) << out_ << err_;
  EXPECT_TRUE(json()["whole"]);
  run("plant check --json sqlite:" + path("plant.db"));
  EXPECT_EQ(json()["journals"], 2);
}

}  // namespace
}  // namespace lastlook::commands
