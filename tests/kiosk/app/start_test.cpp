// SPDX-License-Identifier: Apache-2.0
// A station with a long history starts as one with a short one: the same steps of the database's
// machine, and hardly more pages of its file.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <sqlite3.h>

#include <fstream>
#include <map>

#include "tests/kiosk/app/kiosk_start.h"
#include "tests/kiosk/records/long_history.h"
#include "tests/kiosk/records/rich_journal.h"

namespace lastlook::app::testing {
namespace {

namespace fs = std::filesystem;
using records::testing::must;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

struct Spent {
  std::int64_t steps = 0, pages = 0;
};
using Spending = std::map<std::string, Spent>;  // by statement

// Counts what every connection that is opened meanwhile spends; they are closed before it ends.
class Meter {
 public:
  Meter() {
    running_ = this;
    sqlite3_auto_extension(reinterpret_cast<void (*)()>(watch));
  }
  ~Meter() {
    sqlite3_reset_auto_extension();
    running_ = nullptr;
  }
  Meter(const Meter&) = delete;
  Meter& operator=(const Meter&) = delete;

  const Spending& spending() const { return spent_; }

 private:
  static int watch(sqlite3* db, char**, const sqlite3_api_routines*) {
    return sqlite3_trace_v2(db, SQLITE_TRACE_PROFILE, ended, running_);
  }
  static int ended(unsigned, void* meter, void* statement, void*) {
    static_cast<Meter*>(meter)->add(static_cast<sqlite3_stmt*>(statement));
    return 0;
  }
  void add(sqlite3_stmt* statement) {
    Spent& spent = spent_[sqlite3_sql(statement)];
    spent.steps += sqlite3_stmt_status(statement, SQLITE_STMTSTATUS_VM_STEP, 1);
    // A step may read a whole tree, as the one that counts its rows does.
    for (const int kind : {SQLITE_DBSTATUS_CACHE_HIT, SQLITE_DBSTATUS_CACHE_MISS}) {
      int pages = 0, most = 0;
      sqlite3_db_status(sqlite3_db_handle(statement), kind, &pages, &most, 1);
      spent.pages += pages;
    }
  }

  inline static Meter* running_ = nullptr;
  Spending spent_;
};

// Statements that take more steps, or many more pages, than at another station. A tree of twenty
// times the rows may be a page or two deeper.
std::vector<std::string> grown(const Spending& few, const Spending& many) {
  std::vector<std::string> all;
  for (const auto& [text, spent] : many) {
    const auto known = few.find(text);
    const Spent before = known == few.end() ? Spent{} : known->second;
    if (spent.steps > before.steps || spent.pages > 3 * before.pages + 10)
      all.push_back(fmt::format("{} -> {} steps, {} -> {} pages: {}", before.steps, spent.steps,
                                before.pages, spent.pages, text));
  }
  return all;
}

// A day with a bit of everything, repeated, and what stands around when the station starts.
class LongStation {
 public:
  explicit LongStation(int days) {
    must(station_.records->begin_bulk());
    approve("m-1");
    records::testing::RichJournal(station_, 7).units(25);
    must(station_.records->end_bulk());
    station_.records.reset();
    {
      records::testing::HistoryRepeater history(file());
      history.repeat(days);
      // So large that its pages are not all read to see whether it is whole.
      history.run(
          "CREATE TABLE filler (bytes BLOB); INSERT INTO filler VALUES (zeroblob(68000000))");
    }
    station_.records = must(records::Records::open(station_.folder.path()));
    leave_work();
    station_.records.reset();
    must(must(records::People::open(station_.folder.path()))
             ->add({"p-1", "Ada", domain::Role::inspector}, "2100"));
  }

  fs::path file() const { return station_.folder.path() / "records.db"; }
  // A look that is open, with what is wrong with the unit.
  void open_look() {
    station_.records = must(records::Records::open(station_.folder.path()));
    station_.open_look("k-open", "10003", 9);
    station_.happen(domain::FindingAdded{
        "k-open", "f-open", "lid", "not_seated", domain::Severity::major, {}, "", ""});
    station_.records.reset();
  }
  // What the records are asked for until the first frame is drawn, and at the first tick.
  Spending start() {
    const Meter meter;
    {
      KioskStart start(station_.folder.path(), station_.clock);
      start.desk.tick();
      facts_ = start.desk.facts();
      parked_ = facts_.inspection->parked.size();
      facts_.inspection = nullptr;  // it ends with the station
    }
    return meter.spending();
  }
  const screens::Facts& facts() const { return facts_; }
  std::size_t parked() const { return parked_; }

 private:
  void approve(const std::string& model) {
    domain::ModelApproved approved;
    approved.model = model;
    approved.file = "ab01";
    station_.happen(approved);
  }
  // A held proof and a failed one, of a model that never held too; a study; a parked look.
  void leave_work() {
    station_.happen(domain::SignedIn{"p-1", domain::Role::inspector});
    judge("c-held", "m-1", "held");
    accept("k-relied", "m-1");
    judge("c-failed", "m-1", "failed");
    accept("k-new", "m-9");
    judge("c-new", "m-9", "failed");
    domain::StudyPlanned plan;
    plan.study = "s-today";
    plan.title = "Seals";
    plan.items = {{"01", "conforming", ""}, {"02", "nonconforming", ""}};
    plan.inspectors = {"p-1"};
    plan.ratings = {"conforming", "nonconforming"};
    station_.happen(plan);
    station_.open_look("k-parked", "10002", 9);
    station_.happen(domain::LookParked{"k-parked", domain::ParkReason::needs_advice, ""});
  }
  void accept(const std::string& look, const std::string& model) {
    station_.open_look(look, look, 1);
    domain::OpinionGiven given;
    given.look = look;
    given.model = model;
    given.components.emplace_back().component = "seal";
    station_.happen(given,
                    domain::StepAnswered{look, "seal", domain::Answer::conforming,
                                         domain::Answer::not_answered, "present"},
                    domain::LookClosed{look, domain::Disposition::accept, "", ""});
  }
  void judge(const std::string& showing, const std::string& model, const std::string& proof) {
    domain::PartJudged judged{
        showing, "99999-00001", "CP-210", "2026-11-25", "early", 1, model, "", {}, {}, proof};
    if (proof == "failed") judged.unmet = {"seal"};
    station_.happen(domain::PartShown{showing, "99999-00001", "CP-210"}, judged);
  }

  records::testing::Station station_;
  screens::Facts facts_;
  std::size_t parked_ = 0;
};

constexpr int few_days = 3, many_days = 60;

struct StartTest : ::testing::Test {
  LongStation few{few_days}, many{many_days};
};

TEST_F(StartTest, AsksNoMoreOfALongHistory) {
  EXPECT_THAT(grown(few.start(), many.start()), IsEmpty());
  const screens::Facts& facts = many.facts();
  EXPECT_EQ(facts.shift.looks, few.facts().shift.looks);
  EXPECT_GT(facts.shift.looks, 0);
  EXPECT_GT(facts.second_looks_waiting, 0);
  EXPECT_EQ(facts.proof.contained.size(), 2U);
  EXPECT_EQ(facts.study.tasks.size(), 1U);
  EXPECT_GT(many.parked(), 0U);
}

TEST_F(StartTest, AsksNoMoreWhereAUnitIsOnTheTable) {
  few.open_look();
  many.open_look();
  EXPECT_THAT(grown(few.start(), many.start()), IsEmpty());
  EXPECT_FALSE(many.facts().unit.looks.empty());
  EXPECT_THAT(many.facts().concessions, ElementsAre("C-1"));
}

TEST_F(StartTest, AsksNoMoreAfterThePowerFailed) {
  const Spending with_few = few.start();
  std::ofstream(many.file().parent_path() / "lock") << "4711";  // whoever wrote it is gone
  EXPECT_THAT(grown(with_few, many.start()), IsEmpty());
}

// All that is kept of what is done is there in its multitude, or nothing would be shown above.
TEST_F(StartTest, HasALongHistoryInEveryTable) {
  const auto rows_in = [](const LongStation& station, const std::string& table) {
    return std::stoi(records::testing::sql(station.file(), "SELECT count(*) FROM " + table).at(0));
  };
  EXPECT_GT(rows_in(many, "entry"), 15 * rows_in(few, "entry"));
  for (const records::Table* table : records::all_tables()) {
    const std::string name(table->name);
    if (records::testing::HistoryRepeater::is_to_do(name)) continue;
    EXPECT_GT(rows_in(many, name), 10 * rows_in(few, name)) << name;
  }
}

TEST_F(StartTest, WouldShowWhatReadsAll) {
  const Spending with_few = few.start();
  records::testing::sql(many.file(), "DROP INDEX showing_by_date");
  EXPECT_THAT(grown(with_few, many.start()), ElementsAre(HasSubstr("FROM showing")));
}

}  // namespace
}  // namespace lastlook::app::testing
