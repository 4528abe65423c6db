// SPDX-License-Identifier: Apache-2.0
// Speed of the statistics, against bounds that people feel: a study judged while one waits, a year
// of hours charted within a frame, a file counted as fast as it is read.
#include <benchmark/benchmark.h>

#include <chrono>
#include <cstdio>
#include <memory>
#include <random>

#include "analytics/agreement.h"
#include "analytics/agreement_limits.h"
#include "analytics/control_chart_drawing.h"
#include "analytics/pareto.h"
#include "analytics/zone_rules.h"
#include "tests/places.h"

namespace lastlook::analytics {
namespace {

// 50 items, 3 inspectors, 3 trials, two categories; nine in ten looks are right.
Study seeded_study() {
  std::mt19937 random(50'3'3);
  std::vector<StudyRow> rows;
  for (int item = 0; item < 50; ++item) {
    const bool good = random() % 3 != 0;
    for (const char* inspector : {"A", "B", "C"}) {
      for (const char* trial : {"1", "2", "3"}) {
        const bool right = random() % 10 != 0;
        rows.push_back({std::to_string(item), inspector, trial, good == right ? "1" : "0",
                        good ? "1" : "0", 0});
      }
    }
  }
  return *make_study(rows);
}

void agreement_without_resampling(benchmark::State& state) {
  const Study study = seeded_study();
  for (auto _ : state) benchmark::DoNotOptimize(agreement_of(study));
}
BENCHMARK(agreement_without_resampling)->Unit(benchmark::kMillisecond);

// Bound: 50 ms. Nine BCa intervals of 2,000 resamples each.
void agreement_2000_resamples(benchmark::State& state) {
  const Study study = seeded_study();
  for (auto _ : state) {
    benchmark::DoNotOptimize(agreement_of(study));
    benchmark::DoNotOptimize(resampled_limits(study));
  }
}
BENCHMARK(agreement_2000_resamples)->Unit(benchmark::kMillisecond)->UseRealTime();

// Milliseconds that a general statistics library takes for the same study; 0 where it is not
// installed.
double rival_ms() {
  const std::string command =
      "/usr/bin/python3 " + source_dir() + "/tests/bench/agreement_rival.py 2>/dev/null";
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), pclose);
  double ms = 0;
  return pipe && std::fscanf(pipe.get(), "%lf", &ms) == 1 ? ms : 0;
}

// Bound: 100 times. The counter `times_faster` is the ratio within this run.
void agreement_against_statsmodels(benchmark::State& state) {
  static const double rival = rival_ms();
  const Study study = seeded_study();
  double ms = 0;
  for (auto _ : state) {
    const auto from = std::chrono::steady_clock::now();
    benchmark::DoNotOptimize(resampled_limits(study));
    ms +=
        std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - from).count();
  }
  state.counters["statsmodels_ms"] = rival;
  state.counters["times_faster"] = rival / (ms / static_cast<double>(state.iterations()));
}
BENCHMARK(agreement_against_statsmodels)->Unit(benchmark::kMillisecond)->UseRealTime();

std::vector<ChartSample> hourly_year() {
  std::mt19937 random(8760);
  std::vector<ChartSample> samples;
  for (int hour = 0; hour < 8760; ++hour) {
    const auto n = static_cast<std::int64_t>(60 + random() % 60);
    std::binomial_distribution<std::int64_t> found(n, 0.04);
    samples.push_back({std::to_string(hour), n, found(random), "", ""});
  }
  return samples;
}

ChartOptions all_questions(LimitKind limits) {
  ChartOptions options;
  options.limits = limits;
  options.questions = {Question::jump, Question::drift, Question::cycle};
  return options;
}

// Bound: 5 ms.
void a_year_of_hours_with_all_rules(benchmark::State& state) {
  const auto samples = hourly_year();
  for (auto _ : state)
    benchmark::DoNotOptimize(attribute_chart(samples, all_questions(LimitKind::sigma)));
}
BENCHMARK(a_year_of_hours_with_all_rules)->Unit(benchmark::kMillisecond);

void a_year_of_hours_with_exact_limits(benchmark::State& state) {
  const auto samples = hourly_year();
  for (auto _ : state)
    benchmark::DoNotOptimize(attribute_chart(samples, all_questions(LimitKind::exact)));
}
BENCHMARK(a_year_of_hours_with_exact_limits)->Unit(benchmark::kMillisecond);

void a_year_of_hours_laid_out(benchmark::State& state) {
  const auto chart = attribute_chart(hourly_year(), all_questions(LimitKind::sigma));
  ControlChartOptions options;
  options.frame = {1280, 800, 18, "Is it worse than usual?"};
  const WideSansMeasure measure;
  for (auto _ : state) benchmark::DoNotOptimize(control_chart_drawing(*chart, options, measure));
}
BENCHMARK(a_year_of_hours_laid_out)->Unit(benchmark::kMillisecond);

void exact_run_length_of_four_rules(benchmark::State& state) {
  const std::vector<ZoneRule> rules = {{1, 1, 3}, {2, 3, 2}, {4, 5, 1}, {8, 8, 0}};
  for (auto _ : state) benchmark::DoNotOptimize(average_run_length(rules, normal_outcomes(rules)));
}
BENCHMARK(exact_run_length_of_four_rules)->Unit(benchmark::kMillisecond);

void pareto_of_a_million_findings(benchmark::State& state) {
  std::mt19937 random(7);
  std::vector<std::string> kinds;
  for (int i = 0; i < 40; ++i) kinds.push_back("defect kind " + std::to_string(i));
  for (auto _ : state) {
    ParetoCounter counter;
    for (int i = 0; i < 1'000'000; ++i) counter.add(kinds[random() % 40], 1);
    benchmark::DoNotOptimize(counter.table());
  }
}
BENCHMARK(pareto_of_a_million_findings)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastlook::analytics

BENCHMARK_MAIN();
