// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_samples.h"

#include <algorithm>
#include <map>

#include "kiosk/commands/places.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {

namespace fs = std::filesystem;

namespace {

using vision::State;

// What the plant's catalogue calls a state of a component that is not the expected one.
std::string defect_of(const std::string& component, State state) {
  static const std::map<std::string, std::string> missing{
      {"seal", "seal_missing"}, {"lid", "lid_missing"}, {"ground_strap", "strap_missing"}};
  static const std::map<std::string, std::string> wrong{{"seal", "seal_wrong_part"},
                                                        {"lid", "lid_wrong_part"},
                                                        {"ground_strap", "strap_wrong_part"},
                                                        {"tag", "tag_of_other_type"}};
  static const std::map<std::string, std::string> misplaced{{"seal", "seal_not_seated"},
                                                            {"lid", "lid_not_seated"},
                                                            {"ground_strap", "strap_loose_end"},
                                                            {"tag", "turned"},
                                                            {"inlet_plug", "half_seated"},
                                                            {"outlet_plug", "half_seated"},
                                                            {"clip", "half_seated"}};
  const auto of = [&](const auto& names, const char* usual) {
    const auto found = names.find(component);
    return found == names.end() ? std::string(usual) : found->second;
  };
  if (state == State::absent) return of(missing, "missing");
  if (state == State::wrong) return of(wrong, "wrong_part");
  if (state == State::misplaced) return of(misplaced, "not_seated");
  return "not_wanted";
}

// The code on the tag of each picture; empty where there is none.
Result<std::map<std::string, std::string>> read_codes(const fs::path& path) {
  constexpr const char* header = "file,…,serial";
  auto rows = text::CsvReader::open(path.string());
  if (!rows) return tl::unexpected(rows.error());
  const auto file = rows->require("file", header);
  if (!file) return tl::unexpected(file.error());
  const auto code = rows->require("serial", header);
  if (!code) return tl::unexpected(code.error());
  std::map<std::string, std::string> codes;
  for (;;) {
    const auto more = rows->next();
    if (!more) return tl::unexpected(more.error());
    if (!*more) return codes;
    codes[std::string(rows->field(*file))] = std::string(rows->field(*code));
  }
}

std::string serial_in(const std::string& code) {
  const auto dash = code.find('-');
  return dash == std::string::npos ? std::string() : code.substr(dash + 1);
}

LineUnit unit_in(const vision::LabelledPicture& picture, const vision::TeachingFolder& folder,
                 const std::string& code) {
  LineUnit unit;
  unit.code = code;
  unit.serial = serial_in(code);
  unit.variant = folder.variants[picture.variant].name;
  for (std::size_t i = 0; i < picture.labels.size(); ++i) {
    const vision::Label& label = picture.labels[i];
    const std::string& component = folder.components[i].name;
    if (label.given && !label.ok)
      unit.faults.push_back({component, defect_of(component, label.state)});
  }
  return unit;
}

bool is_for_teaching(const vision::LabelledPicture& picture) {
  return picture.file.starts_with("teach-");
}

}  // namespace

Result<Samples> read_samples(const domain::Master& master) {
  const auto folder = beside_program("sample-images/coolant-pump");
  if (!folder) return tl::unexpected(folder.error());
  auto teaching = vision::read_teaching_folder(*folder);
  if (!teaching) return tl::unexpected(teaching.error());
  const auto codes = read_codes(*folder / "images.csv");
  if (!codes) return tl::unexpected(codes.error());
  Samples samples{*folder, {}, {}, {}};
  for (const vision::LabelledPicture& picture : teaching->pictures) {
    if (is_for_teaching(picture)) continue;
    const auto found = codes->find(picture.file);
    const std::string code = found == codes->end() ? "" : found->second;
    if (master.challenge_part(serial_in(code)))
      samples.parts.push_back({serial_in(code), code, picture.path});
    else
      samples.units.push_back({unit_in(picture, *teaching, code), picture.path});
  }
  // So that the whole path shows: of some units no build record is at hand, and of some good ones a
  // result has not come yet.
  int good = 0;
  for (std::size_t i = 0; i < samples.units.size(); ++i) {
    LineUnit& unit = samples.units[i].unit;
    unit.build_record = i % 9 != 4;
    if (unit.faults.empty() && ++good % 6 == 3) unit.late_result = domain::UpstreamTest::fill_mass;
  }
  std::erase_if(teaching->pictures,
                [](const vision::LabelledPicture& picture) { return !is_for_teaching(picture); });
  samples.teaching = std::move(*teaching);
  return samples;
}

Result<fs::path> camera_folder(const fs::path& plant, const Samples& samples) {
  const fs::path folder = plant / "camera";
  std::error_code error;
  fs::create_directories(folder, error);
  const auto copy = [&](const fs::path& picture, const char* order) {
    if (!error)
      fs::copy_file(picture, folder / (order + picture.filename().string()),
                    fs::copy_options::skip_existing, error);
  };
  for (const SamplePart& part : samples.parts) copy(part.picture, "1-part-");
  for (const SampleUnit& unit : samples.units) copy(unit.picture, "2-unit-");
  if (error) return fail(Category::io, folder.string() + ": " + error.message());
  return folder;
}

}  // namespace lastlook::commands
