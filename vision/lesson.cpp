// SPDX-License-Identifier: Apache-2.0
#include "vision/lesson.h"

#include <algorithm>
#include <numeric>
#include <set>

#include "vision/weigh.h"

namespace lastlook::vision {
namespace {

const std::vector<double> penalties = {0.1, 0.3, 1, 3, 10};  // tried
constexpr double common_share = 0.5;  // of right ones, whose linear scores lie below the limit
constexpr std::size_t most_templates = 4;

// What is held out together: a light; where all 'yes' ones are of one light, a picture; where they
// are of one picture, each sight.
std::vector<int> hold_out_groups(const std::vector<Lesson>& lessons) {
  const auto number = [](const std::vector<int>& groups, const std::vector<Lesson>& of) {
    std::set<int> yes;
    for (std::size_t i = 0; i < of.size(); ++i)
      if (of[i].yes) yes.insert(groups[i]);
    return yes.size();
  };
  std::vector<int> groups;
  for (const Lesson& one : lessons) groups.push_back(one.sight->group);
  if (number(groups, lessons) > 1) return groups;
  for (std::size_t i = 0; i < lessons.size(); ++i)
    groups[i] = static_cast<int>(lessons[i].sight->picture);
  if (number(groups, lessons) > 1) return groups;
  std::iota(groups.begin(), groups.end(), 0);
  return groups;
}

Examples as_examples(const std::vector<Lesson>& lessons, const std::vector<int>& groups) {
  Examples out;
  double sum[2] = {0, 0};
  for (const Lesson& one : lessons) {
    out.rows.push_back(one.sight->row);
    out.target.push_back(one.yes ? 1 : -1);
    out.weight.push_back(one.sight->made_up ? 0.5 : one.sight->disturbed ? 0.7 : 1);
    sum[one.yes ? 1 : 0] += out.weight.back();
  }
  out.group = groups;
  const double half = static_cast<double>(lessons.size()) / 2;
  for (std::size_t i = 0; i < lessons.size(); ++i)
    out.weight[i] *= half / sum[lessons[i].yes ? 1 : 0];
  return out;
}

struct Known {
  Normal normal;
  std::vector<cv::Mat> templates;
};

// Spread over the groups of light, one a group at first.
std::vector<cv::Mat> choose_templates(const std::vector<const Sight*>& shown,
                                      const PatchFrame& frame) {
  std::set<int> seen;
  std::vector<cv::Mat> views;
  for (const bool fresh : {true, false})
    for (const Sight* sight : shown)
      if (views.size() < most_templates && seen.insert(sight->group).second == fresh)
        views.push_back(sight->view);
  std::vector<cv::Mat> templates;
  for (const cv::Mat& view : views)
    if (Result<cv::Mat> one = cut_template(frame, view)) templates.push_back(std::move(*one));
  return templates;
}

// What 'yes' ones look like, those of one group left out (-1: none).
Known know(const std::vector<Lesson>& lessons, const std::vector<int>& groups,
           const PatchFrame& frame, int left_out) {
  std::vector<cv::Mat> rows;
  std::vector<const Sight*> shown;  // undisturbed, unless all are made up
  for (const bool disturbed : {false, true}) {
    const bool show = shown.empty();
    for (std::size_t i = 0; i < lessons.size(); ++i) {
      const Lesson& one = lessons[i];
      if (!one.yes || groups[i] == left_out || one.sight->disturbed != disturbed) continue;
      rows.push_back(one.sight->row);
      if (show) shown.push_back(one.sight);
    }
  }
  Known known;
  if (rows.empty()) return known;
  known.normal = learn_normal(rows, frame);
  known.templates = choose_templates(shown, frame);
  return known;
}

// What right ones commonly get, held out.
double common_score(const std::vector<Lesson>& lessons, const std::vector<double>& held_out) {
  std::vector<double> scores;
  for (std::size_t i = 0; i < lessons.size(); ++i)
    if (lessons[i].yes) scores.push_back(held_out[i]);
  const auto at = scores.begin() +
                  static_cast<std::ptrdiff_t>(common_share * static_cast<double>(scores.size()));
  std::nth_element(scores.begin(), at, scores.end());
  return std::clamp(*at, 0.0, 1.0);
}

Evidence evidence_of(const Known& known, const PatchFrame& frame, const Sight& sight,
                     double score) {
  Evidence evidence;
  evidence[linear] = score;
  measure_distances(evidence, known.normal, sight.row);
  const Match found = best_match(known.templates, frame, sight.view);
  evidence[match] = found.correlation;
  evidence[shift] = cv::norm(found.shift) / frame.scale;
  return evidence;
}

}  // namespace

Result<Learned> learn(const std::vector<Lesson>& lessons, const PatchFrame& frame,
                      std::size_t components) {
  const std::vector<int> groups = hold_out_groups(lessons);
  Result<RidgeResult> ridge = teach_ridge(as_examples(lessons, groups), penalties);
  if (!ridge) return tl::unexpected(ridge.error());
  Learned out;
  out.question.most_linear = common_score(lessons, ridge->held_out);
  for (const int group : std::set<int>(groups.begin(), groups.end())) {
    const Known known = know(lessons, groups, frame, group);
    if (known.normal.mean.empty()) continue;  // no other 'yes' at all
    for (std::size_t i = 0; i < lessons.size(); ++i) {
      if (groups[i] != group) continue;
      const double score = std::clamp(ridge->held_out[i], -1.0, out.question.most_linear);
      out.held_out.push_back(
          {lessons[i].sight, lessons[i].yes, evidence_of(known, frame, *lessons[i].sight, score)});
    }
  }
  Known known = know(lessons, groups, frame, -1);
  out.question.judge = std::move(ridge->judge);
  out.question.normal = std::move(known.normal);
  out.question.templates = std::move(known.templates);
  weigh_evidence(out.question, out.held_out);
  place_thresholds(out.question, out.held_out, components);
  return out;
}

}  // namespace lastlook::vision
