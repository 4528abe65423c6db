// SPDX-License-Identifier: Apache-2.0
// The power fails at every single write of an inspection: what was acknowledged is there, what was
// not is there whole or not at all, and the station goes on.
#include <gmock/gmock.h>

#include <iostream>

#include "kiosk/records/audit.h"
#include "tests/faults/remembering_disk.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::faults {
namespace {

namespace fs = std::filesystem;
using domain::Answer;
using records::testing::must;
using records::testing::TempFolder;

// How far the disk and the journal were after a touch was acknowledged.
struct Acknowledged {
  std::size_t acts = 0;
  std::int64_t seq = 0;
};

class PowerCut : public ::testing::Test {
 protected:
  PowerCut() {
    station.records.reset();
    fs::copy(station.folder.path(), before, fs::copy_options::recursive);
    const RememberingDisk disk;
    station.records = must(records::Records::open(station.folder.path()));
    inspect(disk);
    acts = disk.acts();
  }
  // A unit with a finding, closed; the station closed and opened in between, which moves the log
  // into the file.
  void inspect(const RememberingDisk& disk) {
    const auto noted = [&](auto happening) {
      station.happen(happening);
      const auto last = must(station.records->store().last_entry(station.records->journal()));
      acknowledged.push_back({disk.acts().size(), last->seq});
    };
    station.open_look("k-1", "1", 1);
    for (const char* component : {"seal", "lid", "tag"})
      noted(domain::StepAnswered{"k-1", component, Answer::conforming, {}, ""});
    station.reopen();
    noted(
        domain::FindingAdded{"k-1", "f-1", "lid", "missing", domain::Severity::major, {}, "", ""});
    noted(domain::LookClosed{"k-1", domain::Disposition::rework, "", ""});
    station.records.reset();
  }
  std::int64_t acknowledged_before(std::size_t cut) const {
    std::int64_t seq = 0;
    for (const Acknowledged& one : acknowledged)
      if (one.acts <= cut) seq = one.seq;
    return seq;
  }
  // What the disk holds after a cut, in a folder of its own.
  const fs::path& disk_after(std::size_t cut, unsigned chance) {
    fs::remove_all(after);
    cut_power(before, acts, cut, chance, after);
    return after;
  }
  records::testing::Station station;
  TempFolder place;
  const fs::path before = place.path() / "before", after = place.path() / "after";
  std::vector<Acknowledged> acknowledged;
  std::vector<DiskAct> acts;
};

TEST_F(PowerCut, AtEveryWriteLosesNothingThatWasAcknowledged) {
  ASSERT_GT(acts.size(), 40U);
  std::cout << acts.size() << " writes and syncs, three cuts before each\n";
  for (std::size_t cut = 0; cut <= acts.size(); ++cut)
    for (unsigned chance = 0; chance < 3; ++chance) {
      const auto opened =
          records::Records::open(disk_after(cut, 1'000 * chance + static_cast<unsigned>(cut)));
      ASSERT_TRUE(opened.has_value()) << "cut " << cut << ": " << opened.error().message;
      const auto last = must((*opened)->store().last_entry((*opened)->journal()));
      ASSERT_GE(last->seq, acknowledged_before(cut)) << "cut " << cut;
      if (chance > 0) continue;  // the whole audit once a cut
      const auto verdict = must(records::verify(after));
      ASSERT_TRUE(verdict.whole()) << "cut " << cut << ": " << verdict.faults.front().what;
    }
}

// The check can fail: a disk whose syncs do nothing loses acknowledged touches.
TEST_F(PowerCut, ADiskThatLiesAboutSyncingIsFoundOut) {
  for (DiskAct& act : acts)
    if (act.kind == DiskAct::sync) act.file = "another";
  int lost = 0;
  for (std::size_t cut = 0; cut <= acts.size(); cut += 3) {
    const auto opened = records::Records::open(disk_after(cut, static_cast<unsigned>(cut)));
    const auto last =
        opened ? must((*opened)->store().last_entry((*opened)->journal())) : std::nullopt;
    if (!last || last->seq < acknowledged_before(cut)) ++lost;
  }
  EXPECT_GT(lost, 5);
}

}  // namespace
}  // namespace lastlook::faults
