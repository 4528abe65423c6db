// SPDX-License-Identifier: Apache-2.0
// The camera's opinion on each component of one picture. An opinion: a person decides.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/result.h"
#include "vision/model.h"

namespace lastlook::vision {

enum class Opinion {
  present,    // the right component, in place
  absent,     // its place is empty
  not_right,  // something is there, but wrong or misplaced
  unsure,     // cannot be known from this picture
};
enum class Conforming { yes, no, unsure };

// Why. Each uses some of the numbers in Reason; the others are 0.
enum class ReasonCode {
  as_taught,        // nothing differs beyond what good ones show
  empty,            // looks like the empty place
  not_expected,     // the right component, where the variant has none
  colour_differs,   // colour: distance from the taught colour, in taught standard deviations
  turned,           // turn_deg
  shifted,          // dx_px, dy_px
  shape_differs,    // shape: distance of edges and texture, in taught standard deviations
  other_code,       // the code on it belongs to another type; see TagReading
  covered,          // covered_share of the place does not show what the rest does
  too_dark,         // brightness 0..255 of the place
  too_bright,       // brightness 0..255 of the place
  outside_picture,  // the component's place is not wholly in view
  between,          // between the worst good one and the best bad one that were taught
  no_unit,          // the unit was not found in the picture
};

struct Reason {
  ReasonCode code = ReasonCode::as_taught;
  double dx_px = 0, dy_px = 0;  // how far from its place, in the picture's pixels
  double turn_deg = 0;          // counter-clockwise
  double colour = 0;
  double shape = 0;
  double covered_share = 0;
  double brightness = 0;
};

struct ComponentOpinion {
  std::size_t component = 0;  // index into Model::components
  Opinion opinion = Opinion::unsure;
  Conforming conforming = Conforming::unsure;  // against what the variant expects
  double score = 0.5;  // estimated probability of conforming; finite, in [0, 1]
  cv::Rect2d box_px;   // where the component belongs in this picture (upright)
  Reason reason;
  double ms = 0;  // time spent on this component
  // Where it differs: 8-bit, 0 (as taught) to 255, spread over overlay_box_px.
  // Empty where there is nothing to show.
  cv::Mat overlay;
  cv::Rect2d overlay_box_px;
};

struct Alignment {
  bool found = false;
  cv::Matx23d to_picture{1, 0, 0, 0, 1, 0};  // reference pixels -> picture pixels
  double residual_px = 0;                    // root mean square over the anchors that agree
  double inlier_share = 0;                   // of the anchors looked for, 0..1
  double spread_px = 0;                      // standard error at the worst corner (similarity.h)
  double shift_px = 0, turn_deg = 0, scale = 1;
};

struct Judgement {
  Alignment alignment;
  std::vector<ComponentOpinion> components;  // all of the model's, in its order
  std::optional<std::string> code_text;      // of the code inside a component that carries one
  double align_ms = 0, total_ms = 0;
};

// picture: 8-bit BGR or grey of any size with the aspect of the reference. Where the unit is not
// found every opinion is unsure. Errors: bad_input (a picture that is empty, of another shape or
// depth; an unknown variant: the sentence lists the known ones).
Result<Judgement> judge(const Model& model, const cv::Mat& picture, std::string_view variant);

const char* name_of(Opinion opinion);        // "present" "absent" "not_right" "unsure"
const char* name_of(ReasonCode code);        // as spelled above
const char* name_of(Conforming conforming);  // "yes" "no" "unsure"

}  // namespace lastlook::vision
