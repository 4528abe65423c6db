// SPDX-License-Identifier: Apache-2.0
#include "vision/judge.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/code_head.h"
#include "vision/features.h"
#include "vision/reason.h"
#include "vision/tag.h"
#include "vision/taught.h"

namespace lastlook::vision {
namespace {

constexpr double other_code_score = 0.01;
constexpr double most_stretch = 0.02;  // of width against height, before it is another camera

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

Conforming verdict(const Question& question, double p) {
  if (!question.real) return Conforming::unsure;
  if (p >= question.yes_at) return Conforming::yes;
  if (p <= question.no_at) return Conforming::no;
  return Conforming::unsure;
}

// Reads the code in the component's place; nothing where none reads.
std::optional<std::string> read_code(const TaughtComponent& taught, const PictureViews& views,
                                     const Alignment& alignment) {
  if (taught.code_box_px.empty()) return std::nullopt;
  const cv::Rect region =
      cv::Rect(moved_box(taught.code_box_px, alignment)) & cv::Rect({}, views.full.size());
  if (region.width < 16 || region.height < 16) return std::nullopt;
  const std::vector<TagReading> readings = read_tags(views.full(region), Effort::quick);
  if (readings.empty()) return std::nullopt;
  return readings.front().text;
}

double share_in_view(const cv::Rect2d& box, cv::Size picture) {
  return (box & cv::Rect2d({}, cv::Size2d(picture))).area() / box.area();
}

class ComponentJudge {
 public:
  ComponentJudge(const TaughtComponent& taught, std::size_t variant, Expected expected)
      : taught_(taught),
        variant_(variant),
        wants_(expected == Expected::present),
        right_(taught.right[taught.look_of[variant]]),
        asked_(wants_ ? right_ : taught.empty),
        other_(wants_ ? taught.empty : right_) {}

  void judge(ComponentOpinion& out, const PictureViews& views, const Alignment& alignment,
             const Gains& gains, std::optional<std::string>& code) const {
    const Sighted sighted = look(out.box_px, views, alignment, gains);
    const Answer answer = ask(asked_, taught_.frame, sighted.row, sighted.view);
    out.score = answer.probability;
    out.conforming = verdict(asked_, answer.probability);
    if (const std::optional<Reason> unfit = unfit_reason(taught_, asked_, sighted)) {
      out.conforming = Conforming::unsure;
      out.score = 0.5;
      out.reason = *unfit;
    } else if (wants_ && carries_other_code(views, alignment, code)) {
      out.score = std::min(out.score, other_code_score);
      out.conforming = Conforming::no;
      out.opinion = Opinion::not_right;
      out.reason.code = ReasonCode::other_code;
    } else {
      form_opinion(out, answer, sighted);
    }
    if (out.conforming == Conforming::yes) return;
    out.overlay = overlay_of(taught_, asked_, sighted);
    out.overlay_box_px = moved_box(taught_.frame.region_px, alignment);
  }

 private:
  Sighted look(const cv::Rect2d& box, const PictureViews& views, const Alignment& alignment,
               const Gains& gains) const {
    Sighted out;
    out.patch = cut_patch(views, taught_.frame, alignment.to_picture, gains);
    out.row = describe(out.patch, taught_.frame.own);
    out.view = matching_view(out.patch, taught_.frame);
    out.gains = gains;
    out.in_view_share = share_in_view(box, views.full.size());
    out.picture_px_per_patch = alignment.scale / taught_.frame.scale;
    out.turn_rad = -alignment.turn_deg * CV_PI / 180;
    return out;
  }

  bool carries_other_code(const PictureViews& views, const Alignment& alignment,
                          std::optional<std::string>& code) const {
    const std::optional<std::string> text = read_code(taught_, views, alignment);
    if (!text) return false;
    code = text;
    const std::string& expected = taught_.code_of[variant_];
    return !expected.empty() && code_head(*text) != expected;
  }

  void form_opinion(ComponentOpinion& out, const Answer& answer, const Sighted& sighted) const {
    if (out.conforming == Conforming::yes) {
      out.opinion = wants_ ? Opinion::present : Opinion::absent;
      return;
    }
    out.reason = reason_against(taught_, asked_, answer, sighted);
    if (out.conforming == Conforming::unsure) {
      out.reason.code = ReasonCode::between;
      return;
    }
    const bool is_other = ask(other_, taught_.frame, sighted.row, sighted.view).probability > 0.5;
    out.opinion = !is_other ? Opinion::not_right : wants_ ? Opinion::absent : Opinion::present;
    if (out.opinion == Opinion::absent) out.reason.code = ReasonCode::empty;
    if (out.opinion == Opinion::present) out.reason.code = ReasonCode::not_expected;
  }

  const TaughtComponent& taught_;
  std::size_t variant_;
  bool wants_;
  const Question& right_;
  const Question& asked_;  // the question whose 'yes' is conforming
  const Question& other_;
};

std::string as_text(cv::Size size) {
  return std::to_string(size.width) + " x " + std::to_string(size.height) + " pixels";
}

Result<cv::Mat> as_bgr(const cv::Mat& picture, cv::Size size) {
  if (picture.empty() || picture.depth() != CV_8U ||
      (picture.channels() != 1 && picture.channels() != 3))
    return fail(Category::bad_input, "expected an 8-bit picture in colour or grey");
  const double stretch =
      static_cast<double>(picture.cols) * size.height / picture.rows / size.width;
  if (std::abs(stretch - 1) > most_stretch)
    return fail(Category::bad_input, "expected a picture of the reference's shape, " +
                                         as_text(size) + " or that scaled, found " +
                                         as_text(picture.size()));
  cv::Mat bgr = picture;
  if (picture.channels() == 1) cv::cvtColor(picture, bgr, cv::COLOR_GRAY2BGR);
  if (bgr.size() != size) cv::resize(bgr, bgr, size, 0, 0, cv::INTER_AREA);
  return bgr;
}

Judgement judge_as(const Model& model, const cv::Mat& bgr, std::size_t variant) {
  const Clock::time_point start = Clock::now();
  const Taught& taught = *model.taught;
  Judgement out;
  cv::Mat grey;
  cv::cvtColor(bgr, grey, cv::COLOR_BGR2GRAY);
  out.alignment = align(taught.alignment, alignment_views(grey, model.picture_px));
  out.align_ms = ms_since(start);

  PictureViews views;
  Gains gains{1, 1, 1};
  if (out.alignment.found) {
    views = picture_views(bgr);
    gains = light_gains(taught.thumbnail, views, out.alignment.to_picture, model.picture_px);
  }
  for (std::size_t i = 0; i < model.components.size(); ++i) {
    const Clock::time_point began = Clock::now();
    ComponentOpinion opinion;
    opinion.component = i;
    opinion.box_px = moved_box(model.components[i].box_px, out.alignment);
    if (out.alignment.found)
      ComponentJudge(taught.components[i], variant, model.variants[variant].expected[i])
          .judge(opinion, views, out.alignment, gains, out.code_text);
    else
      opinion.reason.code = ReasonCode::no_unit;
    opinion.ms = ms_since(began);
    out.components.push_back(std::move(opinion));
  }
  return out;
}

// Boxes are told in the pixels of the picture that was given.
void scale_boxes(Judgement& judgement, cv::Size from, cv::Size to) {
  const double fx = static_cast<double>(to.width) / from.width;
  const double fy = static_cast<double>(to.height) / from.height;
  for (ComponentOpinion& one : judgement.components)
    for (cv::Rect2d* b : {&one.box_px, &one.overlay_box_px})
      *b = {b->x * fx, b->y * fy, b->width * fx, b->height * fy};
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
  try {
    const Result<cv::Mat> bgr = as_bgr(picture, model.picture_px);
    if (!bgr) return tl::unexpected(bgr.error());
    Judgement out = judge_as(model, *bgr, *index);
    if (picture.size() != model.picture_px) scale_boxes(out, model.picture_px, picture.size());
    out.total_ms = ms_since(start);
    return out;
  } catch (const cv::Exception& error) {
    return fail(Category::bad_input, "the picture could not be judged: " + error.err);
  }
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

const char* name_of(ReasonCode code) {
  switch (code) {
    case ReasonCode::as_taught:
      return "as_taught";
    case ReasonCode::empty:
      return "empty";
    case ReasonCode::not_expected:
      return "not_expected";
    case ReasonCode::colour_differs:
      return "colour_differs";
    case ReasonCode::turned:
      return "turned";
    case ReasonCode::shifted:
      return "shifted";
    case ReasonCode::shape_differs:
      return "shape_differs";
    case ReasonCode::other_code:
      return "other_code";
    case ReasonCode::covered:
      return "covered";
    case ReasonCode::too_dark:
      return "too_dark";
    case ReasonCode::too_bright:
      return "too_bright";
    case ReasonCode::outside_picture:
      return "outside_picture";
    case ReasonCode::between:
      return "between";
    case ReasonCode::no_unit:
      return "no_unit";
  }
  return "between";
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
