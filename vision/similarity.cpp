// SPDX-License-Identifier: Apache-2.0
#include "vision/similarity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace lastlook::vision {
namespace {

constexpr int parts_a_side = 3;
constexpr std::size_t least_parts = 4;
constexpr double least_weight = 3;  // of the pairs, below which a fit says nothing

// Similarity by least squares: q = a p + b with p, q as complex numbers; weights may be 0.
cv::Matx23d fit_weighted(const std::vector<cv::Point2d>& p, const std::vector<cv::Point2d>& q,
                         const std::vector<double>& weight) {
  double sum = 0;
  cv::Point2d pm;
  cv::Point2d qm;
  for (std::size_t i = 0; i < p.size(); ++i) {
    sum += weight[i];
    pm += weight[i] * p[i];
    qm += weight[i] * q[i];
  }
  pm *= 1 / sum;
  qm *= 1 / sum;
  double re = 0;
  double im = 0;
  double pp = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const cv::Point2d a = p[i] - pm;
    const cv::Point2d b = q[i] - qm;
    re += weight[i] * (a.x * b.x + a.y * b.y);
    im += weight[i] * (a.x * b.y - a.y * b.x);
    pp += weight[i] * (a.x * a.x + a.y * a.y);
  }
  const double c = re / pp;
  const double s = im / pp;
  return {c, -s, qm.x - c * pm.x + s * pm.y, s, c, qm.y - s * pm.x - c * pm.y};
}

// Which of the parts of the area a point lies in.
int part_of(cv::Point2d p, const cv::Rect2d& area) {
  const auto step = [](double offset, double side) {
    return std::clamp(static_cast<int>(offset / side * parts_a_side), 0, parts_a_side - 1);
  };
  return step(p.y - area.y, area.height) * parts_a_side + step(p.x - area.x, area.width);
}

using Corners = std::array<cv::Point2d, 4>;
Corners corners_of(const cv::Rect2d& area) {
  return {area.tl(), area.br(), {area.x, area.br().y}, {area.br().x, area.y}};
}

}  // namespace

cv::Point2d apply(const cv::Matx23d& m, cv::Point2d p) {
  return {m(0, 0) * p.x + m(0, 1) * p.y + m(0, 2), m(1, 0) * p.x + m(1, 1) * p.y + m(1, 2)};
}

Similarity fit_robustly(const std::vector<cv::Point2d>& from, const std::vector<cv::Point2d>& to) {
  Similarity fit;
  fit.weight.assign(from.size(), 1.0);
  double width = 8;  // px at which a pair stops counting, narrowed step by step
  for (int step = 0; step < 8; ++step) {
    if (std::accumulate(fit.weight.begin(), fit.weight.end(), 0.0) < least_weight) return fit;
    fit.to_picture = fit_weighted(from, to, fit.weight);
    double sum = 0;
    double count = 0;
    for (std::size_t i = 0; i < from.size(); ++i) {
      const double miss = cv::norm(apply(fit.to_picture, from[i]) - to[i]);
      const double u = miss / width;
      fit.weight[i] = u < 1 ? (1 - u * u) * (1 - u * u) : 0;
      if (u < 1) {
        sum += miss * miss;
        count += 1;
      }
    }
    fit.residual_px = count > 0 ? std::sqrt(sum / count) : 0;
    width = std::max(2.0, width * 0.7);
  }
  return fit;
}

double spread_px(const std::vector<cv::Point2d>& from, const std::vector<cv::Point2d>& to,
                 const std::vector<double>& weight, const cv::Rect2d& area) {
  std::vector<Corners> without;  // where the corners would lie without one part's pairs
  for (int part = 0; part < parts_a_side * parts_a_side; ++part) {
    std::vector<double> rest = weight;
    double taken = 0;
    for (std::size_t i = 0; i < rest.size(); ++i)
      if (part_of(from[i], area) == part) taken += std::exchange(rest[i], 0.0);
    if (taken <= 0) continue;
    if (std::accumulate(rest.begin(), rest.end(), 0.0) < least_weight)
      return std::numeric_limits<double>::infinity();
    const cv::Matx23d fit = fit_weighted(from, to, rest);
    Corners at = corners_of(area);
    for (cv::Point2d& corner : at) corner = apply(fit, corner);
    without.push_back(at);
  }
  if (without.size() < least_parts) return std::numeric_limits<double>::infinity();
  const auto parts = static_cast<double>(without.size());
  double worst = 0;
  for (std::size_t corner = 0; corner < Corners().size(); ++corner) {
    cv::Point2d mean;
    for (const Corners& at : without) mean += at[corner] / parts;
    double sum = 0;
    for (const Corners& at : without) sum += (at[corner] - mean).dot(at[corner] - mean);
    worst = std::max(worst, (parts - 1) / parts * sum);
  }
  return std::sqrt(worst);
}

}  // namespace lastlook::vision
