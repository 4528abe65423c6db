// SPDX-License-Identifier: Apache-2.0
#include "vision/teaching_folder.h"

#include <algorithm>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "vision/picture_file.h"

namespace lastlook::vision {
namespace {

using nlohmann::json;
namespace fs = std::filesystem;

Result<std::string> read_text(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return fail(Category::not_found, path.string() + ": cannot be opened for reading");
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

// One row of comma-separated values; a field may be quoted, a doubled quote stands for one.
std::vector<std::string> split_row(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"') {
      fields.back() += line[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else if (c != '\r') {
      fields.back() += c;
    }
  }
  return fields;
}

Status read_components(const fs::path& path, TeachingFolder& folder) {
  Result<std::string> text = read_text(path);
  if (!text) return tl::unexpected(text.error());
  const auto wrong = [&](const std::string& what) {
    return fail(Category::bad_input, path.string() + ": " + what);
  };
  try {
    const json all = json::parse(*text);
    folder.picture_px = {all.at("image").at(0).get<int>(), all.at("image").at(1).get<int>()};
    folder.reference = path.parent_path() / all.value("reference", "reference.jpg");
    for (const json& c : all.at("components")) {
      folder.components.push_back({c.at("name").get<std::string>(),
                                   {c.at("x").get<double>(), c.at("y").get<double>(),
                                    c.at("w").get<double>(), c.at("h").get<double>()}});
      const Component& last = folder.components.back();
      const cv::Rect2d view(0, 0, folder.picture_px.width, folder.picture_px.height);
      if (last.box_px.width < least_box_px || last.box_px.height < least_box_px ||
          (last.box_px & view).area() <= 0)
        return wrong("component " + last.name + ": expected a box of at least " +
                     std::to_string(least_box_px) + " x " + std::to_string(least_box_px) +
                     " pixels within the picture");
    }
    for (const auto& [name, variant] : all.at("variants").items()) {
      Variant v{name, {}};
      for (const Component& component : folder.components) {
        const std::string expected = variant.at("expected").at(component.name).get<std::string>();
        if (expected != "present" && expected != "absent")
          return wrong("variant " + name + ", component " + component.name +
                       ": expected present or absent, found " + expected);
        v.expected.push_back(expected == "present" ? Expected::present : Expected::absent);
      }
      folder.variants.push_back(std::move(v));
    }
  } catch (const json::exception& error) {
    return wrong(std::string("not as expected: ") + error.what());
  }
  if (folder.components.empty()) return wrong("expected at least one component");
  if (folder.variants.empty()) return wrong("expected at least one variant");
  return {};
}

// Columns of labels.csv by name.
struct LabelColumns {
  std::size_t file = 0, variant = 0, component = 0, state = 0, ok = 0, most = 0;
};

Result<LabelColumns> find_columns(const std::string& path, const std::vector<std::string>& header) {
  LabelColumns columns;
  const std::pair<const char*, std::size_t*> wanted[] = {{"file", &columns.file},
                                                         {"variant", &columns.variant},
                                                         {"component", &columns.component},
                                                         {"state", &columns.state},
                                                         {"ok", &columns.ok}};
  for (const auto& [name, place] : wanted) {
    const auto at = std::find(header.begin(), header.end(), name);
    if (at == header.end())
      return fail(Category::bad_input, path + ", line 1: expected a column named " + name);
    *place = static_cast<std::size_t>(at - header.begin());
    columns.most = std::max(columns.most, *place);
  }
  return columns;
}

Result<State> state_named(const std::string& name) {
  if (name == "present") return State::present;
  if (name == "absent") return State::absent;
  if (name == "wrong" || name == "not_right") return State::wrong;
  if (name == "misplaced") return State::misplaced;
  return fail(Category::bad_input, "expected present, absent, wrong or misplaced, found " + name);
}

template <class T>
Result<std::size_t> index_of(const std::vector<T>& all, const std::string& name) {
  for (std::size_t i = 0; i < all.size(); ++i)
    if (all[i].name == name) return i;
  std::string known;
  for (const T& one : all) known += (known.empty() ? "" : ", ") + one.name;
  return fail(Category::bad_input, "expected one of " + known + ", found " + name);
}

struct LabelReader {
  const fs::path& path;
  TeachingFolder& folder;
  LabelColumns columns;
  std::map<std::string, std::size_t> picture_by_file = {};
  std::map<std::string, bool> missing = {};

  Status row(std::size_t line, const std::vector<std::string>& fields) {
    const auto wrong = [&](const char* column, const std::string& what) {
      return fail(Category::bad_input, path.string() + ", line " + std::to_string(line) +
                                           ", column " + column + ": " + what);
    };
    if (fields.size() <= columns.most) return wrong("ok", "the row ends too early");
    const Result<std::size_t> variant = index_of(folder.variants, fields[columns.variant]);
    if (!variant) return wrong("variant", variant.error().message);
    const Result<std::size_t> component = index_of(folder.components, fields[columns.component]);
    if (!component) return wrong("component", component.error().message);
    const Result<State> state = state_named(fields[columns.state]);
    if (!state) return wrong("state", state.error().message);
    const std::string& ok = fields[columns.ok];
    if (ok != "0" && ok != "1") return wrong("ok", "expected 1 or 0, found " + ok);
    const auto found = find(fields[columns.file], *variant);
    if (!found) return tl::unexpected(found.error());
    LabelledPicture* const picture = *found;
    if (picture == nullptr) return {};
    if (picture->variant != *variant) return wrong("variant", "one picture, two variants");
    picture->labels[*component] = {*state, ok == "1", true};
    return {};
  }

  // The picture of that name; null where its file is not there.
  Result<LabelledPicture*> find(const std::string& file, std::size_t variant) {
    if (missing.contains(file)) return nullptr;
    const auto known = picture_by_file.find(file);
    if (known != picture_by_file.end()) return &folder.pictures[known->second];
    const fs::path at = path.parent_path() / file;
    const auto there = is_there(at);
    if (!there) return tl::unexpected(there.error());
    if (!*there) {
      missing[file] = true;
      return nullptr;
    }
    picture_by_file[file] = folder.pictures.size();
    folder.pictures.push_back({at, file, variant, std::vector<Label>(folder.components.size())});
    return &folder.pictures.back();
  }
};

Status read_labels(const fs::path& path, TeachingFolder& folder) {
  Result<std::string> text = read_text(path);
  if (!text) return tl::unexpected(text.error());
  std::istringstream lines(*text);
  std::string line;
  if (!std::getline(lines, line))
    return fail(Category::bad_input, path.string() + ", line 1: expected a row of column names");
  if (line.starts_with("\xEF\xBB\xBF")) line.erase(0, 3);
  const Result<LabelColumns> columns = find_columns(path.string(), split_row(line));
  if (!columns) return tl::unexpected(columns.error());
  LabelReader reader{path, folder, *columns};
  for (std::size_t number = 2; std::getline(lines, line); ++number) {
    if (line.empty() || line == "\r") continue;
    if (Status status = reader.row(number, split_row(line)); !status) return status;
  }
  if (const std::size_t n = reader.missing.size(); n > 0)
    folder.notes.push_back(
        reader.missing.begin()->first +
        (n > 1 ? " and " + std::to_string(n - 1) + " more pictures are" : " is") +
        " listed in labels.csv but not in the folder; skipped");
  return {};
}

}  // namespace

Result<TeachingFolder> read_teaching_folder(const fs::path& path) {
  TeachingFolder folder;
  if (Status status = read_components(path / "components.json", folder); !status)
    return tl::unexpected(status.error());
  const auto reference = is_there(folder.reference);
  if (!reference) return tl::unexpected(reference.error());
  if (!*reference)
    return fail(Category::not_found,
                folder.reference.string() + ": the reference picture is not there");
  if (Status status = read_labels(path / "labels.csv", folder); !status)
    return tl::unexpected(status.error());
  return folder;
}

}  // namespace lastlook::vision
