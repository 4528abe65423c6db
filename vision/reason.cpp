// SPDX-License-Identifier: Apache-2.0
#include "vision/reason.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/correlate.h"
#include "vision/features.h"

namespace lastlook::vision {
namespace {

constexpr double darkest = 10;  // mean grey level of the place, before gains
constexpr double brightest = 250;
constexpr double least_in_view = 0.85;  // share of the box
constexpr double covered_from = 0.6;    // share of the surroundings that show something else
constexpr float other_cell = 20.0F;     // squared distance of a cell that shows something else
constexpr double least_turn_deg = 2.5;
constexpr double least_shift_px = 3;
constexpr double known_match = 0.55;  // a correlation at which the part was recognised
constexpr float overlay_from = 3.0F;  // standard deviations where the overlay begins ...
constexpr float overlay_full = 9.0F;  // ... and is full

double place_brightness(const TaughtComponent& taught, const Sighted& sighted) {
  const cv::Rect inner = cv::Rect(taught.frame.inner) & cv::Rect({}, sighted.patch.size());
  const cv::Scalar mean = cv::mean(sighted.patch(inner));
  return 0.114 * mean[0] / static_cast<double>(sighted.gains[0]) +
         0.587 * mean[1] / static_cast<double>(sighted.gains[1]) +
         0.299 * mean[2] / static_cast<double>(sighted.gains[2]);
}

// Of the cells around the component's box, those that look like nothing that was taught. A faulty
// part leaves its surroundings as they were; a hand or a sleeve does not.
double covered_share(const Question& asked, const cv::Mat& row) {
  const cv::Mat distances = cell_distances(asked.normal, row);
  int around = 0;
  int other = 0;
  for (int i = 0; i < distances.cols; ++i) {
    const float weight = asked.normal.cell_weight.at<float>(i);
    if (weight > 0.65F || weight <= 0) continue;
    ++around;
    const float most =
        std::max({distances.at<float>(0, i), distances.at<float>(1, i), distances.at<float>(2, i)});
    if (most / weight > other_cell) ++other;
  }
  return around > 0 ? static_cast<double>(other) / around : 0.0;
}

struct Turn {
  double deg = 0;  // counter-clockwise, of the part against its place
  double gain = 0;
  double correlation = 0;
};

// The turn at which the best template fits best.
Turn find_turn(const TaughtComponent& taught, const Question& asked, const Sighted& sighted) {
  const cv::Point2f centre(static_cast<float>(sighted.view.cols) / 2,
                           static_cast<float>(sighted.view.rows) / 2);
  Turn best;
  double upright = 0;
  cv::Mat turned;
  for (int deg = -18; deg <= 18; deg += 2) {
    cv::warpAffine(sighted.view, turned, cv::getRotationMatrix2D(centre, -deg, 1.0),
                   sighted.view.size(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
    const double value = best_match(asked.templates, taught.frame, turned).correlation;
    if (deg == 0) upright = value;
    if (value > best.correlation) best = {static_cast<double>(deg), 0, value};
  }
  best.gain = best.correlation - upright;
  return best;
}

// The kind of evidence that lies furthest, in its weight, from that of usual 'yes' ones.
EvidenceKind worst_kind(const Question& asked, const Evidence& evidence) {
  EvidenceKind worst = linear;
  double least = 0;
  for (const EvidenceKind kind : {edges, colour, brightness, match, shift}) {
    const double push = asked.weights[kind] * (evidence[kind] - asked.usual[kind]);
    if (push < least) {
      least = push;
      worst = kind;
    }
  }
  return worst;
}

}  // namespace

std::optional<Reason> unfit_reason(const TaughtComponent& taught, const Question& asked,
                                   const Sighted& sighted) {
  Reason reason;
  reason.brightness = place_brightness(taught, sighted);
  if (sighted.in_view_share < least_in_view) {
    reason.code = ReasonCode::outside_picture;
  } else if (reason.brightness < darkest) {
    reason.code = ReasonCode::too_dark;
  } else if (reason.brightness > brightest) {
    reason.code = ReasonCode::too_bright;
  } else {
    if (asked.normal.mean.empty()) return std::nullopt;
    reason.covered_share = covered_share(asked, sighted.row);
    if (reason.covered_share < covered_from) return std::nullopt;
    reason.code = ReasonCode::covered;
  }
  return reason;
}

Reason reason_against(const TaughtComponent& taught, const Question& asked, const Answer& answer,
                      const Sighted& sighted) {
  Reason reason;
  reason.colour = answer.evidence[colour];
  reason.shape = answer.evidence[edges];
  reason.brightness = place_brightness(taught, sighted);
  const double f = sighted.picture_px_per_patch;
  const double c = std::cos(sighted.turn_rad);
  const double s = std::sin(sighted.turn_rad);
  reason.dx_px = f * (c * answer.match.shift.x - s * answer.match.shift.y);
  reason.dy_px = f * (s * answer.match.shift.x + c * answer.match.shift.y);
  if (worst_kind(asked, answer.evidence) == colour) {
    reason.code = ReasonCode::colour_differs;
    return reason;
  }
  reason.code = ReasonCode::shape_differs;
  const Turn turn = taught.frame.turns ? Turn() : find_turn(taught, asked, sighted);
  if (std::abs(turn.deg) >= least_turn_deg && turn.gain > 0.08 && turn.correlation > known_match) {
    reason.code = ReasonCode::turned;
    reason.turn_deg = turn.deg;
  } else if (std::hypot(reason.dx_px, reason.dy_px) >= least_shift_px &&
             answer.match.correlation > known_match) {
    reason.code = ReasonCode::shifted;
  }
  return reason;
}

cv::Mat overlay_of(const TaughtComponent& taught, const Question& asked, const Sighted& sighted) {
  if (asked.normal.mean.empty()) return {};
  const cv::Mat distances = cell_distances(asked.normal, sighted.row);
  cv::Mat heat(taught.frame.size.height / cell_side, taught.frame.size.width / cell_side, CV_8U);
  for (int i = 0; i < distances.cols; ++i) {
    const float most =
        std::max({distances.at<float>(0, i), distances.at<float>(1, i), distances.at<float>(2, i)});
    const float level = (std::sqrt(most) - overlay_from) / (overlay_full - overlay_from);
    heat.at<unsigned char>(i / heat.cols, i % heat.cols) =
        static_cast<unsigned char>(255.0F * std::clamp(level, 0.0F, 1.0F));
  }
  if (cv::countNonZero(heat) == 0) return {};
  cv::Mat overlay;
  cv::resize(heat, overlay, taught.frame.size, 0, 0, cv::INTER_LINEAR);
  return overlay;
}

}  // namespace lastlook::vision
