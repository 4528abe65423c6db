// SPDX-License-Identifier: Apache-2.0
#include "vision/calibrate.h"

#include <algorithm>
#include <cmath>

namespace lastlook::vision {
namespace {

// Newton's method for the two numbers of a logistic curve.
void fit_logistic(Question& question, const std::vector<HeldOut>& held_out) {
  double weight[2] = {0, 0};
  for (const HeldOut& one : held_out) weight[one.yes ? 1 : 0] += 1;
  double a = 3;
  double b = 0;
  for (int step = 0; step < 50; ++step) {
    double ga = 1e-3 * (3 - a);
    double gb = 0;
    double haa = 1e-3;
    double hab = 0;
    double hbb = 1e-9;
    for (const HeldOut& one : held_out) {
      const double n = weight[one.yes ? 1 : 0];
      const double target = one.yes ? (n + 1) / (n + 2) : 1 / (n + 2);
      const double w = 1 / n;
      const double s = std::clamp(one.score, -3.0, 3.0);
      const double p = 1 / (1 + std::exp(-(a * s + b)));
      ga += w * (target - p) * s;
      gb += w * (target - p);
      const double v = w * std::max(p * (1 - p), 1e-6);
      haa += v * s * s;
      hab += v * s;
      hbb += v;
    }
    const double det = haa * hbb - hab * hab;
    const double da = (hbb * ga - hab * gb) / det;
    const double db = (haa * gb - hab * ga) / det;
    a = std::clamp(a + std::clamp(da, -2.0, 2.0), 0.5, 12.0);
    b = std::clamp(b + std::clamp(db, -2.0, 2.0), -12.0, 12.0);
    if (std::abs(da) + std::abs(db) < 1e-8) break;
  }
  question.slope = a;
  question.offset = b;
}

}  // namespace

void calibrate(Question& question, const std::vector<HeldOut>& held_out) {
  fit_logistic(question, held_out);
  question.yes_at = 0.7;
  question.no_at = 0.3;
}

ComponentReport report_on(const TeachingFolder& folder, std::size_t component,
                          const std::vector<HeldOut>& held_out) {
  ComponentReport report;
  report.name = folder.components[component].name;
  for (const LabelledPicture& picture : folder.pictures) {
    const Label& label = picture.labels[component];
    if (!label.given) continue;
    (label.state == State::present  ? report.present
     : label.state == State::absent ? report.absent
     : label.state == State::wrong  ? report.wrong
                                    : report.misplaced) += 1;
    (label.ok ? report.good : report.bad) += 1;
  }
  const bool any_real = std::any_of(held_out.begin(), held_out.end(),
                                    [](const HeldOut& h) { return !h.yes && !h.made_up; });
  report.made_up = !any_real;
  report.worst_good = INFINITY;
  report.best_bad = -INFINITY;
  for (const HeldOut& one : held_out) {
    if (one.made_up != (!one.yes && !any_real) || (one.disturbed && !one.made_up)) continue;
    if (one.yes && one.score < report.worst_good) {
      report.worst_good = one.score;
      report.worst_good_file = folder.pictures[one.picture].file;
    }
    if (!one.yes && one.score > report.best_bad) {
      report.best_bad = one.score;
      report.best_bad_file = folder.pictures[one.picture].file;
    }
  }
  return report;
}

}  // namespace lastlook::vision
