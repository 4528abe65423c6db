// SPDX-License-Identifier: Apache-2.0
// Judging a picture, against plain full-picture matching of the same components' templates in the
// same run, on one core. The bound: 50 times faster with ten components, alignment included.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <cstdio>
#include <filesystem>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "tests/places.h"
#include "vision/align.h"
#include "vision/features.h"
#include "vision/judge.h"
#include "vision/tag.h"
#include "vision/taught.h"
#include "vision/teach.h"

namespace lastlook::vision {
namespace {

namespace fs = std::filesystem;

fs::path pump() {
  return fs::path(source_dir()) / "sample-images" / "coolant-pump";
}
cv::Mat picture(const char* file, bool colour = true) {
  return cv::imread((pump() / file).string(), colour ? cv::IMREAD_COLOR : cv::IMREAD_GRAYSCALE);
}

// Taught on the good pictures; with more or fewer components than the pump's ten by repeating them.
Model taught(std::size_t components) {
  TeachingFolder folder = *read_teaching_folder(pump());
  std::erase_if(folder.pictures, [](const auto& p) { return !p.file.starts_with("teach"); });
  Model model = teach(folder)->model;
  auto more = std::make_shared<Taught>(*model.taught);
  const std::vector<TaughtComponent> ten = more->components;
  const std::vector<Component> names = model.components;
  more->components.clear();
  model.components.clear();
  for (Variant& v : model.variants) v.expected.assign(components, Expected::present);
  for (std::size_t i = 0; i < components; ++i) {
    more->components.push_back(ten[i % ten.size()]);
    model.components.push_back(names[i % names.size()]);
  }
  model.taught = more;
  return model;
}

const Model& ten_components() {
  static const Model model = taught(10);
  return model;
}

void judge_picture(benchmark::State& state) {
  const auto n = static_cast<std::size_t>(state.range(0));
  const Model model = n == 10 ? ten_components() : taught(n);
  const cv::Mat unit = picture("check-001.jpg");
  double align_ms = 0;
  for (auto _ : state) {
    const Judgement judgement = *judge(model, unit, "CP-210");
    align_ms += judgement.align_ms;
    benchmark::DoNotOptimize(judgement.components.data());
  }
  state.counters["align_ms"] = align_ms / static_cast<double>(state.iterations());
}
BENCHMARK(judge_picture)->Arg(2)->Arg(10)->Arg(40)->Unit(benchmark::kMillisecond);

// The time that judging is compared with. In grey: in colour it takes three times as long, though
// judging reads colour.
void plain_full_picture_matching(benchmark::State& state) {
  const bool colour = state.range(0) != 0;
  const cv::Mat reference = picture("reference.jpg", colour);
  const cv::Mat unit = picture("check-001.jpg", colour);
  std::vector<cv::Mat> templates;
  for (const Component& c : ten_components().components)
    templates.push_back(reference(cv::Rect(c.box_px)).clone());
  cv::Mat surface;
  for (auto _ : state) {
    for (const cv::Mat& one : templates)
      cv::matchTemplate(unit, one, surface, cv::TM_CCOEFF_NORMED);
    benchmark::DoNotOptimize(surface.data);
  }
}
BENCHMARK(plain_full_picture_matching)
    ->ArgName("colour")
    ->Arg(0)
    ->Arg(1)
    ->Unit(benchmark::kMillisecond);

// Pictures of other sizes are brought to the reference's first.
void judge_megapixels(benchmark::State& state) {
  cv::Mat unit;
  const double f = static_cast<double>(state.range(0)) / 1280;
  cv::resize(picture("check-001.jpg"), unit, {}, f, f, f < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  for (auto _ : state) benchmark::DoNotOptimize(judge(ten_components(), unit, "CP-210")->total_ms);
  state.counters["megapixel"] = static_cast<double>(unit.total()) / 1e6;
}
BENCHMARK(judge_megapixels)
    ->Arg(640)
    ->Arg(1280)
    ->Arg(2560)
    ->Arg(4000)
    ->Unit(benchmark::kMillisecond);

void align_picture(benchmark::State& state) {
  cv::Mat grey;
  cv::cvtColor(picture("check-001.jpg"), grey, cv::COLOR_BGR2GRAY);
  const AlignmentReference& reference = ten_components().taught->alignment;
  for (auto _ : state)
    benchmark::DoNotOptimize(align(reference, alignment_views(grey, grey.size())).residual_px);
}
BENCHMARK(align_picture)->Unit(benchmark::kMillisecond);

void views_and_light(benchmark::State& state) {
  const cv::Mat unit = picture("check-001.jpg");
  const Model& model = ten_components();
  for (auto _ : state) {
    const PictureViews views = picture_views(unit);
    benchmark::DoNotOptimize(
        light_gains(model.taught->thumbnail, views, {1, 0, 0, 0, 1, 0}, model.picture_px)[0]);
  }
}
BENCHMARK(views_and_light)->Unit(benchmark::kMillisecond);

// The search over small shifts, of all ten components' templates.
void match_templates(benchmark::State& state) {
  const PictureViews views = picture_views(picture("reference.jpg"));
  const Taught& taught = *ten_components().taught;
  std::vector<cv::Mat> seen;
  for (const TaughtComponent& c : taught.components)
    seen.push_back(
        matching_view(cut_patch(views, c.frame, {1, 0, 0, 0, 1, 0}, {1, 1, 1}), c.frame));
  for (auto _ : state)
    for (std::size_t i = 0; i < seen.size(); ++i)
      benchmark::DoNotOptimize(
          best_match(taught.components[i].right[0].templates, taught.components[i].frame, seen[i])
              .correlation);
}
BENCHMARK(match_templates)->Unit(benchmark::kMillisecond);

void describe_patch(benchmark::State& state) {
  cv::Mat patch;
  cv::resize(picture("check-001.jpg"), patch, {96, 96}, 0, 0, cv::INTER_AREA);
  patch.convertTo(patch, CV_32F);
  const cv::Mat own(1, 12 * 12, CV_8U, cv::Scalar(1));
  for (auto _ : state) benchmark::DoNotOptimize(describe(patch, own).data);
}
BENCHMARK(describe_patch)->Unit(benchmark::kMicrosecond);

void read_tags_in_a_whole_picture(benchmark::State& state) {
  const cv::Mat unit = picture("check-001.jpg");
  for (auto _ : state) benchmark::DoNotOptimize(read_tags(unit, Effort::quick).size());
}
BENCHMARK(read_tags_in_a_whole_picture)->Unit(benchmark::kMillisecond);

// Prints the ratio, which stands on any machine, where milliseconds do not.
class RatioReporter : public benchmark::ConsoleReporter {
 public:
  void ReportRuns(const std::vector<Run>& runs) override {
    for (const Run& run : runs) {
      const double ms = run.GetAdjustedCPUTime();
      if (run.benchmark_name() == "judge_picture/10") judge_ms_ = ms;
      if (run.benchmark_name() == "plain_full_picture_matching/colour:0") plain_ms_ = ms;
    }
    ConsoleReporter::ReportRuns(runs);
  }
  void Finalize() override {
    ConsoleReporter::Finalize();
    if (judge_ms_ > 0 && plain_ms_ > 0)
      std::printf(
          "judging ten components is %.1f times faster than plain matching in grey (bound: 50)\n",
          plain_ms_ / judge_ms_);
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    std::printf("largest resident memory, teaching included: %.0f MB\n",
                static_cast<double>(usage.ru_maxrss) / 1024);
  }

 private:
  double judge_ms_ = 0;
  double plain_ms_ = 0;
};

}  // namespace
}  // namespace lastlook::vision

int main(int argc, char** argv) {
  cv::setNumThreads(1);
  benchmark::Initialize(&argc, argv);
  lastlook::vision::RatioReporter reporter;
  benchmark::RunSpecifiedBenchmarks(&reporter);
  return 0;
}
