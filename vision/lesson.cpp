// SPDX-License-Identifier: Apache-2.0
#include "vision/lesson.h"

#include <algorithm>
#include <set>

#include "vision/weigh.h"

namespace lastlook::vision {
namespace {

// Strong: what the linear judge learns of one set of lights must not outweigh the rest.
const std::vector<double> penalties = {2.0};
constexpr std::size_t most_templates = 4;

Examples as_examples(const std::vector<Lesson>& lessons) {
  Examples out;
  double sum[2] = {0, 0};
  for (const Lesson& one : lessons) {
    out.rows.push_back(one.sight->row);
    out.target.push_back(one.yes ? 1 : -1);
    out.weight.push_back(one.sight->made_up ? 0.5 : one.sight->disturbed ? 0.7 : 1);
    sum[one.yes ? 1 : 0] += out.weight.back();
    out.group.push_back(one.sight->group);
  }
  const double half = static_cast<double>(lessons.size()) / 2;
  for (std::size_t i = 0; i < lessons.size(); ++i)
    out.weight[i] *= half / sum[lessons[i].yes ? 1 : 0];
  return out;
}

struct Known {
  Normal normal;
  std::vector<cv::Mat> templates;
};

// What 'yes' ones look like, those of one group left out (-1: none).
Known know(const std::vector<Lesson>& lessons, const PatchFrame& frame, int left_out) {
  std::vector<cv::Mat> rows;
  std::vector<const Sight*> shown;  // undisturbed, unless all are made up
  for (const bool disturbed : {false, true}) {
    const bool show = shown.empty();
    for (const Lesson& one : lessons) {
      if (!one.yes || one.sight->group == left_out || one.sight->disturbed != disturbed) continue;
      rows.push_back(one.sight->row);
      if (show) shown.push_back(one.sight);
    }
  }
  Known known;
  if (rows.empty()) return known;
  known.normal = learn_normal(rows, frame);
  // Templates spread over the groups of light, one a group at first.
  std::set<int> seen;
  for (const bool fresh : {true, false}) {
    for (const Sight* sight : shown) {
      if (known.templates.size() >= most_templates) break;
      if (seen.insert(sight->group).second != fresh) continue;
      Result<cv::Mat> one = cut_template(frame, sight->view);
      if (one) known.templates.push_back(std::move(*one));
    }
  }
  return known;
}

Evidence evidence_of(const Known& known, const PatchFrame& frame, const Sight& sight,
                     double score) {
  Evidence evidence;
  evidence[linear] = limited(score);
  measure_distances(evidence, known.normal, sight.row);
  const Match found = best_match(known.templates, frame, sight.view);
  evidence[match] = found.correlation;
  evidence[shift] = cv::norm(found.shift) / frame.scale;
  return evidence;
}

}  // namespace

Result<Learned> learn(const std::vector<Lesson>& lessons, const PatchFrame& frame) {
  Result<RidgeResult> ridge = teach_ridge(as_examples(lessons), penalties);
  if (!ridge) return tl::unexpected(ridge.error());
  Learned out;
  std::set<int> groups;
  for (const Lesson& one : lessons) groups.insert(one.sight->group);
  for (const int group : groups) {
    const Known known = know(lessons, frame, group);
    if (known.normal.mean.empty()) continue;  // all 'yes' ones are of this light
    for (std::size_t i = 0; i < lessons.size(); ++i) {
      if (lessons[i].sight->group != group) continue;
      out.held_out.push_back({lessons[i].sight, lessons[i].yes,
                              evidence_of(known, frame, *lessons[i].sight, ridge->held_out[i])});
    }
  }
  Known known = know(lessons, frame, -1);
  out.question.judge = std::move(ridge->judge);
  out.question.normal = std::move(known.normal);
  out.question.templates = std::move(known.templates);
  weigh_evidence(out.question, out.held_out);
  place_thresholds(out.question, out.held_out);
  return out;
}

}  // namespace lastlook::vision
