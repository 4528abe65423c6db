// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/courier.h"

#include <atomic>

#include "kiosk/sync/check_plant.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using namespace std::chrono_literals;
using records::testing::Station;
using ::testing::HasSubstr;

class CourierTest : public ::testing::Test {
 protected:
  Result<std::unique_ptr<PlantStore>> open() {
    if (!reachable) return fail(Category::io, "the store is not reachable: name not found");
    return open_plant_store(place.address(), true);
  }
  Courier courier() {
    return Courier({.folder = station.folder.path(),
                    .open = [this] { return open(); },
                    .clock = station.clock,
                    .rest = 1h,
                    .wait = [](int, double) { return 1ms; }});
  }
  // Waits until the status is as asked, or half a minute.
  template <class Is>
  CourierStatus wait_for(Courier& courier, Is is) {
    const auto end = std::chrono::steady_clock::now() + 30s;
    while (!is(courier.status()) && std::chrono::steady_clock::now() < end)
      std::this_thread::sleep_for(1ms);
    return courier.status();
  }
  Station station;
  const Place place{Kind::file};
  std::atomic<bool> reachable = true;
};

bool sent(const CourierStatus& status) {
  return status.trouble.empty() && status.last_sent_us > 0;
}
bool troubled(const CourierStatus& status) {
  return !status.trouble.empty();
}

TEST_F(CourierTest, SendsByItselfAndSaysWhen) {
  station.look("k-1", "1", 1, domain::Disposition::accept);
  Courier one = courier();
  const CourierStatus status = wait_for(one, sent);
  EXPECT_EQ(status, (CourierStatus{0, station.clock.now.wall_us, 60, ""}));
  EXPECT_EQ(must(check(*place.open(), {})).entries, 4);
}

TEST_F(CourierTest, CountsWhatWaitsWhileTheStoreIsAwayAndSendsItWhenItIsBack) {
  station.look("k-1", "1", 1, domain::Disposition::accept);
  {
    Courier one = courier();
    wait_for(one, sent);
  }
  reachable = false;
  station.look("k-2", "2", 1, domain::Disposition::accept);
  station.look("k-3", "3", 1, domain::Disposition::hold);
  Courier again = courier();  // after a restart without a network
  const CourierStatus away = wait_for(again, troubled);
  EXPECT_THAT(away.trouble, HasSubstr("name not found"));
  EXPECT_EQ(away.looks_waiting, 2);
  EXPECT_EQ(away.last_sent_us, station.clock.now.wall_us - 4'000'000);
  reachable = true;
  EXPECT_EQ(wait_for(again, sent).looks_waiting, 0);
  EXPECT_TRUE(must(check(*place.open(), {})).whole());
}

TEST_F(CourierTest, TriesAtOnceWhenAsked) {
  Courier one = courier();
  wait_for(one, sent);
  station.look("k-1", "1", 1, domain::Disposition::accept);
  one.try_now();
  const auto all = std::ssize(entries_of(*station.records));
  const auto plant = place.open();
  wait_for(one, [&](const CourierStatus&) {
    return must(plant->head(station.records->journal())).seq == all;
  });
  EXPECT_EQ(must(plant->head(station.records->journal())).seq, all);
}

}  // namespace
}  // namespace lastlook::sync
