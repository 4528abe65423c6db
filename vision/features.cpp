// SPDX-License-Identifier: Apache-2.0
#include "vision/features.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace lastlook::vision {
namespace {

constexpr float noise_floor = 0.35F;  // of edge strength, in square-root-of-grey levels a cell
constexpr float dark = 18.0F;         // grey level under which colour means little

// Sums over cells of the edge strength in each direction.
cv::Mat direction_cells(const cv::Mat& root) {
  cv::Mat gx;
  cv::Mat gy;
  cv::Mat strength;
  cv::Mat angle;
  cv::Sobel(root, gx, CV_32F, 1, 0, 3, 0.125);
  cv::Sobel(root, gy, CV_32F, 0, 1, 3, 0.125);
  cv::cartToPolar(gx, gy, strength, angle, true);
  const int rows = root.rows / cell_side;
  const int cols = root.cols / cell_side;
  cv::Mat cells = cv::Mat::zeros(rows * cols, directions, CV_32F);
  constexpr float per_degree = static_cast<float>(directions) / 180.0F;
  for (int y = 0; y < rows * cell_side; ++y) {
    const auto* s = strength.ptr<float>(y);
    const auto* a = angle.ptr<float>(y);
    auto* row = cells.ptr<float>((y / cell_side) * cols);
    for (int x = 0; x < cols * cell_side; ++x) {
      const float bin = a[x] * per_degree;
      const int low = static_cast<int>(bin);
      const float share = bin - static_cast<float>(low);
      float* cell = row + (x / cell_side) * directions;
      cell[low % directions] += s[x] * (1 - share);
      cell[(low + 1) % directions] += s[x] * share;
    }
  }
  return cells;
}

float median(std::vector<float> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

cv::Mat describe(const cv::Mat& patch, const cv::Mat& own) {
  const int rows = patch.rows / cell_side;
  const int cols = patch.cols / cell_side;
  cv::Mat grey;
  cv::cvtColor(patch, grey, cv::COLOR_BGR2GRAY);
  cv::Mat root;
  cv::sqrt(cv::max(grey, 0.0F), root);
  const cv::Mat edges = direction_cells(root);
  cv::Mat colour;  // mean of each cell
  cv::resize(patch, colour, {cols, rows}, 0, 0, cv::INTER_AREA);

  const auto* mine = own.ptr<unsigned char>();
  std::vector<float> energy(static_cast<std::size_t>(rows * cols));
  std::vector<float> brightness(energy.size());
  std::vector<float> own_brightness;
  float mean_energy = 0;
  for (int i = 0; i < rows * cols; ++i) {
    const auto* e = edges.ptr<float>(i);
    float sum = 0;
    for (int d = 0; d < directions; ++d) sum += e[d];
    energy[static_cast<std::size_t>(i)] = sum / (cell_side * cell_side);
    const auto& c = colour.at<cv::Vec3f>(i / cols, i % cols);
    brightness[static_cast<std::size_t>(i)] = 0.114F * c[0] + 0.587F * c[1] + 0.299F * c[2];
    if (!mine[i]) continue;
    mean_energy += energy[static_cast<std::size_t>(i)];
    own_brightness.push_back(brightness[static_cast<std::size_t>(i)]);
  }
  cv::Mat out = cv::Mat::zeros(1, rows * cols * cell_values, CV_32F);
  if (own_brightness.empty()) return out;
  mean_energy /= static_cast<float>(own_brightness.size());
  const float middle = median(std::move(own_brightness));
  auto* to = out.ptr<float>();
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < cols; ++x, to += cell_values) {
      if (!mine[y * cols + x]) continue;
      float around = 0;
      float weight = 0;
      for (int v = std::max(0, y - 1); v <= std::min(rows - 1, y + 1); ++v) {
        for (int u = std::max(0, x - 1); u <= std::min(cols - 1, x + 1); ++u) {
          if (!mine[v * cols + u]) continue;
          around += energy[static_cast<std::size_t>(v * cols + u)];
          weight += 1;
        }
      }
      const std::size_t i = static_cast<std::size_t>(y * cols + x);
      const float norm =
          (around / weight + 0.35F * mean_energy + noise_floor * 0.25F) * (cell_side * cell_side);
      const auto* e = edges.ptr<float>(static_cast<int>(i));
      for (int d = 0; d < directions; ++d) to[d] = std::sqrt(e[d] / norm);
      to[directions] = std::sqrt(energy[i] / (mean_energy + noise_floor * 0.25F));
      const auto& c = colour.at<cv::Vec3f>(y, x);
      const float level = brightness[i] + dark;
      to[directions + 1] = 2 * (c[2] - c[1]) / level;
      to[directions + 2] = 2 * (c[0] - c[1]) / level;
      to[directions + 3] = 0.7F * std::log((brightness[i] + dark) / (middle + dark));
    }
  }
  cv::patchNaNs(out, 0);
  return out;
}

}  // namespace lastlook::vision
