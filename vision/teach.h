// SPDX-License-Identifier: Apache-2.0
// From labelled pictures to a model, with what these pictures can and cannot prove.
#pragma once

#include <functional>
#include <stop_token>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "vision/model.h"
#include "vision/teaching_folder.h"

namespace lastlook::vision {

// A picture held out while the judge was taught.
struct HeldOutPicture {
  std::size_t picture = 0;  // index into TeachingFolder::pictures
  double score = 0;         // estimated probability of being right
};

struct ComponentReport {
  std::string name;
  // Pictures by what is physically there.
  int present = 0, absent = 0, wrong = 0, misplaced = 0;
  int good = 0, bad = 0;  // by the label's verdict
  // Scores of pictures held out while the judge was taught (a group of like light at a time).
  // bad counts made-up faults where no real one was given: see made_up.
  double worst_good = 0;
  double best_bad = 0;
  std::string worst_good_file, best_bad_file;
  // The same, picture by picture: the worst good one first, the best bad one first. Of several made
  // up from one picture the best stands.
  std::vector<HeldOutPicture> good_ones, bad_ones;
  bool made_up = false;  // no faulty picture: faults were made from the good ones
  int good_stopped = 0, good_unsure = 0, bad_passed = 0, bad_unsure = 0;  // held out
  // One-sided 95 % exact binomial limits: what this many pictures can prove at all. 1 without any.
  double miss_rate_limit = 1;
  double false_alarm_limit = 1;
  int looks = 1;            // differently looking right states that variants call for
  bool turns = false;       // right at any turn
  std::string code_prefix;  // of the code on it, if it carries one ("CP210 | CP210N")
};

struct TeachResult {
  Model model;
  std::vector<ComponentReport> components;
  int light_groups = 1;            // groups of like light found among the pictures
  std::vector<std::string> notes;  // skipped pictures and the like, one sentence each
};

// From any thread, never two at a time. total: pictures and components.
using Progress = std::function<void(int done, int total)>;

// Errors: bad_input (no good picture of a component, a flat component, sizes that differ); refused:
// it was told to stop, which takes as long as one component.
Result<TeachResult> teach(const TeachingFolder& folder, const Progress& progress = {},
                          const std::stop_token& stop = {});

}  // namespace lastlook::vision
