// SPDX-License-Identifier: Apache-2.0
#include "vision/teach_report.h"

#include <algorithm>
#include <cmath>

#include "analytics/interval.h"

namespace lastlook::vision {
namespace {

// Largest rate that k of n leaves possible at 95 %; with no pictures, any.
double upper_limit(int k, int n) {
  return analytics::exact_upper_limit(k, n).value_or(1.0);
}

void count_labels(ComponentReport& report, const TeachingFolder& folder, std::size_t component) {
  for (const LabelledPicture& picture : folder.pictures) {
    const Label& label = picture.labels[component];
    if (!label.given) continue;
    (label.state == State::present  ? report.present
     : label.state == State::absent ? report.absent
     : label.state == State::wrong  ? report.wrong
                                    : report.misplaced) += 1;
    (label.ok ? report.good : report.bad) += 1;
  }
}

void count_held_out(ComponentReport& report, const HeldOut& one, const Question& question) {
  const bool yes = one.probability >= question.yes_at;
  const bool no = one.probability <= question.no_at;
  if (one.yes) {
    report.good_stopped += no ? 1 : 0;
    report.good_unsure += !yes && !no ? 1 : 0;
  } else {
    report.bad_passed += yes ? 1 : 0;
    report.bad_unsure += !yes && !no ? 1 : 0;
  }
}

// Of several from one picture the most telling stands; they are brought in order at the end.
void note(std::vector<HeldOutPicture>& ones, std::size_t picture, double score, bool good) {
  const auto known = std::ranges::find(ones, picture, &HeldOutPicture::picture);
  if (known == ones.end())
    ones.push_back({picture, score});
  else
    known->score = good ? std::min(known->score, score) : std::max(known->score, score);
}

}  // namespace

ComponentReport report_on(const TeachingFolder& folder, std::size_t component,
                          const std::vector<HeldOut>& held_out, const TaughtComponent& taught) {
  ComponentReport report;
  report.name = folder.components[component].name;
  count_labels(report, folder, component);
  report.turns = taught.frame.turns;
  report.looks = static_cast<int>(taught.right.size());
  for (const std::string& code : taught.code_of)
    if (!code.empty() && report.code_prefix.find(code) == std::string::npos)
      report.code_prefix += (report.code_prefix.empty() ? "" : " | ") + code;
  report.made_up = std::none_of(held_out.begin(), held_out.end(),
                                [](const HeldOut& h) { return !h.yes && !h.sight->made_up; });
  report.worst_good = 1;
  report.best_bad = 0;
  int good = 0;
  int bad = 0;
  for (const HeldOut& one : held_out) {
    const bool counts =
        one.yes ? !one.sight->disturbed
                : one.sight->made_up == report.made_up && (report.made_up || !one.sight->disturbed);
    if (!counts) continue;
    (one.yes ? good : bad) += 1;
    count_held_out(report, one, taught.right[0]);
    note(one.yes ? report.good_ones : report.bad_ones, one.sight->picture, one.probability,
         one.yes);
    const std::string& file = folder.pictures[one.sight->picture].file;
    if (one.yes && one.probability <= report.worst_good) {
      report.worst_good = one.probability;
      report.worst_good_file = file;
    }
    if (!one.yes && one.probability >= report.best_bad) {
      report.best_bad = one.probability;
      report.best_bad_file = file;
    }
  }
  std::ranges::stable_sort(report.good_ones, {}, &HeldOutPicture::score);
  std::ranges::stable_sort(report.bad_ones, std::ranges::greater{}, &HeldOutPicture::score);
  report.false_alarm_limit = upper_limit(report.good_stopped, good);
  report.miss_rate_limit = report.made_up ? 1 : upper_limit(report.bad_passed, bad);
  return report;
}

}  // namespace lastlook::vision
