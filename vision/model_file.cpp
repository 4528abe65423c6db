// SPDX-License-Identifier: Apache-2.0
#include "vision/model_file.h"

#include <cstring>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "vision/features.h"
#include "vision/taught.h"

namespace lastlook::vision {
namespace {

using nlohmann::json;

constexpr const char* first_words = "Lastlook model ";
constexpr int format_version = 1;

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

cv::Mat mat_from(const json& j) {
  const int rows = j.at("rows").get<int>();
  const int cols = j.at("cols").get<int>();
  const int type = j.at("type").get<int>();
  const auto& data = j.at("data").get_binary();
  if (rows < 0 || cols < 0 || rows > 1'000'000 || cols > 1'000'000 ||
      (type != CV_32F && type != CV_8U && type != CV_8UC3 && type != CV_64F))
    throw std::runtime_error("a table of an impossible size");
  cv::Mat mat(rows, cols, type);
  if (data.size() != mat.total() * mat.elemSize()) throw std::runtime_error("a table cut short");
  if (!data.empty()) std::memcpy(mat.data, data.data(), data.size());
  if (mat.depth() != CV_8U && !cv::checkRange(mat))
    throw std::runtime_error("a number that is not finite");
  return mat;
}

json to_json(const cv::Rect2d& r) {
  return {r.x, r.y, r.width, r.height};
}
cv::Rect2d rect_from(const json& j) {
  return {j.at(0).get<double>(), j.at(1).get<double>(), j.at(2).get<double>(),
          j.at(3).get<double>()};
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
  const cv::Mat points = mat_from(j.at("points"));
  for (int i = 0; i < points.rows; ++i)
    a.points_px.emplace_back(points.at<float>(i, 0), points.at<float>(i, 1));
  a.descriptors = mat_from(j.at("descriptors"));
  if (a.descriptors.rows != points.rows) throw std::runtime_error("features without a place");
  for (const json& one : j.at("anchors"))
    a.anchors.push_back(
        {{one.at("x").get<float>(), one.at("y").get<float>()}, mat_from(one.at("patch"))});
  return a;
}

json to_json(const Question& q) {
  json templates = json::array();
  for (const cv::Mat& one : q.templates) templates.push_back(to_json(one));
  json weights = json::array();
  json usual = json::array();
  for (int k = 0; k < evidence_kinds; ++k) {
    weights.push_back(q.weights[k]);
    usual.push_back(q.usual[k]);
  }
  return {{"judge", to_json(q.judge.weights)},
          {"bias", q.judge.bias},
          {"mean", to_json(q.normal.mean)},
          {"inverse_sd", to_json(q.normal.inverse_sd)},
          {"cell_weight", to_json(q.normal.cell_weight)},
          {"templates", templates},
          {"weights", weights},
          {"usual", usual},
          {"offset", q.offset},
          {"yes_at", q.yes_at},
          {"no_at", q.no_at},
          {"real", q.real}};
}

Question question_from(const json& j, const PatchFrame& frame) {
  Question q;
  q.judge = {mat_from(j.at("judge")), j.at("bias").get<double>()};
  q.real = j.at("real").get<bool>();
  q.normal = {mat_from(j.at("mean")), mat_from(j.at("inverse_sd")), mat_from(j.at("cell_weight"))};
  const int cells = frame.size.area() / (cell_side * cell_side);
  if (q.judge.weights.empty()) return q;  // could not be taught
  for (const cv::Mat* row : {&q.judge.weights, &q.normal.mean, &q.normal.inverse_sd})
    if (row->rows != 1 || row->cols != cells * cell_values || row->type() != CV_32F)
      throw std::runtime_error("a judge that does not fit its component");
  if (q.normal.cell_weight.cols != cells) throw std::runtime_error("cells without a weight");
  for (const json& one : j.at("templates")) {
    q.templates.push_back(mat_from(one));
    if (q.templates.back().size() != template_size(frame) || q.templates.back().type() != CV_32F)
      throw std::runtime_error("a template that does not fit its component");
  }
  for (int k = 0; k < evidence_kinds; ++k) {
    q.weights[k] = j.at("weights").at(static_cast<std::size_t>(k)).get<double>();
    q.usual[k] = j.at("usual").at(static_cast<std::size_t>(k)).get<double>();
  }
  q.offset = j.at("offset").get<double>();
  q.yes_at = j.at("yes_at").get<double>();
  q.no_at = j.at("no_at").get<double>();
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
          {"right", right},
          {"look_of", c.look_of},
          {"empty", to_json(c.empty)},
          {"code_of", c.code_of},
          {"code_box", to_json(c.code_box_px)}};
}

TaughtComponent component_from(const json& j) {
  TaughtComponent c;
  c.frame.region_px = rect_from(j.at("region"));
  c.frame.size = {j.at("width").get<int>(), j.at("height").get<int>()};
  c.frame.scale = j.at("scale").get<double>();
  c.frame.inner = rect_from(j.at("inner"));
  if (c.frame.size.width < 1 || c.frame.size.height < 1 || c.frame.size.width > 4096 ||
      c.frame.size.height > 4096 || !(c.frame.scale > 0))
    throw std::runtime_error("a component of an impossible size");
  for (const json& q : j.at("right")) c.right.push_back(question_from(q, c.frame));
  c.look_of = j.at("look_of").get<std::vector<std::size_t>>();
  for (const std::size_t look : c.look_of)
    if (look >= c.right.size()) throw std::runtime_error("a variant without a look");
  c.empty = question_from(j.at("empty"), c.frame);
  c.code_of = j.at("code_of").get<std::vector<std::string>>();
  if (c.code_of.size() != c.look_of.size()) throw std::runtime_error("a variant without a code");
  c.code_box_px = rect_from(j.at("code_box"));
  return c;
}

Model model_from_json(const json& j) {
  Model model;
  model.picture_px = {j.at("picture").at(0).get<int>(), j.at("picture").at(1).get<int>()};
  for (const json& c : j.at("components"))
    model.components.push_back({c.at("name").get<std::string>(), rect_from(c.at("box"))});
  for (const json& v : j.at("variants")) {
    Variant variant{v.at("name").get<std::string>(), {}};
    for (const json& e : v.at("expected"))
      variant.expected.push_back(e.get<bool>() ? Expected::present : Expected::absent);
    model.variants.push_back(std::move(variant));
  }
  auto taught = std::make_shared<Taught>();
  taught->alignment = alignment_from(j.at("alignment"), model.picture_px);
  taught->thumbnail = mat_from(j.at("thumbnail"));
  taught->median_brightness = j.at("median_brightness").get<double>();
  taught->clipped_share = j.at("clipped_share").get<double>();
  taught->sharpness = j.at("sharpness").get<double>();
  taught->contrast = mat_from(j.at("contrast"));
  for (const json& c : j.at("taught")) taught->components.push_back(component_from(c));
  if (taught->components.size() != model.components.size())
    throw std::runtime_error("a component that was not taught");
  model.taught = std::move(taught);
  return model;
}

}  // namespace

std::string model_bytes(const Model& model) {
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
  const json all = {{"picture", {model.picture_px.width, model.picture_px.height}},
                    {"components", components},
                    {"variants", variants},
                    {"alignment", to_json(model.taught->alignment)},
                    {"thumbnail", to_json(model.taught->thumbnail)},
                    {"median_brightness", model.taught->median_brightness},
                    {"clipped_share", model.taught->clipped_share},
                    {"sharpness", model.taught->sharpness},
                    {"contrast", to_json(model.taught->contrast)},
                    {"taught", taught}};
  std::string bytes = first_words + std::to_string(format_version) + "\n";
  json::to_cbor(all, bytes);
  return bytes;
}

std::string model_id(const std::string& bytes) {
  std::uint64_t hash = 0xcbf29ce484222325U;  // FNV-1a, 64 bits
  for (const char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
  char text[17];
  std::snprintf(text, sizeof text, "%016llx", static_cast<unsigned long long>(hash));
  return text;
}

Result<Model> model_from_bytes(const std::string& bytes, const std::string& name) {
  const std::string start = first_words;
  if (!bytes.starts_with(start))
    return fail(Category::bad_input,
                name + ": expected a Lastlook model, as lastlook teach writes it");
  const std::size_t line_end = bytes.find('\n');
  if (line_end == std::string::npos || line_end > 40)
    return fail(Category::damaged, name + ": the model's first line is damaged");
  const int version = std::atoi(bytes.c_str() + start.size());
  if (version > format_version)
    return fail(Category::newer, name + ": the model was taught by a later version of Lastlook");
  try {
    Model model = model_from_json(
        json::from_cbor(bytes.begin() + static_cast<std::ptrdiff_t>(line_end) + 1, bytes.end()));
    model.id = model_id(bytes);
    return model;
  } catch (const std::exception& error) {
    return fail(Category::damaged, name + ": the model is damaged: " + error.what());
  }
}

std::optional<std::size_t> Model::variant_index(std::string_view name) const {
  for (std::size_t i = 0; i < variants.size(); ++i)
    if (variants[i].name == name) return i;
  return std::nullopt;
}

Result<Model> load_model(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return fail(Category::not_found, path.string() + ": the model cannot be opened");
  std::ostringstream out;
  out << in.rdbuf();
  return model_from_bytes(out.str(), path.string());
}

Status save_model(const Model& model, const std::filesystem::path& path) {
  const std::filesystem::path fresh = path.string() + ".new";
  {
    std::ofstream out(fresh, std::ios::binary | std::ios::trunc);
    const std::string bytes = model_bytes(model);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    out.flush();
    if (!out) return fail(Category::io, fresh.string() + ": the model could not be written");
  }
  std::error_code error;
  std::filesystem::rename(fresh, path, error);
  if (error)
    return fail(Category::io,
                path.string() + ": the model could not be written: " + error.message());
  return {};
}

}  // namespace lastlook::vision
