// SPDX-License-Identifier: Apache-2.0
// What a plant's store on a server gives its stations, by the command line and by a tester's SQL.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <fstream>
#include <pqxx/pqxx>

#include "kiosk/text/master_json.h"
#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::commands {
namespace {

using records::testing::Station;
using testing::HasSubstr;

class PlantDown : public ProgramTest {
 protected:
  PlantDown() {
    database = cluster.new_database();
    owner = cluster.address("owner", database);
    run("plant init " + owner);
    EXPECT_EQ(code_, 0) << err_;
  }
  void admit(const std::string& how) {
    run("plant admit " + owner + " --json " + how);
    EXPECT_EQ(code_, 0) << err_;
  }
  void sync(const Station& station, const std::string& login, const std::string& how = "") {
    run(fmt::format("sync {} --dir {} --to {}", how, station.folder.path().string(),
                    cluster.address(login, database)));
    EXPECT_EQ(code_, 0) << err_;
  }
  sync::testing::Cluster& cluster = sync::testing::Cluster::running();
  std::string database, owner;
};

TEST_F(PlantDown, AResultThatATesterInsertsReachesTheUnitsStory) {
  admit("--login ll1 --station LL-1");
  admit("--login ll2 --tester");
  EXPECT_TRUE(json()["tester"]);
  {
    pqxx::connection connection(cluster.address("ll2", database));
    pqxx::work work(connection);
    work.exec(
        "INSERT INTO lastlook_plant.result (serial, test, result, value, measured) VALUES "
        "('26330-00417', 'leak', 'failed', '4.1 cm3/min', '2026-11-25 05:12:03+01')");
    work.commit();
  }
  Station station;
  const auto folder = station.folder.path();
  sync(station, "ll1");
  EXPECT_THAT(out_, HasSubstr("results and build records that came: 1;"));
  sync(station, "ll1", "--json");
  EXPECT_EQ(json()["results"], 0) << "once";
  station.records.reset();  // the kiosk of this station takes the file by itself
  std::filesystem::path file;
  for (const auto& one : std::filesystem::directory_iterator(folder / "incoming")) file = one;
  run(fmt::format("results {} --dir {}", file.string(), folder.string()));
  EXPECT_EQ(code_, 0) << err_;
  run("unit 26330-00417 --json --dir " + folder.string());
  EXPECT_THAT(out_, HasSubstr("4.1 cm3/min"));
}

TEST_F(PlantDown, TheOfficesRevisionIsAnnounced) {
  admit("--login ll1 --station LL-1");
  admit("--login ll2 --station office --office");
  EXPECT_TRUE(json()["office"]);
  Station office("office"), station;
  domain::Master master = domain::testing::small_plant();
  master.revision = 12;
  office.happen(domain::MasterAdopted{12, text::write_master(master), "p-7"});
  sync(station, "ll1", "--json");
  EXPECT_TRUE(json()["newer_revision"].is_null());
  sync(office, "ll2");
  sync(station, "ll1", "--json");
  EXPECT_EQ(json()["newer_revision"], 12);
  sync(station, "ll1");
  EXPECT_THAT(out_, HasSubstr("the plant works under revision 12"));
}

TEST_F(PlantDown, TheOwnerMovesTheOfficeToAnotherStation) {
  admit("--login ll1 --station LL-1");
  admit("--login ll2 --station office --office");
  run("plant office --json " + owner);
  EXPECT_EQ(json()["office"], "office") << err_;
  run("plant office --station LL-1 " + cluster.address("ll1", database));
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("the login ll1 does not own this plant's store"));
  run("plant office --json --station LL-1 " + owner);
  EXPECT_EQ(json()["office"], "LL-1") << err_;
  Station station, other("office");
  sync(station, "ll1");
  sync(other, "ll2", "--json");
  EXPECT_TRUE(json()["newer_revision"].is_null());
  domain::Master master = domain::testing::small_plant();
  master.revision = 12;
  station.happen(domain::MasterAdopted{12, text::write_master(master), "p-7"});
  sync(station, "ll1");
  sync(other, "ll2", "--json");
  EXPECT_EQ(json()["newer_revision"], 12);
}

TEST_F(PlantDown, ALoginIsOneThing) {
  for (const char* how : {"", "--tester --reader", "--station LL-1 --tester", "--office",
                          "--office --tester", "--office --reader"}) {
    run("plant admit " + owner + " --login ll1 " + how);
    EXPECT_EQ(code_, 2) << how;
    EXPECT_THAT(err_, HasSubstr("expected --station")) << how;
  }
  run("plant init " + owner);
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("there is a plant's store in this database already"));
}

}  // namespace
}  // namespace lastlook::commands
