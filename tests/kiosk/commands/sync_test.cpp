// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using ::testing::HasSubstr;

class SyncCommandTest : public ProgramTest {
 protected:
  SyncCommandTest() { station.look("k-1", "1", 1, domain::Disposition::accept); }
  std::string dir() const { return station.folder.path().string(); }
  records::testing::Station station;  // open all the while, as at a station in use
};

TEST_F(SyncCommandTest, SaysHowManyWentAndWhatTheStoreAcknowledged) {
  run("sync --json --dir " + dir() + " --to sqlite:" + path("plant.db"));
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["entries"], 4);
  EXPECT_EQ(json()["acknowledged"], 4);
  run("sync --json --dir " + dir() + " --to sqlite:" + path("plant.db"));
  EXPECT_EQ(json()["entries"], 0);
  EXPECT_EQ(json()["acknowledged"], 4);
  run("plant check --json sqlite:" + path("plant.db"));
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["entries"], 4);
  run("plant status sqlite:" + path("plant.db"));
  EXPECT_THAT(out_, HasSubstr("LL-1"));
}

TEST_F(SyncCommandTest, NamesTheEntryThatWasChangedInTheStore) {
  run("sync --dir " + dir() + " --to sqlite:" + path("plant.db"));
  records::testing::sql(path("plant.db"),
                        "DROP TRIGGER plant_entry_is_never_changed;"
                        "UPDATE plant_entry SET actor = 'p-2' WHERE seq = 3");
  run("plant check --json sqlite:" + path("plant.db"));
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(json()["faults"][0]["seq"], 3);
}

TEST_F(SyncCommandTest, RefusesWhatItCannotUnderstand) {
  run("sync --dir " + dir() + " --to plant.db");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected sqlite:FILE, folder:FOLDER or postgresql://"));
  run("sync --dir " + path("nowhere") + " --to sqlite:" + path("plant.db"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("there is no station here"));
  run("sync --dir " + dir() + " --to sqlite:" +
      file("text.txt",
           "not a database, and long enough "
           "to be read as one by mistake"));
  EXPECT_EQ(code_, 1);
  run("sync --dir " + dir() + " --to sqlite:" + dir() + "/records.db");
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("is no plant's store"));
}

}  // namespace
}  // namespace lastlook::commands
