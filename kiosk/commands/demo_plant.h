// SPDX-License-Identifier: Apache-2.0
// The invented plant: its people, its master data, its two stations' folders. No person, company or
// product here exists.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "kiosk/commands/demo_inspector.h"
#include "kiosk/commands/plant_document.h"
#include "kiosk/records/people.h"
#include "kiosk/records/records.h"

namespace lastlook::commands {

struct DemoPerson {
  std::string id, name;
  domain::Role role = domain::Role::inspector;
  std::string pin;
  Skill skill;
};
const std::vector<DemoPerson>& demo_people();      // the inspectors first
const DemoPerson& demo_person(domain::Role role);  // the first one with this role

Result<PlantDocument> demo_master();  // assets/plant/coolant-pumps.json

// The plant's folder is the folder of station LL-1; the other station's lies within it.
std::filesystem::path folder_of_ll2(const std::filesystem::path& plant);

// What a folder is to the demo. A real station's folder is something else.
enum class FolderState { free, plant, something_else };
FolderState state_of(const std::filesystem::path& folder);

// A new station with master data and people.
Result<std::unique_ptr<records::Records>> create_station(const std::filesystem::path& folder,
                                                         const std::string& name,
                                                         const PlantDocument& plant,
                                                         domain::Clock& clock);

// Lets `build` make the plant in a folder within `folder` and moves it into place when it is whole;
// the records of LL-1 come last, so a folder with records is a finished plant.
Status build_in_place(const std::filesystem::path& folder,
                      const std::function<Status(const std::filesystem::path&)>& build);

}  // namespace lastlook::commands
