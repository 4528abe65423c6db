// SPDX-License-Identifier: Apache-2.0
#include "vision/judge.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/code_head.h"
#include "vision/features.h"
#include "vision/tag.h"
#include "vision/taught.h"

namespace lastlook::vision {
namespace {

constexpr double other_code_score = 0.01;

using Clock = std::chrono::steady_clock;

double ms_since(Clock::time_point start) {
  return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

// The component's box moved with the unit, kept upright, its size times the unit's scale.
cv::Rect2d moved_box(const cv::Rect2d& box, const Alignment& alignment) {
  const cv::Matx23d& m = alignment.to_picture;
  const double cx = box.x + box.width / 2;
  const double cy = box.y + box.height / 2;
  const double x = m(0, 0) * cx + m(0, 1) * cy + m(0, 2);
  const double y = m(1, 0) * cx + m(1, 1) * cy + m(1, 2);
  const double w = box.width * alignment.scale;
  const double h = box.height * alignment.scale;
  return {x - w / 2, y - h / 2, w, h};
}

Conforming answer(const Question& question, double p) {
  if (!question.real) return Conforming::unsure;
  if (p >= question.yes_at) return Conforming::yes;
  if (p <= question.no_at) return Conforming::no;
  return Conforming::unsure;
}

Opinion opinion_of(Conforming conforming, Expected expected, double p_right, double p_empty) {
  if (conforming == Conforming::unsure) return Opinion::unsure;
  if (expected == Expected::present) {
    if (conforming == Conforming::yes) return Opinion::present;
    return p_empty > 0.5 ? Opinion::absent : Opinion::not_right;
  }
  if (conforming == Conforming::yes) return Opinion::absent;
  return p_right > 0.5 ? Opinion::present : Opinion::not_right;
}

// Reads the code in the component's place, and says whether it is that of another type.
bool carries_other_code(const TaughtComponent& taught, std::size_t variant,
                        const PictureViews& views, const Alignment& alignment) {
  const std::string& expected = taught.code_of[variant];
  if (expected.empty()) return false;
  const cv::Rect2d moved = moved_box(taught.frame.region_px, alignment);
  const cv::Rect region = cv::Rect(moved) & cv::Rect({}, views.full.size());
  if (region.width < 16 || region.height < 16) return false;
  const std::vector<TagReading> readings = read_tags(views.full(region), Effort::quick);
  return !readings.empty() && std::none_of(readings.begin(), readings.end(), [&](const auto& r) {
    return code_head(r.text) == expected;
  });
}

ComponentOpinion judge_component(const TaughtComponent& taught, std::size_t variant,
                                 Expected expected, const PictureViews& views,
                                 const Alignment& alignment, const Gains& gains) {
  ComponentOpinion out;
  const cv::Mat patch = cut_patch(views, taught.frame, alignment.to_picture, gains);
  const cv::Mat row = describe(patch);
  const cv::Mat view = matching_view(patch);
  const Question& right = taught.right[taught.look_of[variant]];
  const double p_right = ask(right, taught.frame, row, view).probability;
  const double p_empty = ask(taught.empty, taught.frame, row, view).probability;
  const bool wants = expected == Expected::present;
  out.score = wants ? p_right : p_empty;
  out.conforming = answer(wants ? right : taught.empty, out.score);
  if (wants && carries_other_code(taught, variant, views, alignment)) {
    out.score = std::min(out.score, other_code_score);
    out.conforming = Conforming::no;
    out.reason.code = ReasonCode::other_code;
  }
  out.opinion = opinion_of(out.conforming, expected, p_right, p_empty);
  if (out.conforming == Conforming::unsure) out.reason.code = ReasonCode::between;
  return out;
}

Result<cv::Mat> as_bgr(const cv::Mat& picture, cv::Size size) {
  if (picture.empty() || picture.depth() != CV_8U ||
      (picture.channels() != 1 && picture.channels() != 3))
    return fail(Category::bad_input, "expected an 8-bit picture in colour or grey");
  cv::Mat bgr = picture;
  if (picture.channels() == 1) cv::cvtColor(picture, bgr, cv::COLOR_GRAY2BGR);
  if (bgr.size() != size) cv::resize(bgr, bgr, size, 0, 0, cv::INTER_AREA);
  return bgr;
}

}  // namespace

Result<Judgement> judge(const Model& model, const cv::Mat& picture, std::string_view variant) {
  const Clock::time_point start = Clock::now();
  const std::optional<std::size_t> index = model.variant_index(variant);
  if (!index) {
    std::string known;
    for (const Variant& one : model.variants) known += (known.empty() ? "" : ", ") + one.name;
    return fail(Category::bad_input,
                "unknown variant " + std::string(variant) + ", expected one of: " + known);
  }
  const Result<cv::Mat> bgr = as_bgr(picture, model.picture_px);
  if (!bgr) return tl::unexpected(bgr.error());
  const Taught& taught = *model.taught;
  Judgement out;
  cv::Mat grey;
  cv::cvtColor(*bgr, grey, cv::COLOR_BGR2GRAY);
  out.alignment = align(taught.alignment, alignment_views(grey, model.picture_px));
  out.align_ms = ms_since(start);

  PictureViews views;
  Gains gains{1, 1, 1};
  if (out.alignment.found) {
    views = picture_views(*bgr);
    gains = light_gains(taught.thumbnail, views, out.alignment.to_picture, model.picture_px);
  }
  for (std::size_t i = 0; i < model.components.size(); ++i) {
    const Clock::time_point began = Clock::now();
    ComponentOpinion opinion;
    if (out.alignment.found)
      opinion = judge_component(taught.components[i], *index, model.variants[*index].expected[i],
                                views, out.alignment, gains);
    else
      opinion.reason.code = ReasonCode::no_unit;
    opinion.component = i;
    opinion.box_px = moved_box(model.components[i].box_px, out.alignment);
    opinion.ms = ms_since(began);
    out.components.push_back(std::move(opinion));
  }
  // Boxes are told in the pixels of the picture that was given.
  if (picture.size() != model.picture_px) {
    const double fx = static_cast<double>(picture.cols) / model.picture_px.width;
    const double fy = static_cast<double>(picture.rows) / model.picture_px.height;
    for (ComponentOpinion& one : out.components) {
      cv::Rect2d& b = one.box_px;
      b = {b.x * fx, b.y * fy, b.width * fx, b.height * fy};
    }
  }
  out.total_ms = ms_since(start);
  return out;
}

const char* name_of(Opinion opinion) {
  switch (opinion) {
    case Opinion::present:
      return "present";
    case Opinion::absent:
      return "absent";
    case Opinion::not_right:
      return "not_right";
    case Opinion::unsure:
      return "unsure";
  }
  return "unsure";
}

const char* name_of(Conforming conforming) {
  switch (conforming) {
    case Conforming::yes:
      return "yes";
    case Conforming::no:
      return "no";
    case Conforming::unsure:
      return "unsure";
  }
  return "unsure";
}

}  // namespace lastlook::vision
