// SPDX-License-Identifier: Apache-2.0
#include "vision/model_json.h"

#include <cmath>
#include <cstring>

#include "vision/features.h"
#include "vision/health.h"
#include "vision/taught.h"

namespace lastlook::vision {
namespace {

using nlohmann::json;

constexpr int most_side = 32768;       // pixels of a picture
constexpr int most_patch_side = 1024;  // pixels of a patch

json to_json(const cv::Mat& mat) {
  const cv::Mat whole = mat.isContinuous() ? mat : mat.clone();
  const std::size_t bytes = whole.total() * whole.elemSize();
  std::vector<std::uint8_t> data(bytes);
  if (bytes) std::memcpy(data.data(), whole.data, bytes);
  return {{"rows", whole.rows},
          {"cols", whole.cols},
          {"type", whole.type()},
          {"data", json::binary(std::move(data))}};
}

void require(bool holds, const char* what) {
  if (!holds) throw std::runtime_error(what);
}

double number(const json& j) {
  const double value = j.get<double>();
  require(std::isfinite(value), "a number that is not finite");
  return value;
}

constexpr int any = -1;  // number of rows or columns

cv::Mat mat_from(const json& j, int type, int rows, int cols) {
  const int r = j.at("rows").get<int>();
  const int c = j.at("cols").get<int>();
  const auto& data = j.at("data").get_binary();
  require(r >= 0 && c >= 0 && j.at("type").get<int>() == type && (rows == any || r == rows) &&
              (cols == any || c == cols),
          "a table of another size");
  const auto bytes = static_cast<std::uint64_t>(r) * static_cast<std::uint64_t>(c) *
                     static_cast<std::uint64_t>(CV_ELEM_SIZE(type));
  require(data.size() == bytes, "a table cut short");
  if (data.empty()) return {};
  cv::Mat mat(r, c, type);
  std::memcpy(mat.data, data.data(), data.size());
  require(mat.depth() == CV_8U || cv::checkRange(mat), "a number that is not finite");
  return mat;
}

json to_json(const cv::Rect2d& r) {
  return {r.x, r.y, r.width, r.height};
}
cv::Rect2d rect_from(const json& j) {
  const cv::Rect2d r(number(j.at(0)), number(j.at(1)), number(j.at(2)), number(j.at(3)));
  require(r.width >= 0 && r.height >= 0 && r.width < most_side && r.height < most_side &&
              std::abs(r.x) < most_side && std::abs(r.y) < most_side,
          "a box of an impossible size");
  return r;
}

json to_json(const AlignmentReference& a) {
  cv::Mat points(static_cast<int>(a.points_px.size()), 2, CV_32F);
  for (int i = 0; i < points.rows; ++i) {
    points.at<float>(i, 0) = a.points_px[static_cast<std::size_t>(i)].x;
    points.at<float>(i, 1) = a.points_px[static_cast<std::size_t>(i)].y;
  }
  json anchors = json::array();
  for (const Anchor& anchor : a.anchors)
    anchors.push_back(
        {{"x", anchor.at_px.x}, {"y", anchor.at_px.y}, {"patch", to_json(anchor.patch)}});
  return {
      {"points", to_json(points)}, {"descriptors", to_json(a.descriptors)}, {"anchors", anchors}};
}

AlignmentReference alignment_from(const json& j, cv::Size picture) {
  AlignmentReference a;
  a.picture_px = picture;
  const cv::Mat points = mat_from(j.at("points"), CV_32F, any, 2);
  for (int i = 0; i < points.rows; ++i)
    a.points_px.emplace_back(points.at<float>(i, 0), points.at<float>(i, 1));
  a.descriptors = mat_from(j.at("descriptors"), CV_8U, points.rows, descriptor_bytes);
  for (const json& one : j.at("anchors"))
    a.anchors.push_back(
        {{static_cast<float>(number(one.at("x"))), static_cast<float>(number(one.at("y")))},
         mat_from(one.at("patch"), CV_32F, anchor_side, anchor_side)});
  return a;
}

json to_json(const Evidence& e) {
  json out = json::array();
  for (int k = 0; k < evidence_kinds; ++k) out.push_back(e[k]);
  return out;
}
Evidence evidence_from(const json& j) {
  Evidence e;
  for (int k = 0; k < evidence_kinds; ++k) e[k] = number(j.at(static_cast<std::size_t>(k)));
  return e;
}

json to_json(const Question& q) {
  json templates = json::array();
  for (const cv::Mat& one : q.templates) templates.push_back(to_json(one));
  return {{"judge", to_json(q.judge.weights)},
          {"bias", q.judge.bias},
          {"mean", to_json(q.normal.mean)},
          {"inverse_sd", to_json(q.normal.inverse_sd)},
          {"cell_weight", to_json(q.normal.cell_weight)},
          {"templates", templates},
          {"most_linear", q.most_linear},
          {"usual", to_json(q.usual)},
          {"spread", to_json(q.spread)},
          {"weights", to_json(q.weights)},
          {"excess_weights", to_json(q.excess_weights)},
          {"offset", q.offset},
          {"yes_at", q.yes_at},
          {"no_at", q.no_at},
          {"real", q.real}};
}

Question question_from(const json& j, const PatchFrame& frame) {
  Question q;
  q.real = j.at("real").get<bool>();
  if (j.at("judge").at("rows") == 0) return q;  // could not be taught
  const int cells = frame.size.area() / (cell_side * cell_side);
  const auto row = [&](const char* name, int cols) {
    return mat_from(j.at(name), CV_32F, 1, cols);
  };
  q.judge = {row("judge", cells * cell_values), number(j.at("bias"))};
  q.normal = {row("mean", cells * cell_values), row("inverse_sd", cells * cell_values),
              row("cell_weight", cells)};
  const cv::Size size = template_size(frame);
  for (const json& one : j.at("templates"))
    q.templates.push_back(mat_from(one, CV_32F, size.height, size.width));
  q.most_linear = number(j.at("most_linear"));
  require(q.most_linear > -1, "a linear judge without room");
  q.usual = evidence_from(j.at("usual"));
  q.spread = evidence_from(j.at("spread"));
  for (int k = 0; k < evidence_kinds; ++k) require(q.spread[k] > 0, "evidence without spread");
  q.weights = evidence_from(j.at("weights"));
  q.excess_weights = evidence_from(j.at("excess_weights"));
  q.offset = number(j.at("offset"));
  q.yes_at = number(j.at("yes_at"));
  q.no_at = number(j.at("no_at"));
  return q;
}

json to_json(const TaughtComponent& c) {
  json right = json::array();
  for (const Question& q : c.right) right.push_back(to_json(q));
  return {{"region", to_json(c.frame.region_px)},
          {"width", c.frame.size.width},
          {"height", c.frame.size.height},
          {"scale", c.frame.scale},
          {"inner", to_json(c.frame.inner)},
          {"own", to_json(c.frame.own)},
          {"turns", c.frame.turns},
          {"right", right},
          {"look_of", c.look_of},
          {"empty", to_json(c.empty)},
          {"code_of", c.code_of},
          {"code_box", to_json(c.code_box_px)}};
}

PatchFrame frame_from(const json& j) {
  PatchFrame frame;
  frame.region_px = rect_from(j.at("region"));
  frame.size = {j.at("width").get<int>(), j.at("height").get<int>()};
  frame.scale = number(j.at("scale"));
  frame.inner = rect_from(j.at("inner"));
  const auto fits = [](int side) {
    return side >= 4 * cell_side && side <= most_patch_side && side % cell_side == 0;
  };
  require(fits(frame.size.width) && fits(frame.size.height) && frame.scale > 1e-3 &&
              frame.scale < 1e3 && template_size(frame).area() > 0,
          "a component of an impossible size");
  frame.turns = j.at("turns").get<bool>();
  frame.own = mat_from(j.at("own"), CV_8U, 1, frame.size.area() / (cell_side * cell_side));
  return frame;
}

TaughtComponent component_from(const json& j, std::size_t variants) {
  TaughtComponent c;
  c.frame = frame_from(j);
  for (const json& q : j.at("right")) c.right.push_back(question_from(q, c.frame));
  c.look_of = j.at("look_of").get<std::vector<std::size_t>>();
  require(c.look_of.size() == variants, "a variant without a look");
  for (const std::size_t look : c.look_of)
    require(look < c.right.size(), "a variant without a look");
  c.empty = question_from(j.at("empty"), c.frame);
  c.code_of = j.at("code_of").get<std::vector<std::string>>();
  require(c.code_of.size() == variants, "a variant without a code");
  c.code_box_px = rect_from(j.at("code_box"));
  return c;
}

}  // namespace

Model model_from_json(const json& j) {
  Model model;
  model.picture_px = {j.at("picture").at(0).get<int>(), j.at("picture").at(1).get<int>()};
  const auto fits = [](int side) { return side >= least_picture_side && side <= most_side; };
  require(fits(model.picture_px.width) && fits(model.picture_px.height),
          "a picture of an impossible size");
  for (const json& c : j.at("components"))
    model.components.push_back({c.at("name").get<std::string>(), rect_from(c.at("box"))});
  for (const json& v : j.at("variants")) {
    Variant variant{v.at("name").get<std::string>(), {}};
    for (const json& e : v.at("expected"))
      variant.expected.push_back(e.get<bool>() ? Expected::present : Expected::absent);
    require(variant.expected.size() == model.components.size(),
            "a variant that does not name every component");
    model.variants.push_back(std::move(variant));
  }
  auto taught = std::make_shared<Taught>();
  taught->alignment = alignment_from(j.at("alignment"), model.picture_px);
  taught->thumbnail =
      mat_from(j.at("thumbnail"), CV_8UC3, thumbnail_size.height, thumbnail_size.width);
  taught->median_brightness = number(j.at("median_brightness"));
  taught->clipped_share = number(j.at("clipped_share"));
  taught->sharpness = number(j.at("sharpness"));
  taught->contrast =
      mat_from(j.at("contrast"), CV_32F, contrast_cells.height, contrast_cells.width);
  for (const json& c : j.at("taught"))
    taught->components.push_back(component_from(c, model.variants.size()));
  require(!model.components.empty() && taught->components.size() == model.components.size(),
          "a component that was not taught");
  model.taught = std::move(taught);
  return model;
}

json model_to_json(const Model& model) {
  json components = json::array();
  for (const Component& c : model.components)
    components.push_back({{"name", c.name}, {"box", to_json(c.box_px)}});
  json variants = json::array();
  for (const Variant& v : model.variants) {
    json expected = json::array();
    for (const Expected e : v.expected) expected.push_back(e == Expected::present);
    variants.push_back({{"name", v.name}, {"expected", expected}});
  }
  json taught = json::array();
  for (const TaughtComponent& c : model.taught->components) taught.push_back(to_json(c));
  return {{"picture", {model.picture_px.width, model.picture_px.height}},
          {"components", components},
          {"variants", variants},
          {"alignment", to_json(model.taught->alignment)},
          {"thumbnail", to_json(model.taught->thumbnail)},
          {"median_brightness", model.taught->median_brightness},
          {"clipped_share", model.taught->clipped_share},
          {"sharpness", model.taught->sharpness},
          {"contrast", to_json(model.taught->contrast)},
          {"taught", taught}};
}

}  // namespace lastlook::vision
