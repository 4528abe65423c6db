// SPDX-License-Identifier: Apache-2.0
// A plant's store that is asked: the same answers as at a station, over all of them.
#include <gmock/gmock.h>
#include <signal.h>

#include <array>
#include <cstdio>

#include "kiosk/records/pictures.h"
#include "kiosk/sync/postgres_plant.h"
#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::commands {
namespace {

using domain::Disposition;
using records::testing::RichJournal;
using records::testing::Station;
using testing::HasSubstr;
using testing::Not;

class PlantTest : public ProgramTest {
 protected:
  std::string file_store() const { return "sqlite:" + path("plant.db"); }
  void send(const Station& station, const std::string& store) {
    run("sync --dir " + station.folder.path().string() + " --to " + store);
    ASSERT_EQ(code_, 0) << err_;
  }
  void project(const std::string& store) {
    run("plant run --once --json " + store);
    ASSERT_EQ(code_, 0) << err_ << out_;
  }
  nlohmann::json asked(const std::string& arguments) {
    run(arguments + " --json");
    EXPECT_EQ(code_, 0) << arguments << ": " << err_;
    return json();
  }
};

TEST_F(PlantTest, AnswersAsTheStationDoes) {
  Station station;
  RichJournal(station, 31).units(40);
  auto& cluster = sync::testing::Cluster::running();
  const std::string server = cluster.address("owner", cluster.new_database());
  run("plant init " + server);
  ASSERT_EQ(code_, 0) << err_;
  for (const std::string& store : {file_store(), server}) {
    send(station, store);
    project(store);
    for (const std::string command :
         {"pareto", "pareto --kinds component,defect --counted units", "pareto --by severity",
          "pareto --station LL-1 --where shift='2026-11-25 early' --kinds defect",
          "pchart --kind p", "pchart --kind u --station LL-1", "yield", "yield --variant CP-210",
          "where", "contain", "contain --component seal", "unit 10003", "unit 10007 --people"}) {
      SCOPED_TRACE(command + " at " + store);
      run(command + " --json --dir " + station.folder.path().string());
      ASSERT_EQ(code_, 0) << err_;
      const auto at_station = json();
      EXPECT_EQ(at_station["as_of"][0]["station"], "LL-1");
      run(command + " --json --plant " + store);
      ASSERT_EQ(code_, 0) << err_;
      EXPECT_EQ(json(), at_station);
    }
  }
  run("plant admit " + server + " --login ll2 --reader");
  ASSERT_EQ(code_, 0) << err_;
  const std::string reader = cluster.address("ll2", server.substr(server.rfind('/') + 1));
  run("pareto --plant " + reader);
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("as of 2026-11-2"));
  run("plant run --once " + reader);
  EXPECT_EQ(code_, 1) << "who reads does not project";
  EXPECT_THAT(err_, HasSubstr("the login ll2 does not own this plant's store; connect as owner"));
  for (const std::string as : {"--reader", "--station LL-9"}) {
    run("plant admit " + reader + " --login ll1 " + as);
    EXPECT_EQ(code_, 1) << as;
    EXPECT_THAT(err_, HasSubstr("the login ll2 does not own this plant's store"));
  }
  run("plant admit " + cluster.address("ll2", cluster.new_database()) + " --login ll1 --reader");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("'lastlook plant init'"));
}

TEST_F(PlantTest, AddsStationsUpAndTellsThemApart) {
  std::int64_t first_looks = 0, findings = 0;
  for (const int n : {1, 2, 3}) {
    Station station("LL-" + std::to_string(n));
    for (int i = 0; i < 4 * n; ++i) {
      const std::string id = std::to_string(n) + "-" + std::to_string(i);
      if (i < n)
        station.look("k-" + id, id, 1, Disposition::rework, {{"seal", "missing"}});
      else
        station.look("k-" + id, id, 1, Disposition::accept);
    }
    send(station, file_store());
    const auto alone = asked("yield --dir " + station.folder.path().string());
    first_looks += alone["steps"][0]["units"].get<int>();
    findings += asked("pareto --dir " + station.folder.path().string())["total"].get<int>();
  }
  project(file_store());
  const auto all = asked("yield --plant " + file_store());
  EXPECT_EQ(first_looks, 24);
  EXPECT_EQ(all["steps"][0]["units"], first_looks);
  EXPECT_EQ(all["steps"][0]["step"], "all stations");
  EXPECT_EQ(all["as_of"].size(), 3U);
  EXPECT_EQ(asked("pareto --plant " + file_store())["total"], findings);
  EXPECT_EQ(asked("pareto --station LL-2 --plant " + file_store())["total"], 2);
  EXPECT_EQ(asked("where --station LL-3 --plant " + file_store())["places"][0]["count"], 3);
  run("pareto --station LL-9 --plant " + file_store());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("no station 'LL-9', expected one of LL-1, LL-2, LL-3"));
}

TEST_F(PlantTest, ProjectsWhatArrivesAndRebuildsIt) {
  Station station;
  station.look("k-1", "1", 1, Disposition::accept);
  run("pareto --plant " + file_store());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("no such file"));
  send(station, file_store());
  run("pareto --plant " + file_store());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("nothing was projected in this store yet; see 'lastlook plant run'"));
  project(file_store());
  EXPECT_EQ(json()["entries"], 4);
  EXPECT_EQ(json()["as_of"][0]["entries"], 4);
  run("plant run --once " + file_store());
  EXPECT_THAT(out_, HasSubstr("0 entries projected; as of 2026-11-25 06:00"));
  station.look("k-2", "2", 1, Disposition::accept);
  send(station, file_store());
  const auto journal = asked("plant status " + file_store())["journals"][0];
  EXPECT_EQ(journal["entries"], 6);
  EXPECT_EQ(journal["projected"], 4);
  EXPECT_EQ(asked("yield --plant " + file_store())["steps"][0]["units"], 1);
  project(file_store());
  EXPECT_EQ(json()["entries"], 2);
  EXPECT_EQ(asked("yield --plant " + file_store())["steps"][0]["units"], 2);
  records::testing::sql(path("plant.db.rows"), "DELETE FROM count_look");
  run("plant rebuild --json " + file_store());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["entries"], 6);
  EXPECT_EQ(asked("yield --plant " + file_store())["steps"][0]["units"], 2);
  run("plant run --once folder:" + path("share"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("'lastlook plant gather'"));
}

TEST_F(PlantTest, NamesAJournalThatStoppedAlsoWhileItFollows) {
  Station one("LL-1"), two("LL-2");
  one.look("k-1", "1", 1, Disposition::accept);
  for (const Station* station : {&one, &two}) send(*station, file_store());
  FILE* following = popen(
      ("echo $$; exec " + program() + " plant run --pause 1 " + file_store() + " 2>&1").c_str(),
      "r");
  std::array<char, 4'096> line{};
  ASSERT_TRUE(fgets(line.data(), line.size(), following));
  const int process = std::atoi(line.data());
  ASSERT_TRUE(fgets(line.data(), line.size(), following));
  EXPECT_THAT(line.data(), HasSubstr("6 entries projected"));
  two.look("k-1", "2", 1, Disposition::accept);  // an id that LL-1 used
  send(two, file_store());
  ASSERT_TRUE(fgets(line.data(), line.size(), following));
  EXPECT_THAT(line.data(), HasSubstr("0 entries projected"));
  ASSERT_TRUE(fgets(line.data(), line.size(), following));
  EXPECT_THAT(line.data(), HasSubstr("LL-2 stopped before entry 3 of journal "));
  kill(process, SIGTERM);
  pclose(following);
  run("plant run --once " + file_store());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(out_, HasSubstr("2 entries are left out of every answer"));
  const auto status = asked("plant status " + file_store());
  EXPECT_EQ(status["stopped"][0]["station"], "LL-2");
  EXPECT_EQ(status["stopped"][0]["entries"], 2);
  EXPECT_THAT(status["stopped"][0]["why"].get<std::string>(), HasSubstr("k-1 already"));
  run("plant status " + file_store());
  EXPECT_THAT(out_, HasSubstr("LL-2 stopped before entry 3 of journal "));
}

TEST_F(PlantTest, TellsAUnitsStoryOverAllStations) {
  Station one("LL-1"), two("LL-2");
  using domain::Answer;
  one.happen(
      domain::UnitBuilt{"1", "CP-210", {{domain::UpstreamTest::leak, true, "0.4 ml/min", 1}}});
  one.open_look("k-1", "1", 1);
  one.happen(domain::StepAnswered{"k-1", "seal", Answer::nonconforming, {}, "absent"});
  one.happen(domain::FindingAdded{"k-1",
                                  "f-1",
                                  "seal",
                                  "missing",
                                  domain::Severity::critical,
                                  {},
                                  std::string(64, 'a'),
                                  "no ring"});
  one.happen(domain::LookClosed{"k-1", Disposition::rework, "", ""});
  two.clock.pass(3'600);
  two.look("k-2", "1", 1, Disposition::accept);
  two.happen(domain::DispositionCorrected{"k-2", 0, Disposition::accept, Disposition::hold,
                                          "wrong label"});
  const auto alone = asked("unit 1 --dir " + one.folder.path().string());
  EXPECT_EQ(alone["now"]["state"], "in_rework");
  EXPECT_EQ(alone["looks"][0]["findings"][0]["picture"]["file"], "missing");
  for (const Station* station : {&two, &one}) send(*station, file_store());
  project(file_store());
  const auto unit = asked("unit 1 --plant " + file_store());
  EXPECT_EQ(unit["built"][0]["variant"], "CP-210");
  EXPECT_EQ(unit["results"][0]["value"], "0.4 ml/min");
  ASSERT_EQ(unit["looks"].size(), 2U);
  EXPECT_EQ(unit["looks"][0]["station"], "LL-1");
  EXPECT_EQ(unit["looks"][0]["answers"][0]["answer"], "nonconforming");
  EXPECT_EQ(unit["looks"][0]["findings"][0]["picture"]["file"],
            "not here, see 'lastlook plant picture'");
  EXPECT_EQ(unit["looks"][1]["number"], 2);
  EXPECT_EQ(unit["looks"][1]["corrections"][0]["from"], "accept");
  EXPECT_EQ(unit["now"]["state"], "on_hold");
  EXPECT_EQ(unit["now"]["station"], "LL-2");
  EXPECT_THAT(out_, Not(HasSubstr("p-1"))) << "persons are left out";
  run("unit 1 --people --json --plant " + file_store());
  EXPECT_EQ(json()["looks"][0]["closed_by"], "p-1");
  run("unit 1 --plant " + file_store());
  EXPECT_THAT(out_, HasSubstr("corrected to hold: wrong label"));
  EXPECT_THAT(out_, HasSubstr("now: on hold at LL-2"));
  EXPECT_THAT(out_, Not(HasSubstr("p-1")));
  run("unit 77 --plant " + file_store());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("the serial '77' was never seen, as of 2026-11-25 0"));
  EXPECT_EQ(std::count(err_.begin(), err_.end(), '\n'), 1);
}

TEST_F(PlantTest, TellsTimesAsTheClockStoodThen) {
  Station station;
  station.look("k-1", "1", 1, Disposition::rework);
  station.clock.now.offset_min = 120;  // summer time
  station.look("k-2", "1", 2, Disposition::accept);
  send(station, file_store());
  project(file_store());
  const std::string dir = station.folder.path().string();
  for (const std::string& source : {"--dir " + dir, "--plant " + file_store()}) {
    const auto unit = asked("unit 1 " + source);
    EXPECT_EQ(unit["looks"][0]["opened"], "2026-11-25T06:00:02+01:00");
    EXPECT_EQ(unit["looks"][1]["opened"], "2026-11-25T07:00:04+02:00");
    EXPECT_EQ(unit["now"]["since"], "2026-11-25T07:00:05+02:00");
  }
}

TEST_F(PlantTest, ListsTheUnitsInDoubtAndWhereTheyAre) {
  Station one("LL-1"), two("LL-2");
  const auto accept = [&](const std::string& look) {
    one.open_look(look, look, 1);
    domain::OpinionGiven given;
    given.look = look;
    given.model = "m-1";
    given.components = {{"seal", domain::Opinion::present, "yes", 0.99, "as_taught", 0, {}}};
    one.happen(given);
    one.happen(domain::StepAnswered{look, "seal", domain::Answer::conforming, {}, "present"},
               domain::LookClosed{look, Disposition::accept, "", ""});
  };
  accept("u-1");
  accept("u-2");
  one.look("u-3", "u-3", 1, Disposition::accept);
  domain::PartJudged judged;
  judged.showing = "s-1";
  judged.part = "faulty";
  judged.variant = "CP-210";
  judged.production_date = "2026-11-25";
  judged.shift = "early";
  judged.model = "m-1";
  judged.proof = "failed";
  judged.unmet = {"seal"};
  judged.components = {{"seal", domain::Opinion::present, "yes", 0.9, "as_taught", 0, {}}};
  one.happen(domain::PartShown{"s-1", "faulty", "CP-210"}, judged);
  two.clock.pass(3'600);
  two.look("v-1", "u-1", 1, Disposition::scrap);
  for (const Station* station : {&one, &two}) send(*station, file_store());
  project(file_store());
  const auto all = asked("contain --plant " + file_store());
  EXPECT_EQ(all["failed_proofs"][0]["reaches_back_to"],
            "the model's first opinion there, for no earlier proof is on record");
  ASSERT_EQ(all["units"].size(), 3U);
  EXPECT_EQ(all["units"][0]["serial"], "u-1");
  EXPECT_EQ(all["units"][0]["why"], "relied");
  EXPECT_EQ(all["units"][0]["now"]["state"], "scrapped");
  EXPECT_EQ(all["units"][0]["now"]["station"], "LL-2");
  EXPECT_EQ(all["units"][0]["again"]["station"], "LL-2");
  EXPECT_EQ(all["units"][0]["again"]["disposition"], "scrap");
  EXPECT_TRUE(all["units"][1]["again"].is_null());
  EXPECT_EQ(all["looked_at_again"], 1);
  EXPECT_EQ(all["open"], 2);
  EXPECT_EQ(all["units"][1]["now"]["state"], "accepted");
  EXPECT_EQ(all["units"][2]["why"], "sample");
  EXPECT_EQ(all["by_component"]["seal"], 3);
  EXPECT_EQ(all["by_station"]["LL-1"], 3);
  EXPECT_EQ(asked("contain --component lid --plant " + file_store())["units"].size(), 0U);
  EXPECT_EQ(asked("contain --station LL-2 --plant " + file_store())["units"].size(), 0U);
  run("contain --plant " + file_store());
  EXPECT_THAT(out_, HasSubstr("for no earlier proof is on record"));
  EXPECT_THAT(out_, HasSubstr("scrapped at LL-2"));
  EXPECT_THAT(out_, HasSubstr("looked at again: 1 of 3"));
}

TEST_F(PlantTest, VerifiesAStationAgainstTheStoreAndTakesBackWhatWasSent) {
  Station station;
  const std::string dir = station.folder.path().string();
  station.look("k-1", "1", 1, Disposition::accept);
  run("records backup --dir " + dir + " --to " + path("backup"));
  ASSERT_EQ(code_, 0) << err_;
  station.look("k-2", "2", 1, Disposition::accept);
  send(station, file_store());
  station.look("k-3", "3", 1, Disposition::accept);
  auto whole = asked("records verify --dir " + dir + " --plant " + file_store());
  EXPECT_EQ(whole["plant"][0]["store"], 6);
  EXPECT_EQ(whole["plant"][0]["not_sent"], 2);
  station.records.reset();
  records::testing::sql(dir + "/records.db",
                        "DROP TRIGGER entry_is_never_changed; "
                        "UPDATE entry SET actor = 'p-9' WHERE seq = 5");
  run("records verify --dir " + dir + " --plant " + file_store());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(out_, HasSubstr("entry 5 of journal "));
  EXPECT_THAT(out_, HasSubstr("is not what was sent: the store has "));
  run("records restore --json --dir " + path("again") + " --from " + path("backup") + " --plant " +
      file_store());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["taken_back"], 2);
  whole = asked("records verify --dir " + path("again") + " --plant " + file_store());
  EXPECT_EQ(whole["whole"], true);
  EXPECT_EQ(asked("yield --dir " + path("again"))["steps"][0]["units"], 2);
}

TEST_F(PlantTest, EntriesThatARestoreWentOnWithoutAreNoWholeStation) {
  Station station;
  const std::string dir = station.folder.path().string();
  run("records backup --dir " + dir + " --to " + path("backup"));
  station.look("k-1", "1", 1, Disposition::accept);
  send(station, file_store());
  run("records restore --dir " + path("again") + " --from " + path("backup"));
  ASSERT_EQ(code_, 0) << err_;
  run("sync --dir " + path("again") + " --to " + file_store());
  ASSERT_EQ(code_, 0) << err_;
  run("records verify --json --dir " + path("again") + " --plant " + file_store());
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(json()["whole"], false);
  EXPECT_EQ(json()["plant"][0]["lost"], 2);
  run("records verify --dir " + path("again") + " --plant " + file_store());
  EXPECT_THAT(out_,
              HasSubstr("2 entries of journal " + station.records->journal() + " were lost here"));
  EXPECT_THAT(out_, HasSubstr("not as it was written"));
}

TEST_F(PlantTest, AnotherStationUnderTheSameNameIsNoWholeStation) {
  Station station, another;
  send(station, file_store());
  run("records verify --json --dir " + another.folder.path().string() + " --plant " + file_store());
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(json()["whole"], false);
  EXPECT_THAT(json()["plant"][0]["not_taken"].get<std::string>(),
              HasSubstr("two stations are called LL-1"));
}

TEST_F(PlantTest, ABackupOfAnOlderFormIsComparedWithTheStore) {
  Station station;
  run("records backup --dir " + station.folder.path().string() + " --to " + path("backup"));
  station.look("k-1", "1", 1, Disposition::accept);
  send(station, file_store());
  records::testing::put_back_to_form(path("backup/records.db"), 4);
  run("records verify --json --dir " + path("backup") + " --plant " + file_store());
  ASSERT_EQ(code_, 1) << err_;
  EXPECT_EQ(json()["plant"][0]["differs"]["seq"], 3);
}

TEST_F(PlantTest, ARestoreBringsPicturesBackAndNamesThoseThatNeverWent) {
  Station station;
  const std::string dir = station.folder.path().string();
  run("records backup --dir " + dir + " --to " + path("backup"));
  records::Pictures pictures(dir + "/pictures");
  const std::string sent = records::testing::must(pictures.keep("of a finding"));
  const std::string picture = records::testing::must(pictures.keep("of a look that is not closed"));
  station.open_look("k-1", "1", 1);
  station.happen(
      domain::OpinionGiven{"k-1", 1, "m-1", picture, {}},
      domain::FindingAdded{"k-1", "f-1", "seal", "missing", domain::Severity::major, {}, sent, ""});
  run("sync --json --dir " + dir + " --to " + file_store());
  EXPECT_EQ(json()["pictures"], 1) << err_;
  run("plant check --json " + file_store());
  EXPECT_EQ(json()["pictures"], 1) << err_;
  run("plant picture --json " + file_store() + " --picture " + sent + " --out " + path("taken"));
  EXPECT_EQ(json()["bytes"], 12) << err_;
  run("plant picture " + file_store() + " --picture " + picture + " --out " + path("taken"));
  EXPECT_THAT(err_, HasSubstr("the store does not have it"));
  run("records restore --dir " + path("again") + " --from " + path("backup") + " --plant " +
      file_store());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("1 pictures or models that entries name are not here"));
  EXPECT_THAT(out_, HasSubstr(picture));
  EXPECT_THAT(out_, HasSubstr(" and 1 pictures restored"));
  run("records verify --json --dir " + path("again"));
  EXPECT_EQ(code_, 1);
  EXPECT_TRUE(json()["faults"].empty()) << out_;
  EXPECT_EQ(json()["missing_pictures"][0]["picture"], picture);
  run("records backup --dir " + path("again") + " --to " + path("later"));
  ASSERT_EQ(code_, 0) << err_;
  run("records restore --json --dir " + path("once-more") + " --from " + path("later"));
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["missing_pictures"][0]["seq"], 4);
}

}  // namespace
}  // namespace lastlook::commands
