// SPDX-License-Identifier: Apache-2.0
// What speaks for 'yes' to one question about a component, as a few numbers, and what they weigh.
//
//   linear      the linear judge's score
//   edges       how far the directions of edges are from those of known 'yes' ones
//   colour      how far the colour is
//   brightness  how far the distribution of light and dark is
//   match       best normalised correlation with a template, over small shifts
//   shift       how far from its place the best match lies
//
// The distances are root mean squares over the worst cells, in standard deviations of known ones.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/patch.h"
#include "vision/ridge.h"

namespace lastlook::vision {

enum EvidenceKind { linear, edges, colour, brightness, match, shift, evidence_kinds };
using Evidence = cv::Vec<double, evidence_kinds>;
// +1: more speaks for 'yes'; -1: more speaks against.
constexpr std::array<double, evidence_kinds> sense = {1, -1, -1, -1, 1, -1};

// How the known 'yes' ones look: mean and 1/sd of describe()'s numbers.
struct Normal {
  cv::Mat mean;  // one row of 32-bit floats
  cv::Mat inverse_sd;
  // What each cell counts: 1 within the component's box, less outside.
  cv::Mat cell_weight;
};
Normal learn_normal(const std::vector<cv::Mat>& rows, const PatchFrame& frame);
// Squared distance of each cell for the three kinds: 3 x cells, 32-bit float.
cv::Mat cell_distances(const Normal& normal, const cv::Mat& row);
// Sets edges, colour and brightness.
void measure_distances(Evidence& evidence, const Normal& normal, const cv::Mat& row);

// A patch as templates compare it: the square root of grey, at half the patch's size.
cv::Mat matching_view(const cv::Mat& patch);
// Takes away what shines within the box: highlights stay with the lamp when the part turns.
void dim_highlights(cv::Mat& view, const cv::Rect2d& box);
// As matching_view, dimmed where the part turns freely.
cv::Mat matching_view(const cv::Mat& patch, const PatchFrame& frame);
struct Match {
  double correlation = 0;
  cv::Point2d shift;  // patch pixels; positive x: found right of its place
};
// The component's box in a matching view.
cv::Rect2d box_in_view(const PatchFrame& frame);
// view: as matching_view gives it; a part that turns freely is turned first; templates: 32-bit
// float, cut from matching views of known ones. Without templates the correlation is 0.
Match best_match(const std::vector<cv::Mat>& templates, const PatchFrame& frame,
                 const cv::Mat& view);
cv::Size template_size(const PatchFrame& frame);
// What of a matching view is a template: the component's box. Errors: bad_input (flat).
Result<cv::Mat> cut_template(const PatchFrame& frame, const cv::Mat& view);

}  // namespace lastlook::vision
