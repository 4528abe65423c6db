// SPDX-License-Identifier: Apache-2.0
// What the kiosk does before its first frame, with a thousand days of a thousand looks on file and
// with one, the two taking turns: ten answers a look, and all that came with them.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "tests/kiosk/app/kiosk_start.h"
#include "tests/kiosk/records/long_history.h"
#include "tests/kiosk/records/rich_journal.h"

namespace lastlook::app {
namespace {

using records::testing::must;
using std::chrono::steady_clock;

constexpr int looks_a_day = 1'000, answers_a_look = 10;

class Station {
 public:
  explicit Station(int days) {
    must(station_.records->begin_bulk());
    records::testing::RichJournal(station_, 7).units(25);
    for (int i = 0; i < looks_a_day; ++i) look(fmt::format("k-{:020}", i));
    must(station_.records->end_bulk());
    station_.records.reset();
    if (days > 1) records::testing::HistoryRepeater(folder() / "records.db").repeat(days - 1);
    start_ms();  // adds what is made once
  }

  std::filesystem::path folder() const { return station_.folder.path(); }
  double start_ms() {
    const auto from = steady_clock::now();
    const testing::KioskStart start(folder(), station_.clock);
    return std::chrono::duration<double, std::milli>(steady_clock::now() - from).count();
  }
  double file_gb() const {
    return static_cast<double>(std::filesystem::file_size(folder() / "records.db")) / 1e9;
  }

 private:
  void look(const std::string& id) {
    station_.open_look(id, id, 1);
    for (int step = 0; step < answers_a_look; ++step)
      station_.happen(domain::StepAnswered{id, fmt::format("component-{}", step),
                                           domain::Answer::conforming, domain::Answer::not_answered,
                                           "present"});
    station_.happen(domain::LookClosed{id, domain::Disposition::accept, "", ""});
  }

  records::testing::Station station_;
};

double median(std::vector<double> all) {
  std::ranges::nth_element(all, all.begin() + std::ssize(all) / 2);
  return all[all.size() / 2];
}

void kiosk_start(benchmark::State& state) {
  static Station few(1), many(1'000);
  std::vector<double> with_few, with_many;
  for (auto _ : state) {
    with_many.push_back(many.start_ms());
    with_few.push_back(few.start_ms());
  }
  state.counters["few_ms"] = median(with_few);
  state.counters["many_ms"] = median(with_many);
  state.counters["many_GB"] = many.file_gb();
  state.counters["ratio"] = median(with_many) / median(with_few);
}
BENCHMARK(kiosk_start)->Iterations(20)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastlook::app

BENCHMARK_MAIN();
