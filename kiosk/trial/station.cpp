// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/station.h"

#include <fmt/format.h>
#include <signal.h>
#include <sys/prctl.h>
#include <unistd.h>

#include <chrono>
#include <fstream>
#include <random>
#include <thread>

#include "kiosk/records/records.h"
#include "kiosk/sync/back_off.h"
#include "kiosk/sync/courier.h"
#include "kiosk/trial/network.h"

namespace lastlook::trial {
namespace {

using namespace std::chrono_literals;
using domain::Happening;
using Seconds = std::chrono::duration<double>;

constexpr Seconds between_units = 40s, between_tries = 20s, network_up = 300s, network_down = 60s;
constexpr int steps = 10;

std::chrono::milliseconds at_rate(Seconds on_a_line, double rate) {
  return std::chrono::ceil<std::chrono::milliseconds>(on_a_line / rate);
}

// The touches of a look are appended as one here: on a line each is durable by itself, but a
// hundred stations do not share one disk there.
std::vector<Happening> a_look(const std::string& serial, bool good) {
  domain::LookOpened opened;
  opened.look = "look-" + serial;
  opened.serial = serial;
  std::vector<Happening> all = {opened};
  for (int step = 1; step <= steps; ++step) {
    const bool bad = !good && step == steps;
    all.push_back(
        domain::StepAnswered{opened.look,
                             fmt::format("step-{}", step),
                             bad ? domain::Answer::nonconforming : domain::Answer::conforming,
                             {},
                             ""});
  }
  if (!good) {
    domain::FindingAdded finding;
    finding.look = opened.look;
    finding.finding = "finding-" + serial;
    finding.component = fmt::format("component-{}", steps);
    finding.defect = "missing";
    all.push_back(finding);
  }
  all.push_back(domain::LookClosed{
      opened.look, good ? domain::Disposition::accept : domain::Disposition::rework, "", ""});
  return all;
}

Status inspect(records::Records& station, const StationTask& task) {
  std::mt19937 random(task.seed);
  domain::SystemClock clock;
  for (int n = 1;; ++n) {
    const auto serial = fmt::format("{}-{}", task.seed, n);
    if (Status kept = station.append(a_look(serial, random() % 20 != 0), "p-1", clock.read());
        !kept)
      return kept;
    const double spread = std::uniform_real_distribution<>(0.5, 1.5)(random);
    std::this_thread::sleep_for(at_rate(between_units * spread, task.rate));
  }
}

Status work(const StationTask& task, Tally& tally) {
  const auto station = records::Records::open(task.folder);
  if (!station) return tl::unexpected(station.error());
  domain::SystemClock clock;
  const Seconds up = task.network_is_cut ? network_up / task.rate : 0s;
  Network network(tally, task.seed, up, network_down / task.rate);
  std::ofstream troubles(troubles_of(task.folder), std::ios::app);
  const auto open = [&]() -> Result<std::unique_ptr<sync::PlantStore>> {
    if (!network.is_up()) return fail(Category::io, "the network is cut");
    auto store = sync::open_plant_store(task.store, false);
    if (!store) return store;
    return behind(network, tally, *std::move(store));
  };
  std::string trouble;  // like the next two, the courier's thread's
  const auto told = [&](const sync::CourierStatus& status) { trouble = status.trouble; };
  const auto wait = [&](int failures, double chance) {
    troubles << trouble << std::endl;  // a whole line, also of who is killed now
    return at_rate(sync::wait_after(failures, chance), task.rate);
  };
  const sync::Courier courier({.folder = task.folder,
                               .open = open,
                               .clock = clock,
                               .changed = told,
                               .rest = at_rate(between_tries, task.rate),
                               .wait = wait});
  return inspect(**station, task);
}

}  // namespace

pid_t start_station(const StationTask& task, Tally& tally) {
  const pid_t parent = getpid();
  const pid_t child = fork();
  if (child != 0) return child;
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (getppid() != parent) _exit(1);  // it was gone before that was said
  const Status worked = work(task, tally);
  fmt::print(stderr, "{}: {}\n", task.folder.filename().string(), worked.error().message);
  _exit(1);
}

std::filesystem::path troubles_of(const std::filesystem::path& folder) {
  return folder.string() + ".troubles";
}

}  // namespace lastlook::trial
