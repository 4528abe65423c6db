// SPDX-License-Identifier: Apache-2.0
// Master data of the plant's office, from its journal through a store that is no server to another
// station's: over the courier, as the kiosk has it.
#include "kiosk/app/waiting_revision.h"

#include <gmock/gmock.h>

#include <chrono>
#include <cstring>
#include <mutex>
#include <thread>

#include "kiosk/sync/courier.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::app {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using records::testing::must;
using records::testing::Station;
using testing::HasSubstr;

class PlantRevisionTest : public testing::TestWithParam<const char*> {
 protected:
  PlantRevisionTest() { must(open()->make_office("office")); }

  std::unique_ptr<sync::PlantStore> open() const {
    return must(sync::open_plant_store(address(), true));
  }
  std::string address() const { return GetParam() + (folder.path() / "plant").string(); }

  void office_adopts(std::int64_t revision) {
    domain::Master master = domain::testing::small_plant();
    master.revision = revision;
    office.happen(domain::MasterAdopted{revision, text::write_master(master), "p-7"});
    must(sync::send(office.records->store(), *open()));
  }

  // Tries once, and hands on what came as the kiosk's courier does.
  sync::CourierStatus courier_tries() {
    std::mutex one_at_a_time;
    std::optional<domain::MasterAdopted> came;
    sync::Courier courier({.folder = station.folder.path(),
                           .open = [this] { return sync::open_plant_store(address(), true); },
                           .clock = station.clock,
                           .master =
                               [&](const domain::MasterAdopted& newer) {
                                 const std::scoped_lock lock(one_at_a_time);
                                 came = newer;
                               },
                           .rest = 1h,
                           .wait = [](int, double) { return std::chrono::milliseconds(1h); }});
    const auto end = std::chrono::steady_clock::now() + 30s;
    while (courier.status() == sync::CourierStatus{} && std::chrono::steady_clock::now() < end)
      std::this_thread::sleep_for(1ms);
    const std::scoped_lock lock(one_at_a_time);
    if (came) waiting.offer(*came);
    return courier.status();
  }

  // The revision that was adopted; 0: none.
  std::int64_t adopted() {
    const auto line = must(flows::Station::open(*station.records, station.clock));
    return must(waiting.adopt(*line));
  }
  std::int64_t works_under() {
    return must(flows::Station::open(*station.records, station.clock))->state().master.revision;
  }

  records::testing::TempFolder folder;
  Station office{"office"}, station{"LL-1"};
  WaitingRevision waiting;
};

TEST_P(PlantRevisionTest, IsAdoptedBetweenTwoUnitsWithTheNameOfWhoApprovedIt) {
  office_adopts(9);
  station.open_look("k-1", "1", 1);
  EXPECT_EQ(courier_tries().trouble, "");
  EXPECT_EQ(adopted(), 0) << "a unit is open";
  EXPECT_EQ(works_under(), 7);
  station.happen(domain::LookClosed{"k-1", domain::Disposition::rework, "", ""});
  EXPECT_EQ(adopted(), 9);
  EXPECT_EQ(works_under(), 9);
  const auto last = must(station.records->store().last_entry(station.records->journal()));
  EXPECT_EQ(last->kind, "master_adopted");
  EXPECT_THAT(last->body, HasSubstr("p-7"));
}

TEST_P(PlantRevisionTest, AnOlderOneNeverComesBack) {
  office_adopts(9);
  courier_tries();
  EXPECT_EQ(adopted(), 9);
  // The plant goes back to a store of last week, or makes a station the office that is behind.
  Station behind{"behind"};
  must(sync::send(behind.records->store(), *open()));
  must(open()->make_office("behind"));
  EXPECT_EQ(courier_tries().trouble, "");
  EXPECT_EQ(adopted(), 0);
  EXPECT_EQ(works_under(), 9);
}

TEST_P(PlantRevisionTest, AChangedEntryIsToldAndNotAdoptedWhileLooksGoOn) {
  office_adopts(9);
  const records::Entry newest = *must(open()->newest_master());
  const auto plant = folder.path() / "plant";
  if (fs::is_directory(plant)) {
    const fs::path file = fs::directory_iterator(plant / newest.journal)->path();  // there is one
    std::ifstream in(file);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    text.replace(text.rfind("p-7"), 3, "p-8");
    std::ofstream(file, std::ios::trunc) << text;
  } else {
    records::testing::sql(plant,
                          "DROP TRIGGER plant_entry_is_never_changed; UPDATE plant_entry SET body "
                          "= replace(body, 'p-7', 'p-8')");
  }
  station.look("k-1", "1", 1, domain::Disposition::accept);
  const auto status = courier_tries();
  EXPECT_THAT(status.trouble, HasSubstr("its hash is not that of its bytes"));
  EXPECT_EQ(status.looks_waiting, 0) << "what was looked at is in the store all the same";
  EXPECT_EQ(adopted(), 0);
  EXPECT_EQ(works_under(), 7);
}

INSTANTIATE_TEST_SUITE_P(Stores, PlantRevisionTest, testing::Values("sqlite:", "folder:"),
                         [](const auto& kind) {
                           return std::string(kind.param, std::strlen(kind.param) - 1);
                         });

}  // namespace
}  // namespace lastlook::app
