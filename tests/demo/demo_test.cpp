// SPDX-License-Identifier: Apache-2.0
// The demo from outside: the real program makes a plant and plays a shift; what it left on disk
// must say what was built in. One plant for all tests of this file.
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "kiosk/commands/demo_plant.h"
#include "kiosk/commands/demo_units.h"
#include "kiosk/records/audit.h"
#include "kiosk/records/challenge_queries.h"
#include "kiosk/records/entry.h"
#include "kiosk/records/opinion_queries.h"
#include "kiosk/records/second_look_queries.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/records/unit_queries.h"
#include "tests/places.h"

namespace {

using namespace lastlook;
namespace fs = std::filesystem;
using ::testing::HasSubstr;
using ::testing::Not;

struct Ran {
  int exit_code = -1;
  std::string output;  // stdout and stderr
};

Ran run(const std::string& arguments) {
  Ran result;
  FILE* pipe = popen((program() + " " + arguments + " 2>&1").c_str(), "r");
  if (!pipe) return result;
  char buffer[4096];
  while (const std::size_t got = fread(buffer, 1, sizeof buffer, pipe))
    result.output.append(buffer, got);
  const int status = pclose(pipe);
  if (WIFEXITED(status)) result.exit_code = WEXITSTATUS(status);
  return result;
}

std::string text_of(const fs::path& file) {
  std::ostringstream out;
  out << std::ifstream(file).rdbuf();
  return out.str();
}

class Demo : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    std::string name = (fs::temp_directory_path() / "lastlook-demo-XXXXXX").string();
    folder = mkdtemp(name.data());
    first = run("demo --headless --dir " + folder.string());
  }
  static void TearDownTestSuite() { fs::remove_all(folder); }

  void SetUp() override {
    ASSERT_EQ(first.exit_code, 0) << first.output;
    for (const fs::path& station : {folder, commands::folder_of_ll2(folder)}) {
      auto records = records::Records::open_to_read(station);
      ASSERT_TRUE(records) << records.error().message;
      stations_.push_back(std::move(*records));
    }
  }

  // Of the history: the production days before the last one, on which the headless shift was.
  records::Period history() {
    const auto shifts = records::by_shift(*stations_.front(), {});
    records::Period period;
    if (shifts && !shifts->empty()) {
      const std::string today = shifts->back().production_date;
      for (const records::ShiftRow& row : *shifts)
        if (row.production_date != today) period.to = row.production_date;
    }
    return period;
  }

  records::LookCounts looks(const records::Period& period) {
    records::LookCounts sum;
    for (auto& station : stations_) {
      const auto counts = records::look_counts(*station, period);
      if (!counts) ADD_FAILURE() << counts.error().message;
      sum.looks += counts->looks;
      sum.first_looks += counts->first_looks;
      sum.first_pass += counts->first_pass;
      sum.hold += counts->hold;
      sum.rework += counts->rework;
      sum.scrap += counts->scrap;
    }
    return sum;
  }

  // Findings of a kind, by production date.
  std::map<std::string, std::int64_t> findings(const std::string& component,
                                               const std::string& defect,
                                               const std::string& shift = "") {
    std::map<std::string, std::int64_t> by_date;
    for (auto& station : stations_) {
      const auto rows = records::by_shift(*station, history());
      for (const records::ShiftRow& row : *rows) {
        records::Period day;
        day.from = day.to = row.production_date;
        day.shift = row.shift;
        by_date.try_emplace(row.production_date, 0);
        if (!shift.empty() && row.shift != shift) continue;
        const auto counts = records::defect_counts(*station, day);
        for (const records::DefectCount& count : counts.value())
          if (count.component == component && count.defect == defect)
            by_date[row.production_date] += count.findings;
      }
    }
    return by_date;
  }

  static inline fs::path folder;
  static inline Ran first;
  std::vector<std::unique_ptr<records::Records>> stations_;
};

TEST_F(Demo, FourWeeksAtTwoStationsInTwoShifts) {
  for (auto& station : stations_) {
    const auto shifts = records::by_shift(*station, history());
    ASSERT_TRUE(shifts);
    EXPECT_EQ(shifts->size(), 40U);  // 20 working days, early and late
  }
  EXPECT_EQ(stations_[0]->station(), "LL-1");
  EXPECT_EQ(stations_[1]->station(), "LL-2");
  EXPECT_GE(looks(history()).looks, 7500);
  EXPECT_LE(looks(history()).looks, 9000);
}

TEST_F(Demo, EveryJournalIsWhole) {
  for (auto& station : stations_) {
    const auto verdict = records::verify(station->folder());
    ASSERT_TRUE(verdict) << verdict.error().message;
    EXPECT_TRUE(verdict->whole()) << verdict->faults.front().what;
    EXPECT_GT(verdict->entries, 40'000);
  }
}

// By the rates of the line, 7 to 12 in a hundred units have a fault; inspectors miss some.
TEST_F(Demo, TheYieldIsAsBuiltIn) {
  const records::LookCounts counts = looks(history());
  const double yield =
      static_cast<double>(counts.first_pass) / static_cast<double>(counts.first_looks);
  EXPECT_GT(yield, 0.88);
  EXPECT_LT(yield, 0.95);
}

TEST_F(Demo, TheBadBatchOfSealsStandsOutOnItsTwoDays) {
  const auto by_date = findings("seal", "seal_damaged");
  ASSERT_EQ(by_date.size(), 20U);
  std::int64_t most_elsewhere = 0;
  std::int64_t least_of_batch = 1'000'000;
  int day = 0;
  for (const auto& [date, count] : by_date) {
    const bool bad = day >= commands::bad_seals_first_day && day <= commands::bad_seals_last_day;
    if (bad) least_of_batch = std::min(least_of_batch, count);
    if (!bad) most_elsewhere = std::max(most_elsewhere, count);
    ++day;
  }
  EXPECT_GT(least_of_batch, 2 * most_elsewhere);
}

TEST_F(Demo, TagsGoMissingMoreAndMoreOnTheLateShiftOnly) {
  std::vector<std::int64_t> late;
  std::int64_t early = 0;
  for (const auto& [date, count] : findings("tag", "missing", "late")) late.push_back(count);
  for (const auto& [date, count] : findings("tag", "missing", "early")) early += count;
  ASSERT_EQ(late.size(), 20U);
  const auto sum = [&](std::size_t from) {
    return late[from] + late[from + 1] + late[from + 2] + late[from + 3] + late[from + 4];
  };
  EXPECT_GT(sum(15), 3 * sum(0));
  EXPECT_GT(sum(15), early);
}

TEST_F(Demo, ThereAreReturnsHoldsAndUnitsThatWait) {
  const records::LookCounts counts = looks(history());
  EXPECT_GT(counts.looks - counts.first_looks, 200);  // returns, and looks under a ticket
  EXPECT_GT(counts.rework, 300);
  EXPECT_GT(counts.hold, 30);
  EXPECT_GT(counts.scrap, 0);
  EXPECT_FALSE(records::waiting_units(*stations_[0])->empty());
}

// Drawn at the plant's rates: 5 in 100 accepted units, 30 in 100 that go to rework. Four standard
// deviations of the binomial are left for chance.
TEST_F(Demo, SecondLooksAreDrawnAtTheirRatesAndStayOutOfTheCounts) {
  std::int64_t drawn_accepted = 0, drawn_rework = 0, disagree = 0;
  for (auto& station : stations_) {
    const auto done = records::second_looks_done(*station, history());
    ASSERT_TRUE(done) << done.error().message;
    for (const records::SecondLookDone& look : *done) {
      EXPECT_NE(look.first_by, look.second_by) << look.serial;
      EXPECT_EQ(look.rate, look.first == "accept" ? .05 : look.first == "rework" ? .3 : .5);
      drawn_accepted += look.first == "accept" ? 1 : 0;
      drawn_rework += look.first == "rework" ? 1 : 0;
      disagree += (look.first == "accept") != (look.second == "accept") ? 1 : 0;
    }
  }
  const records::LookCounts counts = looks(history());
  const auto accepted = static_cast<double>(counts.looks - counts.hold - counts.rework);
  EXPECT_NEAR(static_cast<double>(drawn_accepted), .05 * accepted, 4 * std::sqrt(.05 * accepted));
  const auto rework = static_cast<double>(counts.rework);
  EXPECT_NEAR(static_cast<double>(drawn_rework), .3 * rework, 4 * std::sqrt(.21 * rework) + 20);
  EXPECT_GT(disagree, 3);
  EXPECT_LT(disagree, 60);
}

// The inspector who comes last in the shift takes those that were held back; what the camera
// thought of them is on record, and no answer names it.
TEST_F(Demo, SecondLooksOfTheScriptedShiftAreBlind) {
  records::Period today;
  today.from = today.to = records::by_shift(*stations_[0], {})->back().production_date;
  EXPECT_FALSE(records::second_looks_done(*stations_[0], today)->empty());
  std::set<std::string> second;
  int opinions = 0, answers = 0;
  const auto count = [&](const records::Entry& entry) {
    const auto happening = records::decode(entry);
    if (!happening) return false;
    if (const auto* opened = std::get_if<domain::LookOpened>(&*happening))
      if (!opened->second_of.empty()) second.insert(opened->look);
    if (const auto* given = std::get_if<domain::OpinionGiven>(&*happening))
      opinions += second.contains(given->look) ? 1 : 0;
    const auto* answer = std::get_if<domain::StepAnswered>(&*happening);
    if (!answer || !second.contains(answer->look)) return true;
    ++answers;
    EXPECT_EQ(answer->opinion_shown, "");
    return true;
  };
  ASSERT_TRUE(stations_[0]->store().entries(stations_[0]->journal(), 1, count));
  EXPECT_GT(opinions, 0);
  EXPECT_GT(answers, 1000);
}

TEST_F(Demo, TheScriptedShiftIsOnRecordWithTheCamerasOpinions) {
  const auto shifts = records::by_shift(*stations_[0], {});
  records::Period today;
  today.from = today.to = shifts->back().production_date;
  EXPECT_GE(records::look_counts(*stations_[0], today)->looks, 40);
  EXPECT_GE(*records::looks_with_opinion(*stations_[0], today), 40);
}

TEST_F(Demo, TheShiftBeginsWithTheCamerasProofAndItsPartsAreNoUnits) {
  records::Period today;
  today.from = today.to = records::by_shift(*stations_[0], {})->back().production_date;
  const auto proofs = records::proofs(*stations_[0], today);
  ASSERT_TRUE(proofs) << proofs.error().message;
  ASSERT_EQ(proofs->size(), 2U);  // one a variant
  for (const records::ProofOfShift& proof : *proofs) {
    EXPECT_EQ(proof.state, "held") << proof.variant;
    EXPECT_EQ(proof.parts, 2);
  }
  const auto& parts = stations_[0]->master().challenge_parts;
  ASSERT_EQ(parts.size(), 4U);
  for (const domain::ChallengePart& part : parts)
    EXPECT_TRUE(records::unit_record(*stations_[0], part.serial)->looks.empty()) << part.serial;
  EXPECT_THAT(text_of(folder / "shift-report.html"), HasSubstr("CP-210N proved"));
  // What the camera saw on the two faulty parts is evidence, beside their pictures.
  int overlays = 0;
  const auto count = [&](const records::Entry& entry) {
    if (entry.kind != "part_judged") return true;
    const auto happening = records::decode(entry);
    const auto* judged = happening ? std::get_if<domain::PartJudged>(&*happening) : nullptr;
    overlays += judged && !judged->overlay.empty() ? 1 : 0;
    return true;
  };
  ASSERT_TRUE(stations_[0]->store().entries(stations_[0]->journal(), 1, count));
  EXPECT_EQ(overlays, 2);
}

TEST_F(Demo, TheReportIsOneFileWithCharts) {
  const std::string page = text_of(folder / "shift-report.html");
  EXPECT_THAT(page, HasSubstr("<svg"));
  for (const char* outside : {"src=", "href=", "@import", "url(", "<script", "https:"})
    EXPECT_THAT(page, Not(HasSubstr(outside)));
}

TEST_F(Demo, TheTerminalSaysWhatItCameTo) {
  for (const char* what :
       {"Right at the first look", "95 % interval", "Camera opinion", "exact limits", "Waiting now",
        "every one verified", "shift-report.html"})
    EXPECT_THAT(first.output, HasSubstr(what));
}

TEST_F(Demo, AFolderThatIsSomethingElseIsRefusedAndLeftAlone) {
  const fs::path other = folder.string() + "-other";
  fs::create_directories(other);
  std::ofstream(other / "holiday.txt") << "sea";
  const Ran refused = run("demo --headless --dir " + other.string());
  EXPECT_EQ(refused.exit_code, 2) << refused.output;
  EXPECT_THAT(refused.output, HasSubstr("nothing was changed"));
  EXPECT_EQ(text_of(other / "holiday.txt"), "sea");
  EXPECT_EQ(std::distance(fs::directory_iterator(other), fs::directory_iterator()), 1);
  fs::remove_all(other);
}

// Last by name: a second run goes on with the plant, and the same units come as returns.
TEST_F(Demo, ZASecondRunGoesOnWithTheSamePlant) {
  const std::int64_t before = looks({}).looks;
  const std::int64_t first_looks_before = looks({}).first_looks;
  stations_.clear();
  const Ran again = run("demo --headless --dir " + folder.string());
  EXPECT_EQ(again.exit_code, 0) << again.output;
  SetUp();
  EXPECT_GE(looks({}).looks, before + 40);
  EXPECT_EQ(looks({}).first_looks, first_looks_before);
}

}  // namespace
