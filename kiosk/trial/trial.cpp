// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/trial.h"

#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <random>
#include <thread>

#include "kiosk/records/audit.h"
#include "kiosk/records/entry_line.h"
#include "kiosk/records/records.h"
#include "kiosk/sync/check_plant.h"
#include "kiosk/sync/send.h"
#include "kiosk/trial/logins.h"
#include "kiosk/trial/station.h"

namespace lastlook::trial {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using SteadyClock = std::chrono::steady_clock;

constexpr std::chrono::duration<double> between_kills = 1'800s;  // of one station, on a line
constexpr auto patience = 60s;                                   // with a server that is away

// The processes; they end with it.
class Crew {
 public:
  Crew(std::vector<StationTask> tasks, Tally& tally) : tasks_(std::move(tasks)), tally_(tally) {}
  ~Crew() { kill_all(); }
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;

  Status start() {
    for (std::size_t i = 0; i < tasks_.size(); ++i)
      if (Status started = start(i); !started) return started;
    return {};
  }
  Status restart(std::size_t i) {
    end(i);
    tasks_[i].seed += static_cast<unsigned>(tasks_.size());  // other looks than before
    return start(i);
  }
  void kill_all() {
    for (std::size_t i = 0; i < running_.size(); ++i) end(i);
    running_.clear();
  }
  const std::vector<std::string>& ended_by_themselves() const { return ended_; }

 private:
  Status start(std::size_t i) {
    const pid_t pid = start_station(tasks_[i], tally_);
    if (pid < 0)
      return fail(Category::io, std::string("no process for a station: ") + std::strerror(errno));
    if (i == running_.size()) running_.push_back(pid);
    running_[i] = pid;
    return {};
  }
  void end(std::size_t i) {
    int status = 0;
    kill(running_[i], SIGKILL);
    waitpid(running_[i], &status, 0);
    if (!WIFSIGNALED(status) || WTERMSIG(status) != SIGKILL)
      ended_.push_back(tasks_[i].folder.filename().string() + " ended by itself");
  }

  std::vector<StationTask> tasks_;
  Tally& tally_;
  std::vector<pid_t> running_;
  std::vector<std::string> ended_;
};

Status check_empty(const std::string& store) {
  const auto plant = sync::open_plant_store(store, true);
  if (!plant) return tl::unexpected(plant.error());
  const auto journals = (*plant)->journals();
  if (!journals) return tl::unexpected(journals.error());
  if (journals->empty()) return {};
  return fail(Category::refused,
              fmt::format("this store knows {} journals already, the first of station {}; a trial "
                          "wants an empty one of its own",
                          journals->size(), journals->front().station));
}

Status check_folder(const fs::path& folder) {
  std::error_code error;
  if (!fs::exists(folder, error) || fs::is_empty(folder, error)) return {};
  return fail(Category::refused,
              fmt::format("{}: expected no such folder, or an empty one", folder.string()));
}

std::vector<std::string> names_of(const Trial& trial) {
  std::vector<std::string> names;
  for (int i = 1; i <= trial.stations; ++i) names.push_back(fmt::format("LL-{}", i));
  return names;
}

Result<std::vector<StationTask>> make_stations(const Trial& trial,
                                               const std::vector<std::string>& names,
                                               const std::vector<std::string>& addresses) {
  domain::SystemClock clock;
  std::vector<StationTask> tasks;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const fs::path folder = trial.folder / names[i];
    const auto made = records::Records::create(folder, names[i], clock);
    if (!made) return tl::unexpected(made.error());
    tasks.push_back({folder, addresses[i], trial.rate, trial.faults, static_cast<unsigned>(i + 1)});
  }
  return tasks;
}

// Lets the crew work for the time asked, killing one now and then. Returns how many it killed.
Result<std::int64_t> work_and_kill(const Trial& trial, Crew& crew,
                                   const std::function<void(std::chrono::seconds)>& progress) {
  if (Status started = crew.start(); !started) return tl::unexpected(started.error());
  std::mt19937 random(7);
  const auto pause = trial.faults ? between_kills / (trial.rate * trial.stations)
                                  : std::chrono::duration<double>(trial.lasts);
  const auto begin = SteadyClock::now();
  std::int64_t kills = 0;
  // However late a kill is, the time that was asked for ends it.
  for (auto next = begin + pause; SteadyClock::now() - begin < trial.lasts;) {
    const auto now = SteadyClock::now();
    if (progress) progress(std::chrono::duration_cast<std::chrono::seconds>(now - begin));
    if (now < next) {
      std::this_thread::sleep_for(
          std::min<std::chrono::duration<double>>(next - now, std::chrono::milliseconds(100)));
      continue;
    }
    if (Status restarted = crew.restart(random() % static_cast<std::size_t>(trial.stations));
        !restarted)
      return tl::unexpected(restarted.error());
    ++kills;
    next += pause;
  }
  return kills;
}

// Waits for a server that is away.
template <class Ask>
auto patiently(Ask ask) -> decltype(ask()) {
  const auto end = SteadyClock::now() + patience;
  while (true) {
    auto answer = ask();
    const bool away = !answer && (answer.error().category == Category::io ||
                                  answer.error().category == Category::busy);
    if (!away || SteadyClock::now() > end) return answer;
    std::this_thread::sleep_for(200ms);
  }
}

Status count_looks(records::Records& station, Outcome& outcome) {
  return station.store().entries(station.journal(), 1, [&](const records::Entry& entry) {
    outcome.looks += entry.kind == domain::kind_of(domain::LookClosed{});
    outcome.bytes += static_cast<std::int64_t>(records::write_line(entry).size());
    return true;
  });
}

// Sends what is left and compares a station with what the store has of it. Returns its entries.
Result<std::int64_t> settle(const StationTask& task, Outcome& outcome) {
  const auto verdict = records::verify(task.folder);
  if (!verdict) return tl::unexpected(verdict.error());
  const std::string name = task.folder.filename().string();
  for (const records::Fault& fault : verdict->faults)
    outcome.faults.push_back(fmt::format("{}, entry {}: {}", name, fault.seq, fault.what));
  const auto station = records::Records::open_to_read(task.folder);
  if (!station) return tl::unexpected(station.error());
  const auto sent = patiently([&]() -> Result<sync::Sent> {
    const auto plant = sync::open_plant_store(task.store, false);
    if (!plant) return tl::unexpected(plant.error());
    return sync::send((*station)->store(), **plant);
  });
  if (!sent) return tl::unexpected(sent.error());
  outcome.at_the_end += sent->entries;
  if (Status counted = count_looks(**station, outcome); !counted)
    return tl::unexpected(counted.error());
  const sync::Head& head = sent->journals.back().acknowledged;
  if (records::to_hex(head.hash) != verdict->head)
    outcome.faults.push_back(fmt::format("{}: the store ends at entry {}, {}, the station at {}",
                                         name, head.seq, sync::fingerprint(head.hash),
                                         verdict->head.substr(0, 12)));
  return verdict->entries;
}

void check_store(const Trial& trial, std::int64_t written, Outcome& outcome) {
  const auto verdict = patiently([&]() -> Result<sync::PlantVerdict> {
    const auto plant = sync::open_plant_store(trial.store, false);
    if (!plant) return tl::unexpected(plant.error());
    return sync::check(**plant, {});
  });
  if (!verdict) {
    outcome.faults.push_back(verdict.error().message);
    return;
  }
  for (const sync::PlantFault& fault : verdict->faults)
    outcome.faults.push_back(
        fmt::format("journal {}, entry {}: {}", fault.journal, fault.seq, fault.what));
  if (verdict->entries != written || verdict->journals != trial.stations)
    outcome.faults.push_back(
        fmt::format("the store has {} entries of {} journals, the stations wrote {} of {}",
                    verdict->entries, verdict->journals, written, trial.stations));
}

void count(const Tally& tally, Outcome& outcome) {
  outcome.cuts = tally.cuts;
  outcome.lag_half_ms = tally.lag_of_share(0.5);
  outcome.lag_19_of_20_ms = tally.lag_of_share(0.95);
  outcome.lag_99_of_100_ms = tally.lag_of_share(0.99);
  outcome.lag_longest_ms = tally.lag_of_share(1);
}

Result<Outcome> run_with(const std::vector<StationTask>& tasks, const Trial& trial,
                         const std::function<void(std::chrono::seconds)>& progress) {
  const auto tally = share_tally();
  if (!tally) return tl::unexpected(tally.error());
  Outcome outcome;
  Crew crew(tasks, **tally);
  const auto kills = work_and_kill(trial, crew, progress);
  if (!kills) return tl::unexpected(kills.error());
  crew.kill_all();
  outcome.kills = *kills;
  outcome.faults = crew.ended_by_themselves();
  count(**tally, outcome);
  for (const StationTask& task : tasks) {
    const auto entries = settle(task, outcome);
    if (entries)
      outcome.entries += *entries;
    else
      outcome.faults.push_back(task.folder.filename().string() + ": " + entries.error().message);
    std::ifstream troubles(troubles_of(task.folder));
    for (std::string line; std::getline(troubles, line);) ++outcome.troubles[line];
  }
  check_store(trial, outcome.entries, outcome);
  return outcome;
}

}  // namespace

Result<Outcome> run(const Trial& trial, const std::function<void(std::chrono::seconds)>& progress) {
  if (Status empty = check_empty(trial.store); !empty) return tl::unexpected(empty.error());
  if (Status empty = check_folder(trial.folder); !empty) return tl::unexpected(empty.error());
  const auto names = names_of(trial);
  const auto addresses = make_logins(trial.store, names);
  if (!addresses) return tl::unexpected(addresses.error());
  auto outcome = make_stations(trial, names, *addresses).and_then([&](const auto& tasks) {
    return run_with(tasks, trial, progress);
  });
  const Status dropped = patiently([&] { return drop_logins(trial.store); });
  if (outcome && !dropped)
    outcome->faults.push_back("the logins of the trial are left: " + dropped.error().message);
  return outcome;
}

}  // namespace lastlook::trial
