// SPDX-License-Identifier: Apache-2.0
// Speed of the statistics, against bounds that people feel: a study judged while one waits, a year
// of hours charted within a frame, a file counted as fast as it is read.
#include <benchmark/benchmark.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <memory>
#include <random>

#include "analytics/agreement.h"
#include "analytics/agreement_limits.h"
#include "analytics/comparison.h"
#include "analytics/control_chart_drawing.h"
#include "analytics/paired_tests.h"
#include "analytics/pareto.h"
#include "analytics/second_look.h"
#include "analytics/small_shift.h"
#include "analytics/two_judgements.h"
#include "analytics/yield.h"
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

void design_of_a_cusum(benchmark::State& state) {
  const auto chart = attribute_chart(hourly_year());
  SmallShiftOptions options;
  options.kind = SmallShiftKind::cusum;
  for (auto _ : state) benchmark::DoNotOptimize(small_shift_chart(*chart, options));
}
BENCHMARK(design_of_a_cusum)->Unit(benchmark::kMillisecond);

void comparison_of_60_cells_by_batches(benchmark::State& state) {
  std::mt19937 random(60);
  std::vector<std::string> names;
  for (int i = 0; i < 60; ++i) names.push_back("cell " + std::to_string(i));
  const auto period = [&] {
    std::vector<Batch> batches(40);
    for (Batch& batch : batches) {
      for (int i = 0; i < 60; ++i) batch.hits.push_back(static_cast<std::int64_t>(random() % 4));
      batch.units = 200;
    }
    return batches;
  };
  const auto before = period();
  const auto after = period();
  for (auto _ : state) benchmark::DoNotOptimize(compare_batches(names, before, after));
}
BENCHMARK(comparison_of_60_cells_by_batches)->Unit(benchmark::kMillisecond);

// How often each kind of limits holds the truth, over seeded simulations; 0.95 is promised. Exact
// ones hold it more often, for counts are whole.
void cover(benchmark::State& state, const std::function<Result<Interval>(std::mt19937&)>& draw,
           double truth, int times) {
  int held = 0;
  int defined = 0;
  for (auto _ : state) {
    std::mt19937 random(95);
    for (int i = 0; i < times; ++i) {
      const Result<Interval> limits = draw(random);
      if (!limits) continue;
      ++defined;
      held += limits->low <= truth && truth <= limits->high ? 1 : 0;
    }
  }
  state.counters["coverage"] = static_cast<double>(held) / defined;
  state.counters["defined"] = static_cast<double>(defined) / times;
}

std::int64_t drawn(std::mt19937& random, std::int64_t n, double p) {
  return std::binomial_distribution<std::int64_t>(n, p)(random);
}

void coverage_wilson(benchmark::State& state) {
  cover(
      state, [](auto& r) { return binomial_interval(drawn(r, 80, 0.06), 80); }, 0.06, 100000);
}
void coverage_clopper_pearson(benchmark::State& state) {
  cover(
      state,
      [](auto& r) {
        return binomial_interval(drawn(r, 80, 0.06), 80, BinomialMethod::clopper_pearson);
      },
      0.06, 20000);
}
void coverage_newcombe(benchmark::State& state) {
  cover(
      state,
      [](auto& r) {
        return difference_interval({drawn(r, 90, 0.2), 90}, {drawn(r, 70, 0.1), 70});
      },
      0.1, 100000);
}
void coverage_poisson(benchmark::State& state) {
  cover(
      state,
      [](auto& r) { return poisson_interval(std::poisson_distribution<std::int64_t>(7)(r)); }, 7,
      20000);
}
void coverage_rolled_yield(benchmark::State& state) {
  cover(
      state,
      [](auto& r) -> Result<Interval> {
        std::vector<StepYield> steps;
        for (const double yield : {0.97, 0.9, 0.99, 0.95}) {
          const Rate rate = *first_pass_yield(drawn(r, 200, yield), 200);
          steps.push_back({rate.value, rate.limits});
        }
        return rolled_yield(steps)->limits;
      },
      0.97 * 0.9 * 0.99 * 0.95, 20000);
}
// First and second look over so many units, one in fifty of them rejected at first, of which the
// second look accepts a tenth. Rejected ones are all drawn, accepted ones at `percent`; `escapes`
// of a thousand accepted would be rejected: kappa is 0.84 or 0.75.
void coverage_weighted_kappa(benchmark::State& state) {
  constexpr double kBad = 0.02;
  constexpr double kReturned = 0.1;
  const auto units = state.range(0);
  const double probability = static_cast<double>(state.range(1)) / 100;
  const double escaped = static_cast<double>(state.range(2)) / 1000;
  const double observed = 1 - kBad * kReturned - (1 - kBad) * escaped;
  const double second = kBad * (1 - kReturned) + (1 - kBad) * escaped;
  const double expected = kBad * second + (1 - kBad) * (1 - second);
  cover(
      state,
      [&](auto& r) {
        std::vector<SecondLook> looks;
        for (std::int64_t unit = 0; unit < units; ++unit) {
          const bool first = drawn(r, 1, kBad) == 1;
          const bool turned = drawn(r, 1, first ? kReturned : escaped) == 1;
          const double rate = first ? 1 : probability;
          if (drawn(r, 1, rate) == 1) looks.push_back({"", first, first != turned, rate});
        }
        BootstrapOptions options;
        options.resamples = 1000;
        return weighted_agreement(looks, options).limits;
      },
      (observed - expected) / (1 - expected), 1000);
}
// The same table's share on which both looks agree.
void coverage_weighted_alike(benchmark::State& state) {
  cover(
      state,
      [](auto& r) {
        std::vector<SecondLook> looks;
        for (int unit = 0; unit < 1000; ++unit) {
          const bool first = drawn(r, 1, 0.02) == 1;
          const bool turned = drawn(r, 1, first ? 0.1 : 0.01) == 1;
          const double rate = first ? 1 : 0.05;
          if (drawn(r, 1, rate) == 1) looks.push_back({"", first, first != turned, rate});
        }
        BootstrapOptions options;
        options.resamples = 1000;
        return weighted_agreement(looks, options).alike_limits;
      },
      1 - 0.02 * 0.1 - 0.98 * 0.01, 1000);
}
// Escapes of two weeks of 1,000 accepted units each, drawn at 5 % and at 20 %: 2 % escaped in the
// first, 0.5 % in the second.
void coverage_escapes_of_unequal_rates(benchmark::State& state) {
  cover(
      state,
      [](auto& r) {
        std::vector<SecondLook> looks;
        for (int unit = 0; unit < 2000; ++unit) {
          const double rate = unit < 1000 ? 0.05 : 0.2;
          const bool escaped = drawn(r, 1, unit < 1000 ? 0.02 : 0.005) == 1;
          if (drawn(r, 1, rate) == 1) looks.push_back({"", false, escaped, rate});
        }
        return escapes_of(looks).limits;
      },
      0.0125, 5000);
}
// Person and camera on five components of second looks: 400 units, a tenth of them rejected at
// first and bad in two components, drawn at one half, the others at one in five. Each is right in
// 0.95.
void coverage_of_judgements_by_rates(benchmark::State& state) {
  constexpr double alike = 0.95 * 0.95 + 0.05 * 0.05;
  constexpr double bad = 0.1 * 2 / 5;
  constexpr double good = (1 - bad) * 0.95 + bad * 0.05;
  constexpr double chance = good * good + (1 - good) * (1 - good);
  cover(
      state,
      [](auto& r) -> Result<Interval> {
        std::vector<JudgedTwice> judged;
        for (int unit = 0; unit < 400; ++unit) {
          const bool rejected = drawn(r, 1, 0.1) == 1;
          const double rate = rejected ? 0.5 : 0.2;
          if (drawn(r, 1, rate) == 0) continue;
          for (int component = 0; component < 5; ++component) {
            const std::int64_t wrong = rejected && component < 2 ? 1 : 0;
            const auto says = [&] {
              return static_cast<std::size_t>(drawn(r, 1, 0.95) == 1 ? wrong : 1 - wrong);
            };
            judged.push_back({std::to_string(unit), says(), says(), 1 / rate});
          }
        }
        BootstrapOptions options;
        options.resamples = 1000;
        return two_judgements(judged, 2, options).limits;
      },
      (alike - chance) / (1 - chance), 400);
}
// A shift's own rate wanders about 0.1: batches cluster. The true difference is 0.
void coverage_of_batches(benchmark::State& state) {
  cover(
      state,
      [](auto& r) -> Result<Interval> {
        const auto period = [&] {
          std::vector<Batch> batches(20);
          for (Batch& batch : batches) {
            const double rate = std::uniform_real_distribution<double>(0.02, 0.18)(r);
            batch = {{drawn(r, 60, rate)}, 60};
          }
          return batches;
        };
        const auto before = period();
        return (*compare_batches({"cell"}, before, period()))[0].limits;
      },
      0, 300);
}
// A study of 50 items, a third of them bad, each rating right in nine of ten whatever the item: for
// two inspectors alike in 0.82 of their ratings, who say conforming to a share of 0.6333.
constexpr double kAlike = 0.9 * 0.9 + 0.1 * 0.1;
constexpr double kSaysGood = 0.9 * 2 / 3 + 0.1 / 3;
constexpr double kByChance = kSaysGood * kSaysGood + (1 - kSaysGood) * (1 - kSaysGood);
constexpr double kTrueKappa = (kAlike - kByChance) / (1 - kByChance);
constexpr double kByGwet = 2 * kSaysGood * (1 - kSaysGood);
constexpr double kTrueAc1 = (kAlike - kByGwet) / (1 - kByGwet);

Study drawn_study(std::mt19937& random) {
  std::vector<StudyRow> rows;
  for (int item = 0; item < 50; ++item) {
    const bool good = drawn(random, 1, 2.0 / 3) == 1;
    for (const char* inspector : {"A", "B", "C"})
      for (const char* trial : {"1", "2", "3"})
        rows.push_back({std::to_string(item), inspector, trial,
                        good == (drawn(random, 1, 0.9) == 1) ? "1" : "0", good ? "1" : "0", 0});
  }
  return *make_study(rows);
}

using OfAgreement = Result<Interval> (*)(const Agreement&);
void cover_study(benchmark::State& state, OfAgreement limits, double truth) {
  cover(
      state, [&](auto& r) { return limits(agreement_of(drawn_study(r))); }, truth, 2000);
}
void coverage_kappa_of_a_pair(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.pairs[0].limits; }, kTrueKappa);
}
void coverage_fleiss(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.group.fleiss_limits; }, kTrueKappa);
}
// Against the reference: alike in 0.9, the reference is good in two of three.
void coverage_kappa_with_reference(benchmark::State& state) {
  constexpr double chance = kSaysGood * 2 / 3 + (1 - kSaysGood) / 3;
  cover_study(
      state, [](const Agreement& a) { return a.with_reference[0].limits; },
      (0.9 - chance) / (1 - chance));
}
void coverage_miss_rate(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.with_reference[0].miss.limits; }, 0.1);
}
void coverage_false_alarm_rate(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.with_reference[0].false_alarm.limits; }, 0.1);
}
// Own trials all alike, and all inspectors in all their trials.
void coverage_own_trials(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.self[0].limits; },
      0.9 * 0.9 * 0.9 + 0.1 * 0.1 * 0.1);
}
void coverage_all_agree(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.group.all_agree_limits; },
      std::pow(0.9, 9) + std::pow(0.1, 9));
}
void coverage_effectiveness(benchmark::State& state) {
  cover_study(
      state, [](const Agreement& a) { return a.with_reference[0].effectiveness_limits; },
      0.9 * 0.9 * 0.9);
}

using OfLimits = Result<Interval> (*)(const AgreementLimits&);
void cover_resampled(benchmark::State& state, OfLimits limits, double truth) {
  cover(
      state,
      [&](auto& r) {
        BootstrapOptions options;
        options.resamples = 1000;
        return limits(resampled_limits(drawn_study(r), options));
      },
      truth, 400);
}
void coverage_resampled_kappa_of_a_pair(benchmark::State& state) {
  cover_resampled(
      state, [](const AgreementLimits& l) { return l.pairs[0]; }, kTrueKappa);
}
void coverage_resampled_fleiss(benchmark::State& state) {
  cover_resampled(
      state, [](const AgreementLimits& l) { return l.fleiss; }, kTrueKappa);
}
void coverage_resampled_alpha(benchmark::State& state) {
  cover_resampled(
      state, [](const AgreementLimits& l) { return l.alpha; }, kTrueKappa);
}
void coverage_resampled_ac1(benchmark::State& state) {
  cover_resampled(
      state, [](const AgreementLimits& l) { return l.ac1; }, kTrueAc1);
}

// Person and camera on 80 units of five components, a tenth of the units bad throughout: answers of
// a unit go together. Each is right in 0.95.
void coverage_of_two_judgements(benchmark::State& state) {
  constexpr double alike = 0.95 * 0.95 + 0.05 * 0.05;
  constexpr double good = 0.9 * 0.95 + 0.1 * 0.05;
  constexpr double chance = good * good + (1 - good) * (1 - good);
  cover(
      state,
      [](auto& r) {
        std::vector<JudgedTwice> judged;
        for (int unit = 0; unit < 80; ++unit) {
          const std::int64_t bad = drawn(r, 1, 0.1);
          for (int component = 0; component < 5; ++component) {
            const auto says = [&] {
              return static_cast<std::size_t>(drawn(r, 1, 0.95) == 1 ? bad : 1 - bad);
            };
            judged.push_back({std::to_string(unit), says(), says(), 1});
          }
        }
        BootstrapOptions options;
        options.resamples = 1000;
        return two_judgements(judged, 2, options).limits;
      },
      (alike - chance) / (1 - chance), 400);
}
// Of two inspectors who judge the same 60 units, one rejects 0.05 more.
void coverage_paired_difference(benchmark::State& state) {
  cover(
      state,
      [](auto& r) -> Result<Interval> {
        const std::int64_t first = drawn(r, 60, 0.12);
        const std::int64_t second = drawn(r, 60 - first, 0.07 / 0.88);
        const auto test = mcnemar(first, second, 60);
        if (!test) return tl::unexpected(test.error());
        return test->limits;
      },
      0.05, 20000);
}
// One-sided: the truth lies below the limit.
void coverage_exact_upper_limit(benchmark::State& state) {
  cover(
      state,
      [](auto& r) -> Result<Interval> {
        return exact_upper_limit(drawn(r, 200, 0.01), 200).map([](double limit) {
          return Interval{0, limit};
        });
      },
      0.01, 20000);
}
// Steps at 200 units each: defects a unit, and what that leaves of units without any.
void coverage_defects_per_unit(benchmark::State& state) {
  cover(
      state,
      [](auto& r) -> Result<Interval> {
        return defect_rates(std::poisson_distribution<std::int64_t>(14)(r), 200)->per_unit_limits;
      },
      0.07, 20000);
}
BENCHMARK(coverage_kappa_of_a_pair)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_fleiss)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_kappa_with_reference)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_miss_rate)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_false_alarm_rate)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_own_trials)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_all_agree)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_effectiveness)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_resampled_kappa_of_a_pair)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_resampled_fleiss)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_resampled_alpha)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_resampled_ac1)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_of_two_judgements)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_paired_difference)->Iterations(1);
BENCHMARK(coverage_exact_upper_limit)->Iterations(1);
BENCHMARK(coverage_defects_per_unit)->Iterations(1);
BENCHMARK(coverage_wilson)->Iterations(1);
BENCHMARK(coverage_clopper_pearson)->Iterations(1);
BENCHMARK(coverage_newcombe)->Iterations(1);
BENCHMARK(coverage_poisson)->Iterations(1);
BENCHMARK(coverage_rolled_yield)->Iterations(1);
BENCHMARK(coverage_weighted_kappa)
    ->ArgNames({"units", "percent", "escapes"})
    ->ArgsProduct({{300, 1000, 3000}, {5, 10}, {5, 10}})
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_weighted_alike)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_escapes_of_unequal_rates)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_of_judgements_by_rates)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(coverage_of_batches)->Iterations(1)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastlook::analytics

BENCHMARK_MAIN();
