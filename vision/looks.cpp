// SPDX-License-Identifier: Apache-2.0
#include "vision/looks.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "vision/code_head.h"

namespace lastlook::vision {
namespace {

constexpr double clearly = 2;  // times nearer, squared: a neighbour's shadow makes no other look
constexpr int least_pictures = 3;  // of each of two variants, before they are called different

std::vector<const Sight*> right_ones(const std::vector<Sight>& sights, std::size_t variant) {
  std::vector<const Sight*> out;
  for (const Sight& s : sights)
    if (s.variant == variant && s.state == State::present && !s.made_up && !s.disturbed)
      out.push_back(&s);
  return out;
}

// The head that the codes on right ones share, if most carry one and none another.
std::string shared_head(const std::vector<const Sight*>& ones,
                        const std::vector<std::string>& codes) {
  std::string head;
  std::size_t read = 0;
  for (const Sight* one : ones) {
    const std::string& code = codes[one->picture];
    if (code.empty()) continue;
    const std::string this_head = code_head(code);
    if (read > 0 && this_head != head) return {};
    head = this_head;
    ++read;
  }
  return 2 * read > ones.size() ? head : std::string();
}

// Variation within variants, by column.
cv::Mat inverse_variance(const std::vector<const Sight*>& a, const std::vector<const Sight*>& b) {
  cv::Mat sum = cv::Mat::zeros(1, a[0]->row.cols, CV_32F);
  for (const auto* group : {&a, &b}) {
    cv::Mat mean = cv::Mat::zeros(1, a[0]->row.cols, CV_32F);
    for (const Sight* s : *group) mean += s->row / static_cast<double>(group->size());
    for (const Sight* s : *group) {
      const cv::Mat d = s->row - mean;
      sum += d.mul(d);
    }
  }
  cv::Mat out;
  cv::divide(1.0, sum / static_cast<double>(a.size() + b.size()) + 0.01, out);
  return out;
}

// Whether each right one has its clearly nearest neighbour within its own variant. Light alone does
// not do that: pictures of one light and both variants are nearest to each other.
bool look_different(const std::vector<const Sight*>& a, const std::vector<const Sight*>& b) {
  if (a.size() < least_pictures || b.size() < least_pictures) return false;
  const cv::Mat scale = inverse_variance(a, b);
  std::size_t own = 0;
  for (const auto& [mine, other] : {std::pair(&a, &b), std::pair(&b, &a)}) {
    for (const Sight* s : *mine) {
      const auto nearest = [&](const std::vector<const Sight*>& among) {
        double least = INFINITY;
        for (const Sight* t : among) {
          if (t == s) continue;
          const cv::Mat d = s->row - t->row;
          least = std::min(least, d.mul(d).dot(scale));
        }
        return least;
      };
      own += clearly * nearest(*mine) < nearest(*other) ? 1 : 0;
    }
  }
  return own == a.size() + b.size();
}

}  // namespace

Looks find_looks(const std::vector<Sight>& sights, const std::vector<Variant>& variants,
                 std::size_t component, const std::vector<std::string>& codes) {
  Looks looks;
  looks.look_of.assign(variants.size(), 0);
  looks.code_of.assign(variants.size(), "");
  std::vector<std::vector<const Sight*>> ones;
  for (std::size_t v = 0; v < variants.size(); ++v) {
    ones.push_back(right_ones(sights, v));
    looks.code_of[v] = shared_head(ones[v], codes);
  }
  std::vector<std::size_t> leaders;  // the first variant of each look
  for (std::size_t v = 0; v < variants.size(); ++v) {
    if (variants[v].expected[component] != Expected::present || ones[v].empty()) continue;
    const auto same = std::find_if(leaders.begin(), leaders.end(), [&](std::size_t leader) {
      const bool other_code = looks.code_of[v] != looks.code_of[leader] &&
                              !looks.code_of[v].empty() && !looks.code_of[leader].empty();
      return !other_code && !look_different(ones[v], ones[leader]);
    });
    looks.look_of[v] = static_cast<std::size_t>(same - leaders.begin());
    if (same == leaders.end()) leaders.push_back(v);
  }
  looks.count = std::max<std::size_t>(1, leaders.size());
  return looks;
}

}  // namespace lastlook::vision
