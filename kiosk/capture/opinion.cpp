// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/opinion.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "kiosk/domain/tag_code.h"
#include "vision/judge.h"
#include "vision/tag.h"

namespace lastlook::capture {
namespace {

struct ReasonWord {
  const char* word;
  double value;
};

ReasonWord reason_of(const vision::Reason& reason) {
  using Code = vision::ReasonCode;
  switch (reason.code) {
    case Code::as_taught:
      return {"as_taught", 0};
    case Code::empty:
      return {"empty", 0};
    case Code::not_expected:
      return {"not_expected", 0};
    case Code::colour_differs:
      return {"colour_differs", reason.colour};
    case Code::turned:
      return {"turned", reason.turn_deg};
    case Code::shifted:
      return {"shifted", std::hypot(reason.dx_px, reason.dy_px)};
    case Code::shape_differs:
      return {"shape_differs", reason.shape};
    case Code::other_code:
      return {"other_code", 0};
    case Code::covered:
      return {"covered", reason.covered_share};
    case Code::too_dark:
      return {"too_dark", reason.brightness};
    case Code::too_bright:
      return {"too_bright", reason.brightness};
    case Code::outside_picture:
      return {"outside_picture", 0};
    case Code::between:
      return {"between", 0};
    case Code::no_unit:
      return {"no_unit", 0};
  }
  return {"between", 0};
}

domain::Opinion opinion_of(vision::Opinion opinion) {
  switch (opinion) {
    case vision::Opinion::present:
      return domain::Opinion::present;
    case vision::Opinion::absent:
      return domain::Opinion::absent;
    case vision::Opinion::not_right:
      return domain::Opinion::not_right;
    case vision::Opinion::unsure:
      return domain::Opinion::unsure;
  }
  return domain::Opinion::unsure;
}

Withhold withhold_of(vision::Ailment ailment) {
  switch (ailment) {
    case vision::Ailment::too_dark:
      return Withhold::too_dark;
    case vision::Ailment::too_bright:
      return Withhold::too_bright;
    case vision::Ailment::blurred:
      return Withhold::blurred;
    case vision::Ailment::no_unit:
      return Withhold::no_unit;
    case vision::Ailment::camera_moved:
      return Withhold::camera_moved;
    case vision::Ailment::lens_dirty:
      return Withhold::lens_dirty;
    case vision::Ailment::frozen:
      return Withhold::frozen;
  }
  return Withhold::not_judged;
}

domain::Box fractions_of(const cv::Rect2d& box_px, cv::Size picture_px) {
  const cv::Rect2d seen = box_px & cv::Rect2d(cv::Point2d(0, 0), cv::Size2d(picture_px));
  return {.x = seen.x / picture_px.width,
          .y = seen.y / picture_px.height,
          .w = seen.width / picture_px.width,
          .h = seen.height / picture_px.height};
}

// Lays the overlay of one component over the map of the whole picture.
void add_overlay(cv::Mat& map, const vision::ComponentOpinion& opinion, cv::Size picture_px) {
  if (map.empty()) map = cv::Mat::zeros(picture_px / 2, CV_8U);
  const auto& box = opinion.overlay_box_px;
  const cv::Rect place(
      cv::Point(cvRound(box.x / 2), cvRound(box.y / 2)),
      cv::Size(std::max(1, cvRound(box.width / 2)), std::max(1, cvRound(box.height / 2))));
  cv::Mat small;
  cv::resize(opinion.overlay, small, place.size(), 0, 0, cv::INTER_AREA);
  const cv::Rect seen = place & cv::Rect(cv::Point(0, 0), map.size());
  if (seen.empty()) return;
  cv::Mat there = map(seen);
  cv::max(there, small(seen - place.tl()), there);
}

bool is_step(const domain::Variant& variant, const std::string& component) {
  return std::ranges::any_of(variant.checklist,
                             [&](const domain::Step& step) { return step.component == component; });
}

// What the codes in the picture say about whose unit it is.
struct Tags {
  bool asked_unit = false;
  std::vector<std::string> others;  // codes of the plant's form with another serial
};

void add_code(Tags& tags, const domain::Master& master, const std::string& text,
              const std::string& serial) {
  const auto code = domain::read_code(master, text);
  if (!code) return;  // some other label
  if (code->serial == serial) {
    tags.asked_unit = true;
  } else if (std::ranges::find(tags.others, code->code) == tags.others.end()) {
    tags.others.push_back(code->code);
  }
}

Tags tags_in(const domain::Master& master, const cv::Mat& picture, const std::string& serial) {
  for (const auto effort : {vision::Effort::quick, vision::Effort::thorough}) {
    Tags tags;
    for (const auto& reading : vision::read_tags(picture, effort)) {
      add_code(tags, master, reading.text, serial);
    }
    if (tags.asked_unit || !tags.others.empty()) return tags;
  }
  return {};
}

Given given_for(const vision::Model& model, const domain::Variant& variant, const Frame& frame,
                const Asked& asked, const vision::Judgement& judgement) {
  Given given;
  given.tag_serial = asked.serial;
  given.opinion.look = asked.look;
  given.opinion.frame = frame.number;
  given.opinion.model = model.id;
  for (const auto& seen : judgement.components) {
    const std::string& name = model.components[seen.component].name;
    if (!is_step(variant, name)) continue;
    const ReasonWord reason = reason_of(seen.reason);
    given.opinion.components.push_back({.component = name,
                                        .opinion = opinion_of(seen.opinion),
                                        .conforming = vision::name_of(seen.conforming),
                                        .score = seen.score,
                                        .reason = reason.word,
                                        .reason_value = reason.value,
                                        .box = fractions_of(seen.box_px, frame.picture.size())});
    if (!seen.overlay.empty()) {
      add_overlay(given.overlay, seen, frame.picture.size());
    }
  }
  return given;
}

// A frame judged: the opinion or the reason for none, and where the unit lies.
struct Judged {
  Assistance assistance;
  vision::Alignment alignment;
};

Judged judge_frame(const vision::Model& model, const domain::Master& master, const Frame& frame,
                   const Asked& asked) {
  Withheld withheld{.look = asked.look, .frame = frame.number};
  const auto because = [&](Withhold why) {
    withheld.why = why;
    return Judged{withheld, {}};
  };
  const domain::Variant* variant = master.variant(asked.variant);
  if (variant == nullptr || !model.variant_index(asked.variant)) {
    return because(Withhold::variant_not_taught);
  }
  const auto judgement = vision::judge(model, frame.picture, asked.variant);
  if (!judgement) {
    withheld.detail = judgement.error().message;
    return because(Withhold::not_judged);
  }
  const auto findings = vision::picture_health(model, frame.picture, judgement->alignment);
  if (!findings.empty()) {
    withheld.value = findings.front().value;
    withheld.limit = findings.front().limit;
    return because(withhold_of(findings.front().ailment));
  }
  Tags tags = tags_in(master, frame.picture, asked.serial);
  if (judgement->code_text) add_code(tags, master, *judgement->code_text, asked.serial);
  if (!tags.others.empty()) {
    withheld.codes = tags.others;
    return because(Withhold::other_tag);
  }
  if (!tags.asked_unit) return because(Withhold::tag_not_read);
  return {given_for(model, *variant, frame, asked, *judgement), judgement->alignment};
}

// Only an opinion that is given needs its evidence; one whose evidence cannot be written is not
// given.
Assistance with_evidence(Assistance assistance, const cv::Mat& picture) {
  auto* given = std::get_if<Given>(&assistance);
  if (given == nullptr) return assistance;
  const bool written = cv::imencode(".jpg", picture, given->jpeg, {cv::IMWRITE_JPEG_QUALITY, 92}) &&
                       (given->overlay.empty() || cv::imencode(".png", given->overlay, given->png));
  if (written) return assistance;
  return Withheld{.look = given->opinion.look,
                  .frame = given->opinion.frame,
                  .why = Withhold::not_judged,
                  .detail = "the picture could not be written as evidence"};
}

// What the picture library throws is a reason for no opinion, never the end of the program.
template <class Judge>
Assistance or_not_judged(const Frame& frame, const Asked& asked, const Judge& judge) {
  std::string detail;
  try {
    return judge();
  } catch (const std::exception& thrown) {
    detail = thrown.what();
  }
  return Withheld{
      .look = asked.look, .frame = frame.number, .why = Withhold::not_judged, .detail = detail};
}

const char* word_of(vision::Expected expected) {
  return expected == vision::Expected::present ? "present" : "absent";
}

}  // namespace

std::string_view to_word(Withhold why) {
  switch (why) {
    case Withhold::tag_not_read:
      return "tag_not_read";
    case Withhold::other_tag:
      return "other_tag";
    case Withhold::variant_not_taught:
      return "variant_not_taught";
    case Withhold::no_model:
      return "no_model";
    case Withhold::camera_not_ready:
      return "camera_not_ready";
    case Withhold::too_dark:
      return "too_dark";
    case Withhold::too_bright:
      return "too_bright";
    case Withhold::blurred:
      return "blurred";
    case Withhold::no_unit:
      return "no_unit";
    case Withhold::camera_moved:
      return "camera_moved";
    case Withhold::lens_dirty:
      return "lens_dirty";
    case Withhold::frozen:
      return "frozen";
    case Withhold::not_judged:
      return "not_judged";
  }
  return "";
}

Status agree(const vision::Model& model, const domain::Master& master) {
  for (const auto& taught : model.variants) {
    const domain::Variant* variant = master.variant(taught.name);
    if (variant == nullptr) continue;
    for (const auto& step : variant->checklist) {
      const auto component =
          std::ranges::find(model.components, step.component, [](const auto& c) { return c.name; });
      if (component == model.components.end()) continue;
      const auto at = static_cast<std::size_t>(component - model.components.begin());
      const std::string expected(domain::to_word(step.expected));
      if (expected == word_of(taught.expected[at])) continue;
      return fail(
          Category::refused,
          fmt::format("model {} was taught that {} of {} is {}, its checklist expects {}", model.id,
                      step.component, taught.name, word_of(taught.expected[at]), expected));
    }
  }
  return {};
}

Assistance judge_once(const vision::Model& model, const domain::Master& master, const Frame& frame,
                      const Asked& asked) {
  return or_not_judged(frame, asked, [&] {
    return with_evidence(judge_frame(model, master, frame, asked).assistance, frame.picture);
  });
}

UnitsJudge::UnitsJudge(vision::Model model, domain::Master master)
    : model_(std::move(model)), master_(std::move(master)) {}

Assistance UnitsJudge::judge(const Frame& frame, const Asked& asked) {
  return or_not_judged(frame, asked, [&] { return judge_unit(frame, asked); });
}

Assistance UnitsJudge::judge_unit(const Frame& frame, const Asked& asked) {
  Judged judged = judge_frame(model_, master_, frame, asked);
  if (std::holds_alternative<Withheld>(judged.assistance)) return judged.assistance;
  if (watched_look_ != asked.look) {
    watched_look_ = asked.look;
    watched_findings_ = watch_.see_unit(model_, frame.picture, judged.alignment);
  }
  if (!watched_findings_.empty()) {
    const vision::Finding& finding = watched_findings_.front();
    return Withheld{.look = asked.look,
                    .frame = frame.number,
                    .why = withhold_of(finding.ailment),
                    .value = finding.value,
                    .limit = finding.limit};
  }
  return with_evidence(std::move(judged.assistance), frame.picture);
}

}  // namespace lastlook::capture
