// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/model_queries.h"

#include <fstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/unit_queries.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::ModelApproved;
using ::testing::IsEmpty;
using testing::must;
using ::testing::SizeIs;

ModelApproved approval(const std::string& model, const std::string& file,
                       const std::string& before = "", const std::string& why = "") {
  ModelApproved it;
  it.model = model;
  it.file = file;
  it.before = before;
  it.variants = {"CP-210", "CP 210 N"};
  it.pictures = 31;
  it.gaps = {{"seal", 0.9, 0.1, false, false}, {"lid", 0.4, 0.6, false, true}};
  it.why = why;
  return it;
}

TEST(ApprovedModels, AreListedWithTheNewestFirst) {
  testing::Station station;
  EXPECT_THAT(must(approved_models(*station.records)), IsEmpty());
  station.happen(approval("m-1", "aa", "m-0"));
  station.clock.pass(60);
  station.happen(approval("m-2", "bb", "m-1"));
  station.happen(approval("m-1", "aa", "m-2", "stops good lids"));
  const auto all = must(approved_models(*station.records));
  ASSERT_THAT(all, SizeIs(3));
  EXPECT_EQ(all[0].model, "m-1");
  EXPECT_EQ(all[0].why, "stops good lids");
  EXPECT_EQ(all[1].before, "m-1");
  EXPECT_EQ(all[2].before, "m-0");
  EXPECT_EQ(all[2].variants, (std::vector<std::string>{"CP-210", "CP 210 N"}));
  EXPECT_EQ(all[2].gaps, approval("m-1", "aa").gaps);
  EXPECT_EQ(all[1].approved_us - all[2].approved_us, 61'000'000)
      << "a minute, and the second of each entry";
}

TEST(ApprovedModels, AreTheSameAfterARebuild) {
  testing::Station station;
  station.happen(approval("m-1", "aa", "m-0"), approval("m-2", "bb", "m-1"));
  const auto before = must(approved_models(*station.records));
  must(rebuild(*station.records, {}));
  EXPECT_EQ(must(approved_models(*station.records)), before);
}

TEST(ApprovedModels, TheNewestIsAmongWhatAStationOpensWith) {
  testing::Station station;
  station.happen(approval("m-1", "aa"), approval("m-2", "bb", "m-1"));
  std::vector<std::string> models;
  for (const Entry& entry : must(unfinished_entries(*station.records)))
    if (const auto happening = must(decode(entry)); std::get_if<ModelApproved>(&happening))
      models.push_back(std::get<ModelApproved>(happening).model);
  EXPECT_EQ(models, std::vector<std::string>{"m-2"});
}

TEST(ApprovedModels, OfAnotherJournalBeforeARestoreCountToo) {
  testing::Station station;
  station.happen(approval("m-1", "aa"));
  must(station.records->start_new_journal(station.clock.read()));
  EXPECT_EQ(must(approved_models(*station.records)).front().model, "m-1");
  station.happen(approval("m-2", "bb", "m-1"));
  EXPECT_EQ(must(approved_models(*station.records)).front().model, "m-2");
}

TEST(ApprovedModels, WithoutAFileAreRefused) {
  testing::Station station;
  EXPECT_EQ(station.try_one(approval("m-1", "")).error().category, Category::refused);
}

TEST(ApprovedModels, WhoseFileIsMissingOrAlteredAreFoundByVerify) {
  testing::Station station;
  Pictures pictures(station.folder.path() / "pictures");
  const std::vector<unsigned char> bytes = {1, 2, 3};
  const std::string file = must(pictures.keep(bytes));
  station.happen(approval("m-1", file));
  EXPECT_TRUE(must(verify(station.folder.path())).whole());
  std::ofstream(pictures.path_of(file)) << "other";
  EXPECT_FALSE(must(verify(station.folder.path())).whole());
  std::filesystem::remove(pictures.path_of(file));
  EXPECT_EQ(must(verify(station.folder.path())).missing_pictures.at(0).picture, file);
}

}  // namespace
}  // namespace lastlook::records
