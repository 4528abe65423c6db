// SPDX-License-Identifier: Apache-2.0
// Master data from the plant's office to another station, by the command line and through a store
// that is no server.
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

class PlantOffice : public ProgramTest, public testing::WithParamInterface<const char*> {
 protected:
  PlantOffice() {
    for (const char* name : {"office", "LL-1"}) {
      run(std::string("station make --json --engineer 'Quentin Example' --master ") + source_dir() +
              "/assets/plant/coolant-pumps.json --name " + name + " --dir " + path(name),
          "4101\n");
      EXPECT_EQ(code_, 0) << err_;
      if (name == std::string("office")) engineer = json()["approved_by"];
      revision = json()["revision"];
    }
    run("plant init " + store());
    EXPECT_EQ(code_, 0) << err_;
  }
  std::string store() const { return GetParam() + path("plant"); }
  void make_office() {
    run("plant office " + store() + " --station office");
    EXPECT_EQ(code_, 0) << err_;
  }
  void adopt(std::int64_t newer) {
    auto plant = plant_json();
    plant["revision"] = newer;
    run("station adopt --dir " + path("office") + " --master " + file("plant.json", plant.dump()) +
            " --approved-by " + engineer,
        "4101\n");
    EXPECT_EQ(code_, 0) << err_;
  }
  nlohmann::json sync(const std::string& station) {
    run("sync --json --dir " + path(station) + " --to " + store());
    EXPECT_EQ(code_, 0) << err_;
    return json();
  }
  std::string engineer;
  std::int64_t revision = 0;
};

TEST_P(PlantOffice, SaysWhichStationItIsAndWhetherItHasSent) {
  run("plant office " + store());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("no station is the office"));
  run("plant office --json " + store() + " --station office");
  EXPECT_EQ(json()["office"], "office") << err_;
  EXPECT_EQ(json()["has_sent"], false);
  run("plant office " + store());
  EXPECT_THAT(out_,
              HasSubstr("what station office adopts as master data; it has sent nothing yet"));
  sync("office");
  run("plant office --json " + store());
  EXPECT_EQ(json()["has_sent"], true);
  run("plant office " + std::string(GetParam()) + path("nowhere"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("nowhere: no such "));
}

TEST_P(PlantOffice, ItsRevisionIsAnnouncedToTheOthers) {
  adopt(revision + 5);
  sync("office");
  EXPECT_TRUE(sync("LL-1")["newer_revision"].is_null()) << "nobody has said who is the office";
  make_office();
  EXPECT_EQ(sync("LL-1")["newer_revision"], revision + 5);
  EXPECT_TRUE(sync("office")["newer_revision"].is_null());
  adopt(revision + 6);
  EXPECT_EQ(sync("LL-1")["newer_revision"], revision + 5) << "it has not sent it yet";
  sync("office");
  run("sync --dir " + path("LL-1") + " --to " + store());
  EXPECT_THAT(out_, HasSubstr("the plant works under revision " + std::to_string(revision + 6) +
                              "; the kiosk adopts it between two units"));
}

TEST_P(PlantOffice, AStoreThatIsGatheredFromAnotherOneHasTheOfficesRevisionToo) {
  adopt(revision + 5);
  sync("office");
  const std::string other = "folder:" + path("other");
  run("plant gather " + other + " --from " + store());
  EXPECT_EQ(code_, 0) << err_;
  run("plant office " + other + " --station office");
  EXPECT_EQ(code_, 0) << err_;
  run("sync --json --dir " + path("LL-1") + " --to " + other);
  EXPECT_EQ(json()["newer_revision"], revision + 5);
}

TEST_P(PlantOffice, AChangedEntryIsNamedAndNothingIsAdopted) {
  make_office();
  sync("office");
  adopt(revision + 5);
  sync("office");
  if (const std::filesystem::path plant = path("plant"); std::filesystem::is_directory(plant)) {
    for (const auto& one : std::filesystem::recursive_directory_iterator(plant)) {
      std::string text = one.is_regular_file() ? content_of(one.path()) : "";
      const auto at = text.find("\"master_adopted\"");
      if (at == std::string::npos) continue;
      text.replace(text.find("Coolant", at), 7, "Cooking");
      std::ofstream(one.path(), std::ios::trunc) << text;
    }
  } else {
    records::testing::sql(plant,
                          "DROP TRIGGER plant_entry_is_never_changed; UPDATE plant_entry SET body "
                          "= replace(body, 'oolant', 'ooking') WHERE kind = 'master_adopted'");
  }
  run("sync --dir " + path("LL-1") + " --to " + store());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("its hash is not that of its bytes"));
  EXPECT_THAT(out_, testing::Not(HasSubstr("the plant works under")));
  run("plant check --json " + store());
  EXPECT_EQ(code_, 1);
}

INSTANTIATE_TEST_SUITE_P(Stores, PlantOffice, testing::Values("sqlite:", "folder:"),
                         [](const auto& kind) { return std::string(kind.param).substr(0, 6); });

}  // namespace
}  // namespace lastlook::commands
