// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/teaching_shots.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>

#include "kiosk/records/durable.h"
#include "kiosk/text/csv.h"
#include "vision/picture_file.h"
#include "vision/teaching_folder.h"

namespace lastlook::capture {

namespace fs = std::filesystem;
using namespace domain;
using Json = nlohmann::ordered_json;

namespace {

constexpr const char* components_file = "components.json";
constexpr const char* labels_file = "labels.csv";
constexpr const char* reference_file = "reference.jpg";
constexpr int jpeg_quality = 95;

Status write_text(const fs::path& file, const std::string& text) {
  return records::write_durably(file,
                                {reinterpret_cast<const unsigned char*>(text.data()), text.size()});
}

Status write_picture(const fs::path& file, const cv::Mat& picture) {
  std::vector<unsigned char> jpeg;
  if (picture.empty() ||
      !cv::imencode(".jpg", picture, jpeg, {cv::IMWRITE_JPEG_QUALITY, jpeg_quality}))
    return fail(Category::io, file.string() + ": the picture cannot be written as JPEG");
  return records::write_durably(file, jpeg);
}

Json components_json(const TeachingShots& shots, const Master& master) {
  Json all;
  all["image"] = {shots.picture_px.width, shots.picture_px.height};
  all["reference"] = reference_file;
  all["components"] = Json::array();
  for (const TeachingMark& mark : shots.marks) {
    const double w = shots.picture_px.width, h = shots.picture_px.height;
    all["components"].push_back({{"name", mark.component},
                                 {"x", std::round(mark.box.x * w)},
                                 {"y", std::round(mark.box.y * h)},
                                 {"w", std::round(mark.box.w * w)},
                                 {"h", std::round(mark.box.h * h)}});
  }
  all["variants"] = Json::object();
  for (const std::string& variant : variants_of(master, shots.shots)) {
    Json expected = Json::object();
    for (const TeachingMark& mark : shots.marks)
      expected[mark.component] = to_word(expected_at(master, variant, mark.component));
    all["variants"][variant]["expected"] = expected;
  }
  return all;
}

std::string labels_csv(const TeachingShots& shots, const Master& master) {
  std::string text = "file,variant,component,state,expected,ok\n";
  for (const TeachingShot& shot : shots.shots)
    for (const TeachingLabel& label : labels_of(master, shot, shots.marks))
      text += fmt::format("{},{},{},{},{},{}\n", text::csv_field(shot.file),
                          text::csv_field(shot.variant), text::csv_field(label.component),
                          to_word(label.seen), to_word(label.expected), label.ok ? 1 : 0);
  return text;
}

// Cut off between the two, no label may name what components.json does not: what is added goes
// there first, what is taken away goes from the labels first.
Status write_both(const fs::path& folder, const TeachingShots& shots, const Master& master,
                  bool fewer) {
  const auto labels = [&] { return write_text(folder / labels_file, labels_csv(shots, master)); };
  const auto components = [&] {
    return write_text(folder / components_file, components_json(shots, master).dump(1));
  };
  return fewer ? labels().and_then(components) : components().and_then(labels);
}

Result<std::string> free_name(const fs::path& folder) {
  for (int n = 1;; ++n) {
    std::string name = fmt::format("shot-{:03}.jpg", n);
    const auto taken = vision::is_there(folder / name);
    if (!taken) return tl::unexpected(taken.error());
    if (!*taken) return name;
  }
}

Status read_marks(const fs::path& file, TeachingShots& shots) {
  const auto there = vision::is_there(file);
  if (!there) return tl::unexpected(there.error());
  if (!*there) return {};
  std::ifstream in(file, std::ios::binary);
  if (!in) return fail(Category::io, file.string() + ": cannot be opened for reading");
  const auto wrong = [&](const std::string& what) {
    return fail(Category::bad_input, file.string() + ": " + what);
  };
  try {
    const Json all = Json::parse(in);
    shots.picture_px = {all.at("image").at(0).get<int>(), all.at("image").at(1).get<int>()};
    if (shots.picture_px.width <= 0 || shots.picture_px.height <= 0)
      return wrong("expected the reference picture's size in pixels");
    const double w = shots.picture_px.width, h = shots.picture_px.height;
    for (const Json& c : all.at("components"))
      shots.marks.push_back({c.at("name").get<std::string>(),
                             {c.at("x").get<double>() / w, c.at("y").get<double>() / h,
                              c.at("w").get<double>() / w, c.at("h").get<double>() / h}});
  } catch (const Json::exception& error) {
    return wrong(std::string("not as expected: ") + error.what());
  }
  return {};
}

Result<Seen> seen_named(std::string_view word) {
  for (const Seen seen : {Seen::present, Seen::absent, Seen::wrong, Seen::misplaced})
    if (to_word(seen) == word) return seen;
  return fail(Category::bad_input, "");
}

// What is there is the truth; whether that is a fault the master data say, as they now are.
Status read_labels(const fs::path& file, const Master& master, TeachingShots& shots) {
  const auto there = vision::is_there(file);
  if (!there) return tl::unexpected(there.error());
  if (!*there) return {};
  auto rows = text::CsvReader::open(file.string());
  if (!rows) return tl::unexpected(rows.error());
  constexpr std::string_view header = "file,variant,component,state,expected,ok";
  std::array<std::size_t, 4> at{};
  constexpr std::array<std::string_view, 4> names{"file", "variant", "component", "state"};
  for (std::size_t i = 0; i < names.size(); ++i) {
    const auto column = rows->require(names[i], header);
    if (!column) return tl::unexpected(column.error());
    at[i] = *column;
  }
  for (;;) {
    const auto more = rows->next();
    if (!more) return tl::unexpected(more.error());
    if (!*more) return {};
    const std::string name(rows->field(at[0]));
    auto shot = std::ranges::find(shots.shots, name, &TeachingShot::file);
    if (shot == shots.shots.end())
      shot = shots.shots.insert(shot, {name, std::string(rows->field(at[1])), {}});
    const auto seen = seen_named(rows->field(at[3]));
    if (!seen) return rows->expected(at[3], "present, absent, wrong or misplaced");
    const KnownFault fault{std::string(rows->field(at[2])), *seen};
    const bool wanted = expected_at(master, shot->variant, fault.component) == Expectation::present;
    if (fault.seen != (wanted ? Seen::present : Seen::absent)) shot->faults.push_back(fault);
  }
}

// Rows whose picture is not there. And of a place that is marked no more nothing is known but that
// these units are not good.
Status drop_unusable(const fs::path& folder, TeachingShots& shots) {
  const auto unmarked = [&](const KnownFault& fault) {
    return std::ranges::count(shots.marks, fault.component, &TeachingMark::component) == 0;
  };
  std::vector<TeachingShot> usable;
  for (TeachingShot& shot : shots.shots) {
    const auto there = vision::is_there(folder / shot.file);
    if (!there) return tl::unexpected(there.error());
    if (*there && std::ranges::none_of(shot.faults, unmarked)) usable.push_back(std::move(shot));
  }
  shots.shots = std::move(usable);
  return {};
}

}  // namespace

Result<TeachingShots> read_shots(const fs::path& folder, const Master& master) {
  TeachingShots shots;
  if (Status done = read_marks(folder / components_file, shots); !done)
    return tl::unexpected(done.error());
  if (Status done = read_labels(folder / labels_file, master, shots); !done)
    return tl::unexpected(done.error());
  const auto reference = vision::is_there(folder / reference_file);
  if (!reference) return tl::unexpected(reference.error());
  shots.reference = shots.picture_px.width > 0 && *reference;
  if (Status done = drop_unusable(folder, shots); !done) return tl::unexpected(done.error());
  return shots;
}

Status keep_reference(const fs::path& folder, TeachingShots& shots, const Master& master,
                      const cv::Mat& picture) {
  if (!shots.shots.empty() && picture.size() != shots.picture_px)
    return fail(
        Category::bad_input,
        fmt::format("the camera gives {} x {} pixels, the pictures taken so far have {} x "
                    "{}: start afresh",
                    picture.cols, picture.rows, shots.picture_px.width, shots.picture_px.height));
  // So that no place that may be marked is too small to be learned.
  constexpr int least_px = static_cast<int>(vision::least_box_px / least_mark);
  if (std::min(picture.cols, picture.rows) < least_px)
    return fail(Category::bad_input,
                fmt::format("expected a picture of at least {0} x {0} pixels, found {1} x {2}",
                            least_px, picture.cols, picture.rows));
  if (Status done = records::make_folder(folder); !done) return done;
  if (Status done = write_picture(folder / reference_file, picture); !done) return done;
  TeachingShots after = shots;
  after.reference = true;
  after.picture_px = picture.size();
  if (Status done = write_both(folder, after, master, false); !done) return done;
  shots = std::move(after);
  return {};
}

Status keep_shot(const fs::path& folder, TeachingShots& shots, const Master& master,
                 const cv::Mat& picture, TeachingShot shot) {
  if (!shots.reference || picture.size() != shots.picture_px)
    return fail(
        Category::bad_input,
        fmt::format("expected a picture of {} x {} pixels as the reference has, found {} x "
                    "{}",
                    shots.picture_px.width, shots.picture_px.height, picture.cols, picture.rows));
  auto name = free_name(folder);
  if (!name) return tl::unexpected(name.error());
  shot.file = std::move(*name);
  if (Status done = write_picture(folder / shot.file, picture); !done) return done;
  std::vector<TeachingShot> taken = shots.shots;
  taken.push_back(std::move(shot));
  return keep_labels(folder, shots, master, shots.marks, std::move(taken));
}

Status keep_labels(const fs::path& folder, TeachingShots& shots, const Master& master,
                   std::vector<TeachingMark> marks, std::vector<TeachingShot> taken) {
  TeachingShots after = shots;
  after.marks = std::move(marks);
  after.shots = std::move(taken);
  const bool fewer =
      after.marks.size() < shots.marks.size() || after.shots.size() < shots.shots.size();
  if (Status done = write_both(folder, after, master, fewer); !done) return done;
  shots = std::move(after);
  return {};
}

Status set_aside(const fs::path& folder) {
  const auto there = vision::is_there(folder);
  if (!there) return tl::unexpected(there.error());
  if (!*there) return {};
  for (int n = 1;; ++n) {
    const fs::path aside = fmt::format("{}-{}", folder.string(), n);
    const auto taken = vision::is_there(aside);
    if (!taken) return tl::unexpected(taken.error());
    if (*taken) continue;
    std::error_code error;
    fs::rename(folder, aside, error);
    if (error) return fail(Category::io, folder.string() + ": " + error.message());
    return records::sync_to_disk(folder.parent_path());
  }
}

}  // namespace lastlook::capture
