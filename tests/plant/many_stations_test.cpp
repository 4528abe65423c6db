// SPDX-License-Identifier: Apache-2.0
// Many stations send to one server while everything fails that can: stations are killed, the server
// is killed, the network drops what is under way. At the end every entry is in the store, once.
//
// LASTLOOK_LONG=1: a hundred stations for ten minutes; else twelve for some seconds.
#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <iostream>
#include <random>
#include <thread>

#include "kiosk/sync/check_plant.h"
#include "kiosk/sync/postgres_plant.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/records/station.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using records::Entry;
using records::testing::must;

struct Trial {
  int stations = 12;
  std::chrono::seconds lasts = 12s;
  std::chrono::milliseconds between_looks = 200ms;
  std::chrono::milliseconds between_kills = 300ms;
  std::chrono::seconds between_outages = 4s;
};

Trial trial() {
  const char* asked = std::getenv("LASTLOOK_LONG");
  if (!asked || std::string_view(asked) != "1") return {};
  return {100, 600s, 2s, 1s, 60s};  // a unit every 40 s at 20 times the rate
}

// Drops a tenth of what is asked before it arrives, and a tenth of the answers.
class LossyLink final : public PlantStore {
 public:
  LossyLink(PlantStore& plant, std::mt19937& random) : plant_(plant), random_(random) {}
  Result<std::vector<KnownJournal>> journals() override { return plant_.journals(); }
  Result<Head> head(const std::string& journal) override {
    return lossy<Head>([&] { return plant_.head(journal); });
  }
  Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) override {
    return lossy<records::Hash>([&] { return plant_.hash_at(journal, seq); });
  }
  Result<Head> take(std::span<const Entry> entries) override {
    return lossy<Head>([&] { return plant_.take(entries); });
  }
  Status entries(const std::string& journal, std::int64_t from,
                 const std::function<bool(const Entry&)>& each) override {
    return plant_.entries(journal, from, each);
  }

 private:
  template <class T, class Ask>
  Result<T> lossy(Ask ask) {
    if (random_() % 10 == 0) return fail(Category::io, "the network is gone");
    Result<T> answer = ask();
    if (random_() % 10 == 0) return fail(Category::io, "the answer was lost");
    return answer;
  }
  PlantStore& plant_;
  std::mt19937& random_;
};

std::string name_of(int station) {
  return fmt::format("LL-{}", station + 1);
}
std::string login_of(int station) {
  return fmt::format("station_{}", station + 1);
}

// Looks at units and sends, until it is killed. In a process of its own.
[[noreturn]] void work(const fs::path& folder, const std::string& address, unsigned seed,
                       std::chrono::milliseconds between_looks) {
  std::mt19937 random(seed);
  domain::SystemClock clock;
  const auto station = records::Records::open(folder);
  if (!station) _exit(1);
  for (unsigned n = 0;; ++n) {
    const std::string unit = fmt::format("{}-{}", seed, n);
    domain::LookOpened opened;
    opened.look = "look-" + folder.filename().string() + "-" + unit;
    opened.serial = unit;
    const std::vector<domain::Happening> look = {
        opened, domain::StepAnswered{opened.look, "seal", domain::Answer::conforming, {}, ""},
        domain::StepAnswered{opened.look, "lid", domain::Answer::conforming, {}, ""},
        domain::LookClosed{opened.look, domain::Disposition::accept, "", ""}};
    if (!(*station)->append(look, "p-1", clock.read())) _exit(2);
    if (const auto plant = PostgresPlant::open(address)) {
      LossyLink link(**plant, random);
      (void)send((*station)->store(), link);  // what fails now goes with the next
    }
    std::this_thread::sleep_for(between_looks * (50 + random() % 100) / 100);
  }
}

class ManyStations : public ::testing::Test {
 protected:
  ManyStations() {
    database = cluster.new_database();
    owner = cluster.address("owner", database);
    must(make_postgres(owner));
    domain::SystemClock clock;
    for (int i = 0; i < now.stations; ++i) {
      cluster.sql("postgres", "CREATE ROLE " + login_of(i) + " LOGIN");
      must(admit(owner, login_of(i), name_of(i)));
      must(records::Records::create(folder(i), name_of(i), clock));
      workers.push_back(start(i));
    }
  }
  ~ManyStations() override {
    for (const pid_t worker : workers) kill_and_wait(worker);
  }
  fs::path folder(int station) const { return place.path() / name_of(station); }
  pid_t start(int station) {
    const unsigned seed = ++seeds;
    const std::string address = cluster.address(login_of(station), database);
    const pid_t child = fork();
    if (child == 0) work(folder(station), address, seed, now.between_looks);
    return child;
  }
  // Says whether it still ran: a station must not end by itself.
  static bool kill_and_wait(pid_t worker) {
    kill(worker, SIGKILL);
    int status = 0;
    waitpid(worker, &status, 0);
    return WIFSIGNALED(status);
  }

  const Trial now = trial();
  testing::Cluster& cluster = testing::Cluster::running();
  records::testing::TempFolder place;
  std::string database, owner;
  std::vector<pid_t> workers;
  unsigned seeds = 0;
};

TEST_F(ManyStations, EveryEntryArrivesOnceWhateverFails) {
  std::mt19937 random(7);
  const auto begin = std::chrono::steady_clock::now();
  auto outage = begin + now.between_outages;
  int kills = 0, outages = 0;
  while (std::chrono::steady_clock::now() - begin < now.lasts) {
    std::this_thread::sleep_for(now.between_kills);
    const auto i = random() % workers.size();
    ASSERT_TRUE(kill_and_wait(workers[i])) << name_of(static_cast<int>(i)) << " ended by itself";
    workers[i] = start(static_cast<int>(i));
    ++kills;
    if (std::chrono::steady_clock::now() < outage) continue;
    cluster.stop();
    std::this_thread::sleep_for(500ms);
    cluster.start();
    outage = std::chrono::steady_clock::now() + now.between_outages;
    ++outages;
  }
  for (const pid_t worker : workers) ASSERT_TRUE(kill_and_wait(worker));
  workers.clear();

  std::int64_t entries = 0, late = 0;
  for (int i = 0; i < now.stations; ++i) {
    const auto station = must(records::Records::open(folder(i)));
    const auto plant = must(PostgresPlant::open(cluster.address(login_of(i), database)));
    const Sent rest = must(send(station->store(), *plant));
    late += rest.entries;
    const auto last = must(station->store().last_entry(station->journal()));
    EXPECT_EQ(must(plant->head(station->journal())), (Head{last->seq, last->hash}));
    entries += last->seq;
  }
  const auto plant = must(PostgresPlant::open(owner));
  const PlantVerdict verdict = must(check(*plant, {}));
  EXPECT_TRUE(verdict.whole());
  EXPECT_EQ(verdict.entries, entries);
  EXPECT_EQ(cluster.sql(database, "SELECT count(*) FROM lastlook_plant.entry"),
            std::to_string(entries) + "\n");
  EXPECT_GT(outages, 0);
  EXPECT_GT(entries - late, now.stations * 4) << "most went while things failed";
  std::cout << fmt::format("{} stations, {} kills, {} server outages: {} entries, {} at the end\n",
                           now.stations, kills, outages, entries, late);
}

}  // namespace
}  // namespace lastlook::sync
