// SPDX-License-Identifier: Apache-2.0
#include "vision/teach.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/calibrate.h"
#include "vision/examples.h"
#include "vision/light_groups.h"
#include "vision/model_file.h"
#include "vision/taught.h"

namespace lastlook::vision {
namespace {

const std::vector<double> penalties = {0.01, 0.03, 0.1, 0.3};

struct Asked {
  Question question;
  std::vector<HeldOut> held_out;  // of real pictures
};

// Teaches one question from sights: positive says which are 'yes'; a sight that is neither is left
// out.
template <class Kind>
Result<Asked> ask(const std::vector<Sight>& sights, const Kind& kind) {
  Examples examples;
  std::vector<const Sight*> used;
  double weight[2] = {0, 0};
  for (const Sight& sight : sights) {
    const int k = kind(sight);
    if (k == 0) continue;
    examples.rows.push_back(sight.row);
    examples.target.push_back(k > 0 ? 1 : -1);
    const double w = sight.made_up ? 0.5 : sight.disturbed ? 0.7 : 1;
    examples.weight.push_back(w);
    weight[k > 0 ? 1 : 0] += w;
    examples.group.push_back(sight.group);
    used.push_back(&sight);
  }
  for (std::size_t i = 0; i < used.size(); ++i)
    examples.weight[i] *=
        static_cast<double>(used.size()) / 2 / weight[examples.target[i] > 0 ? 1 : 0];
  Result<RidgeResult> ridge = teach_ridge(examples, penalties);
  if (!ridge) return tl::unexpected(ridge.error());
  Asked out;
  out.question.judge = std::move(ridge->judge);
  for (std::size_t i = 0; i < used.size(); ++i)
    out.held_out.push_back({ridge->held_out[i], examples.target[i] > 0, used[i]->made_up,
                            used[i]->disturbed, used[i]->picture});
  calibrate(out.question, out.held_out);
  return out;
}

}  // namespace

Result<TeachResult> teach(const TeachingFolder& folder, const Progress& progress) {
  TeachResult result;
  result.notes = folder.notes;
  Result<Gathered> gathered = gather(folder, progress);
  if (!gathered) return tl::unexpected(gathered.error());
  result.notes.insert(result.notes.end(), gathered->notes.begin(), gathered->notes.end());
  result.light_groups = gathered->light_groups;

  auto taught = std::make_shared<Taught>();
  taught->alignment = gathered->alignment;
  taught->thumbnail = gathered->thumbnail;
  for (std::size_t c = 0; c < folder.components.size(); ++c) {
    TaughtComponent component;
    component.frame = gathered->frames[c];
    component.look_of.assign(folder.variants.size(), 0);
    component.code_of.assign(folder.variants.size(), "");
    const std::vector<Sight>& sights = gathered->sights[c];
    const Result<Asked> right = ask(
        sights, [](const Sight& s) { return s.state == State::present && !s.made_up ? 1 : -1; });
    if (!right)
      return fail(Category::bad_input,
                  "component " + folder.components[c].name + ": " + right.error().message);
    component.right.push_back(right->question);
    const bool real_empty = std::any_of(sights.begin(), sights.end(), [](const Sight& s) {
      return s.state == State::absent && !s.made_up;
    });
    const Result<Asked> empty = ask(sights, [&](const Sight& s) {
      if (s.state != State::absent) return -1;
      return s.made_up && real_empty ? 0 : 1;
    });
    if (empty) component.empty = empty->question;
    component.empty.real = empty && real_empty;
    result.components.push_back(report_on(folder, c, right->held_out));
    taught->components.push_back(std::move(component));
  }
  result.model.picture_px = folder.picture_px;
  result.model.components = folder.components;
  result.model.variants = folder.variants;
  result.model.taught = std::move(taught);
  result.model.id = model_id(model_bytes(result.model));
  return result;
}

}  // namespace lastlook::vision
