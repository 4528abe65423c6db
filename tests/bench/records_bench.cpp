// SPDX-License-Identifier: Apache-2.0
// What a durable touch costs against the bare transaction of the same rows, and what a shift's
// numbers cost against counting the raw answers. Ratios are of one run, the two sides taking turns.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "kiosk/records/finding_units.h"
#include "kiosk/records/shift_queries.h"
#include "tests/bench/station_and_bare.h"

namespace lastlook::records::bench {
namespace {

void report(benchmark::State& state, const std::vector<double>& ours,
            const std::vector<double>& theirs) {
  state.counters["ours_us"] = median_us(ours);
  state.counters["bare_us"] = median_us(theirs);
  state.counters["ratio"] = median_us(ours) / median_us(theirs);
}

void durable_touch(benchmark::State& state) {
  Station station;
  station.open_look("k-0");
  station.answer("k-0", 0);
  const Folder folder;
  BareTouch bare(station, folder.path() / "bare.db");
  std::vector<double> ours, theirs;
  int n = 0;
  for (auto _ : state) {
    if (++n % 10 == 0) station.open_look("k-" + std::to_string(n / 10));
    const std::string look = "k-" + std::to_string(n / 10);
    ours.push_back(timed_us([&] { station.answer(look, n % 10 + 1); }));
    theirs.push_back(timed_us([&] {
      bare.begin();
      bare.answer(look, n % 10 + 1);
      bare.commit();
    }));
  }
  report(state, ours, theirs);
}
BENCHMARK(durable_touch)->Iterations(400)->Unit(benchmark::kMillisecond);

void durable_disposition(benchmark::State& state) {
  Station station;
  const Folder folder;
  BareTouch bare(station, folder.path() / "bare.db");
  std::vector<double> ours, theirs;
  int n = 0;
  for (auto _ : state) {
    const std::string look = "k-" + std::to_string(++n);
    must(station.records->begin_bulk());
    station.open_look(look);
    for (int step = 0; step < 10; ++step) station.answer(look, step);
    station.find(look);
    must(station.records->end_bulk());
    bare.begin();
    bare.open(look);
    for (int step = 0; step < 10; ++step) bare.answer(look, step);
    bare.find(look);
    bare.commit();
    ours.push_back(timed_us([&] { station.close(look); }));
    theirs.push_back(timed_us([&] {
      bare.begin();
      bare.close(look);
      bare.commit();
    }));
  }
  report(state, ours, theirs);
}
BENCHMARK(durable_disposition)->Iterations(200)->Unit(benchmark::kMillisecond);

// Everything that is not the disk: many touches in one transaction.
void touches_in_a_group(benchmark::State& state) {
  Station station;
  std::int64_t entries = 0;
  int looks = 0;
  must(station.records->begin_bulk());
  for (auto _ : state) {
    const std::string look = "k-" + std::to_string(++looks);
    station.open_look(look);
    for (int step = 0; step < 10; ++step) station.answer(look, step);
    station.find(look);
    station.close(look);
    entries += 13;
  }
  must(station.records->end_bulk());
  state.counters["entries/s"] =
      benchmark::Counter(static_cast<double>(entries), benchmark::Counter::kIsRate);
}
BENCHMARK(touches_in_a_group)->Iterations(2'000)->Unit(benchmark::kMicrosecond);

// A million looks with ten answers each over two years, two shifts a day, written straight into the
// tables (their journal is left out: no query here reads it).
void fill(Bare& db, std::int64_t looks) {
  db.run("PRAGMA synchronous=OFF; BEGIN");
  db.run(
      "CREATE TEMP TABLE n AS WITH RECURSIVE c (i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM c "
      "WHERE i + 1 < " +
      std::to_string(looks) + ") SELECT i, date('2025-01-01', '+' || (i * 730 / " +
      std::to_string(looks) + ") || ' days') AS day, (i / 7) % 64 AS q FROM c");
  db.run(
      "INSERT INTO look SELECT printf('k-%08d', i), 'j', 'LL-1', i, '', 1, 'CP-210', "
      "'build_record', 'CP210', 7, 'closed', i, 0, i, '', iif(i % 20 = 0, 'rework', 'accept'), '', "
      "'', 'p-1', i, day, iif(q < 32, 'early', 'late'), 24 + q, '' FROM n");
  db.run(
      "INSERT INTO step_answer SELECT printf('k-%08d', i), 'component-' || s.value, iif(i % 20 = 0 "
      "AND s.value = i / 20 % 10, 'nonconforming', 'conforming'), 'conforming', 'present', 0, "
      "'p-1', i FROM n, json_each('[0,1,2,3,4,5,6,7,8,9]') s");
  db.run(
      "INSERT INTO finding SELECT printf('k-%08d', i), 'f', 'component-' || (i / 20 % 10), "
      "'defect-' || (i / 60 % 7), 'major', NULL, NULL, '', '', 'p-1', i, 0, '', "
      "printf('k-%08d', i) FROM n WHERE i % 20 = 0");
  db.run(
      "INSERT INTO count_look SELECT production_date, shift, quarter, station, variant, count(*), "
      "count(*), sum(disposition = 'accept'), sum(disposition = 'accept'), sum(disposition = "
      "'rework'), 0, 0 FROM look GROUP BY 1, 2, 3, 4, 5");
  db.run(
      "INSERT INTO count_defect SELECT production_date, shift, quarter, station, variant, "
      "component, defect, severity, count(*), count(*) FROM finding JOIN look USING (look) "
      "GROUP BY 1, 2, 3, 4, 5, 6, 7, 8");
  db.run("COMMIT; PRAGMA wal_checkpoint(TRUNCATE)");
}

struct Large {
  Large() {
    const char* given = std::getenv("LASTLOOK_BENCH_LOOKS");
    looks = given ? std::atoll(given) : 1'000'000;
    station.records.reset();
    {
      Bare db(station.folder.path() / "records.db");
      fill(db, looks);
    }
    station.records = must(Records::open(station.folder.path()));
  }
  std::int64_t looks = 0;
  Station station;
};
Large& large() {
  static Large one;
  return one;
}

const Period one_shift{"2025-12-03", "2025-12-03", "early", "", ""};

double count_raw_us(const fs::path& file) {
  Bare db(file);
  sqlite3_stmt* raw = db.prepare(
      "SELECT a.component, count(*) FROM step_answer a JOIN look l USING (look) WHERE "
      "a.answer = 'nonconforming' AND l.production_date = '2025-12-03' AND l.shift = 'early' "
      "GROUP BY a.component");
  return timed_us([&] {
    while (sqlite3_step(raw) == SQLITE_ROW) {
    }
  });
}

void shift_pareto(benchmark::State& state) {
  Large& file = large();
  std::vector<double> times;
  for (auto _ : state)
    times.push_back(timed_us([&] {
      benchmark::DoNotOptimize(must(defect_counts(*file.station.records, one_shift)).size());
    }));
  std::vector<double> raw;
  for (int i = 0; i < 3; ++i)
    raw.push_back(count_raw_us(file.station.folder.path() / "records.db"));
  state.counters["answers"] = static_cast<double>(file.looks * 10);
  state.counters["pareto_us"] = median_us(times);
  state.counters["raw_us"] = median_us(raw);
  state.counters["times_faster"] = median_us(raw) / median_us(times);
}
BENCHMARK(shift_pareto)->Iterations(200)->Unit(benchmark::kMicrosecond);

void all_pareto(benchmark::State& state) {
  Large& file = large();
  for (auto _ : state)
    benchmark::DoNotOptimize(must(defect_counts(*file.station.records, {})).size());
}
BENCHMARK(all_pareto)->Unit(benchmark::kMillisecond);

void units_behind_the_bars_of_a_shift(benchmark::State& state) {
  Large& file = large();
  for (auto _ : state)
    benchmark::DoNotOptimize(
        must(finding_units(*file.station.records, {"2025-11-25", "2025-11-25", "early", "", ""}))
            .size());
}
BENCHMARK(units_behind_the_bars_of_a_shift)->Unit(benchmark::kMillisecond);

void p_chart_of_four_weeks(benchmark::State& state) {
  Large& file = large();
  for (auto _ : state)
    benchmark::DoNotOptimize(
        must(by_shift(*file.station.records, {"2025-11-05", "2025-12-03", "", "", ""})).size());
}
BENCHMARK(p_chart_of_four_weeks)->Unit(benchmark::kMillisecond);

void p_chart_of_all(benchmark::State& state) {
  Large& file = large();
  for (auto _ : state) benchmark::DoNotOptimize(must(by_shift(*file.station.records, {})).size());
}
BENCHMARK(p_chart_of_all)->Unit(benchmark::kMillisecond);

void open_the_station(benchmark::State& state) {
  Large& file = large();
  for (auto _ : state) {
    file.station.records.reset();
    file.station.records = must(Records::open(file.station.folder.path()));
  }
}
BENCHMARK(open_the_station)->Iterations(10)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastlook::records::bench

BENCHMARK_MAIN();
