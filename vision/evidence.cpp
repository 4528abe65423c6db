// SPDX-License-Identifier: Apache-2.0
#include "vision/evidence.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/correlate.h"
#include "vision/features.h"
#include "vision/turning.h"

namespace lastlook::vision {
namespace {

constexpr double worst_share = 0.15;         // of cells that make a distance
constexpr int search_reach = 4;              // matching pixels each way
constexpr double brightest_of_median = 1.1;  // square-root-of-grey levels
constexpr double flat_sd = 0.06;             // square-root-of-grey levels

// The least spread a number is taken to have, by kind: what no good picture set shows it varies.
float least_sd(int value) {
  if (value < directions) return 0.06F;
  if (value == directions) return 0.15F;
  if (value < directions + 3) return 0.06F;
  return 0.10F;
}

cv::Mat weigh_cells(const PatchFrame& frame) {
  const int cols = frame.size.width / cell_side;
  const int rows = frame.size.height / cell_side;
  cv::Mat weight(1, rows * cols, CV_32F);
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < cols; ++x) {
      const cv::Rect2d cell(x * cell_side, y * cell_side, cell_side, cell_side);
      const double share = (cell & frame.inner).area() / cell.area();
      weight.at<float>(y * cols + x) =
          frame.own.at<unsigned char>(y * cols + x) ? static_cast<float>(0.3 + 0.7 * share) : 0.0F;
    }
  }
  return weight;
}

cv::Rect template_box(const PatchFrame& frame, cv::Size view) {
  const cv::Rect inner(cvRound(frame.inner.x / 2), cvRound(frame.inner.y / 2),
                       cvRound(frame.inner.width / 2), cvRound(frame.inner.height / 2));
  const cv::Rect room(search_reach, search_reach, view.width - 2 * search_reach,
                      view.height - 2 * search_reach);
  return inner & room;
}

// Which pixels of a template count: those of the component's own cells.
cv::Mat counting_pixels(const PatchFrame& frame, cv::Size view) {
  cv::Mat cells = frame.own.reshape(1, frame.size.height / cell_side);
  cv::Mat pixels;
  cv::resize(cells, pixels, view, 0, 0, cv::INTER_NEAREST);
  pixels = pixels(template_box(frame, view));
  if (cv::countNonZero(pixels) == static_cast<int>(pixels.total())) return {};
  cv::Mat counts;
  pixels.convertTo(counts, CV_32F);
  return counts;
}

}  // namespace

Normal learn_normal(const std::vector<cv::Mat>& rows, const PatchFrame& frame) {
  Normal normal;
  cv::Mat all;
  for (const cv::Mat& row : rows) all.push_back(row);
  cv::reduce(all, normal.mean, 0, cv::REDUCE_AVG, CV_32F);
  normal.inverse_sd.create(1, all.cols, CV_32F);
  for (int j = 0; j < all.cols; ++j) {
    double squares = 0;
    for (int i = 0; i < all.rows; ++i) {
      const double d = static_cast<double>(all.at<float>(i, j) - normal.mean.at<float>(j));
      squares += d * d;
    }
    const double least = static_cast<double>(least_sd(j % cell_values));
    normal.inverse_sd.at<float>(j) =
        static_cast<float>(1 / std::sqrt(squares / all.rows + least * least));
  }
  normal.cell_weight = weigh_cells(frame);
  return normal;
}

cv::Mat cell_distances(const Normal& normal, const cv::Mat& row) {
  const int cells = row.cols / cell_values;
  cv::Mat out(3, cells, CV_32F);
  const auto* value = row.ptr<float>();
  const auto* mean = normal.mean.ptr<float>();
  const auto* inverse = normal.inverse_sd.ptr<float>();
  for (int cell = 0; cell < cells; ++cell) {
    float z[cell_values];
    for (int k = 0; k < cell_values; ++k) {
      const int j = cell * cell_values + k;
      const float d = (value[j] - mean[j]) * inverse[j];
      z[k] = d * d;
    }
    float sum = 0;
    for (int k = 0; k <= directions; ++k) sum += z[k];
    const float weight = normal.cell_weight.at<float>(cell);
    out.at<float>(0, cell) = weight * sum / (directions + 1);
    out.at<float>(1, cell) = weight * (z[directions + 1] + z[directions + 2]) / 2;
    out.at<float>(2, cell) = weight * z[directions + 3];
  }
  return out;
}

void measure_distances(Evidence& evidence, const Normal& normal, const cv::Mat& row) {
  const cv::Mat distances = cell_distances(normal, row);
  const int cells = distances.cols;
  const int own = cv::countNonZero(normal.cell_weight);
  const int worst =
      std::min(cells - 1, std::max(2, static_cast<int>(std::lround(worst_share * own))));
  std::vector<float> sorted(static_cast<std::size_t>(cells));
  for (int kind = 0; kind < 3; ++kind) {
    std::copy_n(distances.ptr<float>(kind), cells, sorted.begin());
    std::nth_element(sorted.begin(), sorted.begin() + worst, sorted.end(), std::greater<>());
    double sum = 0;
    for (int i = 0; i < worst; ++i) sum += static_cast<double>(sorted[static_cast<std::size_t>(i)]);
    evidence[edges + kind] = std::sqrt(sum / worst);
  }
}

cv::Mat matching_view(const cv::Mat& patch) {
  cv::Mat grey;
  cv::Mat view;
  cv::cvtColor(patch, grey, cv::COLOR_BGR2GRAY);
  cv::resize(grey, view, {grey.cols / 2, grey.rows / 2}, 0, 0, cv::INTER_AREA);
  cv::sqrt(cv::max(view, 0.0F), view);
  return view;
}

void dim_highlights(cv::Mat& view, const cv::Rect2d& box) {
  const cv::Mat part = view(cv::Rect(box)).clone();
  std::vector<float> levels(part.begin<float>(), part.end<float>());
  const auto middle = levels.begin() + static_cast<std::ptrdiff_t>(levels.size() / 2);
  std::nth_element(levels.begin(), middle, levels.end());
  cv::min(view, brightest_of_median * static_cast<double>(*middle), view);
}

cv::Mat matching_view(const cv::Mat& patch, const PatchFrame& frame) {
  cv::Mat view = matching_view(patch);
  if (frame.turns) dim_highlights(view, box_in_view(frame));
  return view;
}

cv::Rect2d box_in_view(const PatchFrame& frame) {
  return template_box(frame, {frame.size.width / 2, frame.size.height / 2});
}

Match best_match(const std::vector<cv::Mat>& templates, const PatchFrame& frame,
                 const cv::Mat& view) {
  Match best;
  if (templates.empty()) return best;
  best.correlation = -1;
  const cv::Rect box = template_box(frame, view.size());
  const cv::Rect window(box.x - search_reach, box.y - search_reach, box.width + 2 * search_reach,
                        box.height + 2 * search_reach);
  cv::Mat surface;
  const cv::Mat counts = counting_pixels(frame, view.size());
  const cv::Mat upright =
      frame.turns ? turned_upright(view, template_box(frame, view.size()), templates) : view;
  for (const cv::Mat& one : templates) {
    correlate(upright(window), one, surface, counts);
    const Peak peak = find_peak(surface);
    if (!(peak.value > best.correlation)) continue;
    best.correlation = peak.value;
    best.shift = 2.0 * (peak.fine - cv::Point2d(search_reach, search_reach));
  }
  return best;
}

cv::Size template_size(const PatchFrame& frame) {
  return template_box(frame, {frame.size.width / 2, frame.size.height / 2}).size();
}

Result<cv::Mat> cut_template(const PatchFrame& frame, const cv::Mat& view) {
  cv::Mat cut = view(template_box(frame, view.size())).clone();
  const cv::Mat counts = counting_pixels(frame, view.size());
  cv::Mat mask;
  if (!counts.empty()) counts.convertTo(mask, CV_8U);
  cv::Scalar mean;
  cv::Scalar sd;
  cv::meanStdDev(cut, mean, sd, mask);
  if (!(sd[0] > flat_sd) || !make_unit(cut, counts))
    return fail(Category::bad_input, "its place shows nothing to recognise: flat, without edges");
  return cut;
}

}  // namespace lastlook::vision
