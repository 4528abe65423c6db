// SPDX-License-Identifier: Apache-2.0
// A folder to teach from: components.json, labels.csv, the reference picture and the others.
//
//   components.json  {"image":[w,h],"reference":"reference.jpg",
//                     "components":[{"name","x","y","w","h"}…],
//                     "variants":{NAME:{"expected":{COMPONENT:"present"|"absent"}}}}
//   labels.csv       file,variant,component,state,…,ok   state: present absent wrong misplaced
//                    (wrong and misplaced are both not_right); other columns are not read
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "vision/model.h"

namespace lastlook::vision {

// Each side of a component's box at least; less holds nothing to recognise.
inline constexpr int least_box_px = 8;

enum class State { present, absent, wrong, misplaced };

struct Label {
  State state = State::present;
  bool ok = false;
  bool given = false;  // false: this picture says nothing of this component
};

struct LabelledPicture {
  std::filesystem::path path;
  std::string file;           // as in labels.csv
  std::size_t variant = 0;    // index into variants
  std::vector<Label> labels;  // one for each component
};

struct TeachingFolder {
  cv::Size picture_px;
  std::filesystem::path reference;
  std::vector<Component> components;
  std::vector<Variant> variants;
  std::vector<LabelledPicture> pictures;  // those whose file is there
  std::vector<std::string> notes;         // listed but not there: skipped, one sentence each
};

// Errors: not_found (a file of the three is missing), bad_input (file, line, column, expected).
Result<TeachingFolder> read_teaching_folder(const std::filesystem::path& folder);

}  // namespace lastlook::vision
