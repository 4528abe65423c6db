// SPDX-License-Identifier: Apache-2.0
// What teaching leaves for the judge.
#pragma once

#include <string>
#include <vector>

#include "vision/align.h"
#include "vision/patch.h"
#include "vision/ridge.h"

namespace lastlook::vision {

// One question about a component, answered by a linear judge: is it right? is its place empty?
struct Question {
  LinearJudge judge;
  // Estimated probability of 'yes': 1 / (1 + exp(-(slope * score + offset))).
  double slope = 1, offset = 0;
  double yes_at = 0.9;  // at this probability and above: yes
  double no_at = 0.1;   // at this and below: no; unsure between
  bool real = true;     // taught on real examples of 'yes'
};

struct TaughtComponent {
  PatchFrame frame;
  std::vector<Question> right;       // "the right component, in place": one for each look
  std::vector<std::size_t> look_of;  // variant -> index into right
  Question empty;                    // "its place is empty"
  std::vector<std::string> code_of;  // variant -> what codes on it begin with; empty: no code
  cv::Mat code_place;                // 4 x 2 mean corners on the reference and ...
};

struct Taught {
  AlignmentReference alignment;
  cv::Mat thumbnail;  // the reference, small, for the light's gains
  std::vector<TaughtComponent> components;
};

double probability(const Question& question, double score);

}  // namespace lastlook::vision
