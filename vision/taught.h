// SPDX-License-Identifier: Apache-2.0
// What teaching leaves for the judge.
#pragma once

#include <string>
#include <vector>

#include "vision/align.h"
#include "vision/evidence.h"
#include "vision/patch.h"
#include "vision/ridge.h"

namespace lastlook::vision {

// One question about a component, answered by what speaks for 'yes'. Is it right? Is its place
// empty?
struct Question {
  LinearJudge judge;
  Normal normal;
  std::vector<cv::Mat> templates;
  // Beyond what right ones commonly get, the linear judge says no more: a strange part may lie far
  // on the good side of its plane and yet look like nothing that was taught.
  double most_linear = 1;
  Evidence usual;   // mean of known 'yes' ones, each judged without its light
  Evidence spread;  // their standard deviation
  // Estimated probability of 'yes': 1 / (1 + exp(-logit)), where
  // logit = weights . evidence + excess_weights . excess + offset.
  Evidence weights;
  Evidence excess_weights;
  double offset = 0;
  double yes_at = 0.9;  // at this probability and above: yes
  double no_at = 0.1;   // at this and below: no; unsure between
  bool real = true;     // taught on real examples of 'yes'
};

struct Answer {
  Evidence evidence;
  Match match;
  double probability = 0.5;
};
// row: as describe() gives it; view: as matching_view() gives it.
Answer ask(const Question& question, const PatchFrame& frame, const cv::Mat& row,
           const cv::Mat& view);
// How far each kind of evidence lies beyond the usual on its bad side: sqrt(1 + x^2) - 1, x in
// spreads; 0 on the good side and for the linear judge. One kind far beyond is enough to say no,
// whatever the others say.
Evidence excess(const Question& question, const Evidence& evidence);
double probability(const Question& question, const Evidence& evidence);

struct TaughtComponent {
  PatchFrame frame;
  std::vector<Question> right;       // "the right component, in place": one for each look
  std::vector<std::size_t> look_of;  // variant -> index into right
  Question empty;                    // "its place is empty"
  std::vector<std::string> code_of;  // variant -> how a code on it begins; empty: any or none
  cv::Rect2d code_box_px;            // where the code is looked for, on the reference; empty: none
};

struct Taught {
  AlignmentReference alignment;
  cv::Mat thumbnail;  // the reference, small, for the light's gains
  std::vector<TaughtComponent> components;
  // Of the reference, for the health of pictures; see vision/health.h.
  double median_brightness = 0;
  double clipped_share = 0;
  double sharpness = 0;
  cv::Mat contrast;
};

}  // namespace lastlook::vision
