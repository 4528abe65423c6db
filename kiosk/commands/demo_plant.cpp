// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_plant.h"

#include <algorithm>
#include <array>

#include "kiosk/commands/places.h"

namespace lastlook::commands {

namespace fs = std::filesystem;

namespace {

constexpr const char* records_file = "records.db";
constexpr const char* unfinished = "unfinished";
// Says that what is in the folder is invented, so that the demo never plays in a real station.
constexpr const char* mark_file = "invented-plant.txt";
constexpr const char* mark_text =
    "An invented plant, made by 'lastlook demo' to try the program out.\n"
    "No person, company or product in it exists.\n";

fs::path building_place(const fs::path& folder) {
  return folder / unfinished;
}

Status move_into_place(const fs::path& from, const fs::path& to) {
  std::error_code error;
  std::vector<fs::path> names;
  for (const auto& entry : fs::directory_iterator(from, error))
    names.push_back(entry.path().filename());
  std::stable_partition(names.begin(), names.end(),
                        [](const fs::path& name) { return name != records_file; });
  for (const fs::path& name : names) {
    if (!error) fs::rename(from / name, to / name, error);
  }
  if (!error) fs::remove(from, error);
  if (error) return fail(Category::io, to.string() + ": " + error.message());
  return {};
}

}  // namespace

const std::vector<DemoPerson>& demo_people() {
  using enum domain::Role;
  // The PIN in the name, so that the sign-in of the demo shows it.
  static const std::vector<DemoPerson> people{
      {"p-6b1e40c7", "Alma Example, PIN 2101", inspector, "2101", {.98, .0003, 2.6}},
      {"p-a90f52d3", "Bruno Sample, PIN 2102", inspector, "2102", {.94, .0012, 2.2}},
      {"p-3c77e81a", "Cleo Specimen, PIN 2103", inspector, "2103", {.85, .0004, 1.7}},
      {"p-d0429b6e", "Dora Placeholder, PIN 3101", supervisor, "3101", {}},
      {"p-58f6a1c2", "Emil Template, PIN 4101", quality_engineer, "4101", {}},
  };
  return people;
}

const DemoPerson& demo_person(domain::Role role) {
  return *std::find_if(demo_people().begin(), demo_people().end(),
                       [&](const DemoPerson& person) { return person.role == role; });
}

Result<PlantDocument> demo_master() {
  const auto folder = beside_program("assets/plant");
  if (!folder) return tl::unexpected(folder.error());
  return read_plant_document(*folder / "coolant-pumps.json");
}

fs::path folder_of_ll2(const fs::path& plant) {
  return plant / "stations" / "LL-2";
}

FolderState state_of(const fs::path& folder) {
  std::error_code error;
  if (fs::exists(folder / records_file, error) && fs::exists(folder / mark_file, error))
    return FolderState::plant;
  if (!fs::exists(folder, error)) return FolderState::free;
  for (const auto& entry : fs::directory_iterator(folder, error))
    if (entry.path().filename() != unfinished) return FolderState::something_else;
  return error ? FolderState::something_else : FolderState::free;
}

Result<std::unique_ptr<records::Records>> create_station(const fs::path& folder,
                                                         const std::string& name,
                                                         const PlantDocument& plant,
                                                         domain::Clock& clock) {
  auto records = records::Records::create(folder, name, clock);
  if (!records) return records;
  const auto people = records::People::open(folder);
  if (!people) return tl::unexpected(people.error());
  for (const DemoPerson& person : demo_people())
    if (const Status added = (*people)->add({person.id, person.name, person.role}, person.pin);
        !added)
      return tl::unexpected(added.error());
  const std::string& approver = demo_person(domain::Role::quality_engineer).id;
  const std::array<domain::Happening, 1> adopted{
      domain::MasterAdopted{plant.master.revision, plant.text, approver}};
  if (const Status kept = (*records)->append(adopted, approver, clock.read()); !kept)
    return tl::unexpected(kept.error());
  return records;
}

Status build_in_place(const fs::path& folder, const std::function<Status(const fs::path&)>& build) {
  const fs::path place = building_place(folder);
  std::error_code error;
  fs::remove_all(place, error);  // of a run that was ended before it was done
  fs::create_directories(place, error);
  if (error) return fail(Category::io, place.string() + ": " + error.message());
  return write_file(place / mark_file, mark_text)
      .and_then([&] { return build(place); })
      .and_then([&] { return move_into_place(place, folder); });
}

}  // namespace lastlook::commands
