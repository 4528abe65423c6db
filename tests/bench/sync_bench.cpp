// SPDX-License-Identifier: Apache-2.0
// A station's entries brought to PostgreSQL on this machine, against a bare COPY of the same rows
// into a table with the same key, in batches of the same size. One run, the two sides taking turns.
#include <benchmark/benchmark.h>

#include <pqxx/pqxx>
#include <tuple>

#include "kiosk/records/entry_line.h"
#include "kiosk/sync/postgres_plant.h"
#include "kiosk/sync/postgres_setup.h"
#include "kiosk/sync/project_plant.h"
#include "kiosk/sync/send.h"
#include "kiosk/trial/trial.h"
#include "tests/bench/station_and_bare.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::records::bench {
namespace {

constexpr int looks = 2'000;
constexpr std::size_t batch = 1'000;

void fill(Station& station) {
  must(station.records->begin_bulk());
  for (int n = 0; n < looks; ++n) {
    const std::string look = "k-" + std::to_string(n);
    station.open_look(look);
    for (int step = 0; step < 10; ++step) station.answer(look, step);
    station.find(look);
  }
  must(station.records->end_bulk());
}

std::vector<Entry> all_of(Records& station) {
  std::vector<Entry> all;
  must(station.store().entries(station.journal(), 1, [&](const Entry& entry) {
    all.push_back(entry);
    return true;
  }));
  return all;
}

void copy(const std::string& address, const std::vector<Entry>& entries) {
  pqxx::connection connection(address);
  for (std::size_t from = 0; from < entries.size(); from += batch) {
    pqxx::work work(connection);
    pqxx::stream_to rows(work, "bare");
    for (std::size_t i = from; i < std::min(from + batch, entries.size()); ++i) {
      const Entry& e = entries[i];
      rows << std::make_tuple(e.journal, e.seq, e.stamp, e.actor, e.kind, e.version, e.body,
                              "\\x" + to_hex(e.previous), "\\x" + to_hex(e.hash));
    }
    rows.complete();
    work.commit();
  }
}

void send_to_server(benchmark::State& state) {
  Station station;
  fill(station);
  const std::vector<Entry> entries = all_of(*station.records);
  std::size_t bytes = 0;
  for (const Entry& entry : entries) bytes += write_line(entry).size();
  auto& cluster = sync::testing::Cluster::durable();
  std::vector<double> ours, theirs;
  for (auto _ : state) {
    const std::string database = cluster.new_database();
    const std::string address = cluster.address("owner", database);
    must(sync::make_postgres(address));
    {
      pqxx::connection connection(address);
      pqxx::work work(connection);
      work.exec(
          "CREATE TABLE bare (journal text, seq bigint, stamp text, actor text, kind text, "
          "version bigint, body text, previous bytea, hash bytea, PRIMARY KEY (journal, seq))");
      work.commit();
    }
    const auto plant = must(sync::PostgresPlant::open(address));
    theirs.push_back(timed_us([&] { copy(address, entries); }));
    ours.push_back(timed_us([&] { must(sync::send(station.records->store(), *plant)); }));
  }
  const double n = static_cast<double>(entries.size());
  state.counters["entries_per_s"] = n / median_us(ours) * 1e6;
  state.counters["copy_per_s"] = n / median_us(theirs) * 1e6;
  state.counters["ratio"] = median_us(theirs) / median_us(ours);
  state.counters["bytes_per_look"] = static_cast<double>(bytes) / looks;
}
BENCHMARK(send_to_server)->Iterations(7)->Unit(benchmark::kMillisecond);

// Entries that arrived, made rows of by the store's owner.
void project_at_server(benchmark::State& state) {
  Station station;
  fill(station);
  auto& cluster = sync::testing::Cluster::durable();
  std::vector<double> took;
  std::int64_t entries = 0;
  for (auto _ : state) {
    const std::string address = cluster.address("owner", cluster.new_database());
    must(sync::make_postgres(address));
    const auto plant = must(sync::PostgresPlant::open(address));
    must(sync::send(station.records->store(), *plant));
    const auto rows = must(sync::open_rows(address, Access::create));
    took.push_back(timed_us([&] { entries = must(sync::project_new(*plant, *rows)).entries; }));
  }
  state.counters["entries_per_s"] = static_cast<double>(entries) / median_us(took) * 1e6;
}
BENCHMARK(project_at_server)->Iterations(3)->Unit(benchmark::kMillisecond);

// How late a look is in the store while so many stations work in processes of their own, twenty
// times as fast as on a line: with the courier's pause, which is a second then.
void stations_at_work(benchmark::State& state) {
  auto& cluster = sync::testing::Cluster::durable();
  cluster.sql("postgres", "ALTER ROLE owner CREATEROLE");
  trial::Outcome outcome;
  for (auto _ : state) {
    const std::string address = cluster.address("owner", cluster.new_database());
    must(sync::make_postgres(address));
    const Folder folder;
    outcome = must(trial::run({.folder = folder.path() / "trial",
                               .store = address,
                               .stations = static_cast<int>(state.range(0)),
                               .lasts = std::chrono::seconds(20),
                               .rate = 20,
                               .faults = false}));
    if (!outcome.faults.empty()) state.SkipWithError(outcome.faults.front().c_str());
  }
  state.counters["looks_per_s"] = static_cast<double>(outcome.looks) / 20;
  state.counters["lag_half_ms"] = static_cast<double>(outcome.lag_half_ms);
  state.counters["lag_19_of_20_ms"] = static_cast<double>(outcome.lag_19_of_20_ms);
  state.counters["lag_99_of_100_ms"] = static_cast<double>(outcome.lag_99_of_100_ms);
  state.counters["bytes_per_look"] =
      static_cast<double>(outcome.bytes) / static_cast<double>(outcome.looks);
}
BENCHMARK(stations_at_work)->Arg(10)->Arg(100)->Iterations(1)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastlook::records::bench

BENCHMARK_MAIN();
