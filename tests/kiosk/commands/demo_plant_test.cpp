// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_plant.h"

#include <unistd.h>

#include <fstream>
#include <set>

namespace {

using namespace lastlook;
using namespace lastlook::commands;
namespace fs = std::filesystem;

class DemoFolder : public ::testing::Test {
 protected:
  DemoFolder() {
    std::string name = (fs::temp_directory_path() / "lastlook-demo-XXXXXX").string();
    folder_ = mkdtemp(name.data());
  }
  ~DemoFolder() override { fs::remove_all(folder_); }

  void put(const std::string& name) const { std::ofstream(folder_ / name) << "x"; }

  fs::path folder_;
};

TEST(DemoMaster, ThePlantsDataIsSoundAndHasBothVariants) {
  const auto plant = demo_master();
  ASSERT_TRUE(plant) << plant.error().message;
  ASSERT_NE(plant->master.variant("CP-210"), nullptr);
  ASSERT_NE(plant->master.variant("CP-210N"), nullptr);
  EXPECT_EQ(plant->master.components.size(), 10U);
  EXPECT_EQ(plant->master.variant("CP-210N")->checklist.size(), 10U);
  EXPECT_EQ(plant->master.shifts.size(), 2U);
}

TEST(DemoPeople, ThreeInspectorsOfDifferentSkillASupervisorAndAnEngineer) {
  std::set<double> skills;
  std::set<std::string> pins;
  for (const DemoPerson& person : demo_people()) {
    pins.insert(person.pin);
    if (person.role == domain::Role::inspector) skills.insert(person.skill.notices);
  }
  EXPECT_EQ(skills.size(), 3U);
  EXPECT_EQ(pins.size(), demo_people().size());
  EXPECT_EQ(demo_person(domain::Role::supervisor).role, domain::Role::supervisor);
  EXPECT_EQ(demo_person(domain::Role::quality_engineer).role, domain::Role::quality_engineer);
}

TEST_F(DemoFolder, EmptyOrMissingIsFree) {
  EXPECT_EQ(state_of(folder_), FolderState::free);
  EXPECT_EQ(state_of(folder_ / "not there"), FolderState::free);
}

TEST_F(DemoFolder, AnythingElseIsNotFree) {
  put("holiday.jpg");
  EXPECT_EQ(state_of(folder_), FolderState::something_else);
  EXPECT_EQ(state_of(folder_ / "holiday.jpg"), FolderState::something_else);
}

TEST_F(DemoFolder, ARealStationIsNoDemoPlant) {
  put("records.db");
  EXPECT_EQ(state_of(folder_), FolderState::something_else);
}

TEST_F(DemoFolder, APlantThatWasNotFinishedLeavesTheFolderFree) {
  const Status built = build_in_place(folder_, [](const fs::path& place) -> Status {
    std::ofstream(place / "records.db") << "half";
    return fail(Category::io, "the disk is full");
  });
  EXPECT_FALSE(built);
  EXPECT_EQ(state_of(folder_), FolderState::free);
}

TEST_F(DemoFolder, AFinishedPlantLiesInTheFolderItself) {
  const Status built = build_in_place(folder_, [](const fs::path& place) -> Status {
    fs::create_directories(place / "stations");
    std::ofstream(place / "records.db") << "whole";
    return {};
  });
  ASSERT_TRUE(built) << built.error().message;
  EXPECT_EQ(state_of(folder_), FolderState::plant);
  EXPECT_TRUE(fs::is_directory(folder_ / "stations"));
  EXPECT_FALSE(fs::exists(folder_ / "unfinished"));
}

}  // namespace
