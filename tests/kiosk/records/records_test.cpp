// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/records.h"

#include <atomic>
#include <fstream>
#include <sstream>
#include <thread>

#include "kiosk/records/audit.h"
#include "kiosk/records/sql.h"
#include "kiosk/records/unit_queries.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Answer;
using domain::Disposition;
using domain::Happening;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::must;
using ::testing::SizeIs;
using testing::sql;

class RecordsTest : public ::testing::Test {
 protected:
  std::vector<std::string> on_disk(const std::string& text) {
    return sql(station.folder.path() / "records.db", text);
  }
  testing::Station station;
};

TEST_F(RecordsTest, StartsItsJournalWithTheStationsName) {
  EXPECT_THAT(on_disk("SELECT seq, actor, kind, json_extract(body, '$.station') FROM entry "
                      "WHERE seq = 1"),
              ElementsAre("1|station|journal_started|LL-1"));
}

TEST_F(RecordsTest, KeepsAnAnswerOnDiskBeforeItReturns) {
  station.open_look("k-1", "26330-00417", 1);
  station.happen(domain::StepAnswered{"k-1", "seal", Answer::conforming, {}, "present"});
  // Another connection, as after a crash of this program.
  EXPECT_THAT(on_disk("SELECT look, component, answer, opinion_shown FROM step_answer"),
              ElementsAre("k-1|seal|conforming|present"));
  EXPECT_THAT(on_disk("SELECT kind FROM entry ORDER BY seq DESC LIMIT 1"),
              ElementsAre("step_answered"));
}

TEST_F(RecordsTest, FixesDateShiftAndQuarterOfAnHourInTheStamp) {
  station.open_look("k-1", "26330-00417", 1);
  EXPECT_THAT(on_disk("SELECT json_extract(stamp, '$.production_date'), "
                      "json_extract(stamp, '$.shift'), json_extract(stamp, '$.quarter'), "
                      "json_extract(stamp, '$.calendar_revision') "
                      "FROM entry ORDER BY seq DESC LIMIT 1"),
              ElementsAre("2026-11-25|early|24|7"));
}

TEST_F(RecordsTest, AppendsAllOfItOrNothing) {
  const auto before = on_disk("SELECT count(*) FROM entry");
  const std::vector<domain::Happening> two = {
      domain::SignedIn{"p-1", domain::Role::inspector},
      domain::StepAnswered{"no such look", "seal", Answer::conforming, {}, ""}};
  const Status done = station.records->append(two, "p-1", station.clock.read());
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().category, Category::refused);
  EXPECT_EQ(on_disk("SELECT count(*) FROM entry"), before);
  station.happen(domain::SignedIn{"p-1", domain::Role::inspector});
  EXPECT_THAT(on_disk("SELECT max(seq) - count(*) FROM entry"), ElementsAre("0"));
}

TEST_F(RecordsTest, OpensWhereItWas) {
  station.happen(domain::SignedIn{"p-1", domain::Role::inspector});
  station.look("k-1", "26330-00417", 1, Disposition::accept);
  station.open_look("k-2", "26330-00418", 1);
  station.happen(domain::StepAnswered{"k-2", "seal", Answer::conforming, {}, ""});
  station.reopen();
  EXPECT_EQ(station.records->station(), "LL-1");
  EXPECT_EQ(station.records->master().revision, 7);
  std::vector<std::string> kinds;
  for (const Entry& entry : must(unfinished_entries(*station.records))) kinds.push_back(entry.kind);
  EXPECT_THAT(kinds, ElementsAre("master_adopted", "signed_in", "look_opened", "step_answered"));
}

TEST_F(RecordsTest, RefusesASecondStationInTheFolder) {
  station.records.reset();
  const auto again = Records::create(station.folder.path(), "LL-2", station.clock);
  ASSERT_FALSE(again);
  EXPECT_EQ(again.error().category, Category::refused);
  EXPECT_THAT(again.error().message, HasSubstr("there is a station here already"));
}

TEST_F(RecordsTest, SaysThatThereIsNoStation) {
  const testing::TempFolder empty;
  EXPECT_EQ(Records::open(empty.path()).error().category, Category::not_found);
  EXPECT_EQ(Records::open_to_read(empty.path()).error().category, Category::not_found);
  EXPECT_TRUE(std::filesystem::is_empty(empty.path())) << "looking made a file";
}

TEST_F(RecordsTest, ReadsWhileTheWriterIsOpenAndCannotAppend) {
  const auto reader = must(Records::open_to_read(station.folder.path()));
  station.open_look("k-1", "26330-00417", 1);
  EXPECT_THAT(must(unit_record(*reader, "26330-00417")).looks, SizeIs(1));
  const domain::Happening out = domain::SignedOut{"p-1"};
  EXPECT_EQ(reader->append({&out, 1}, "p-1", station.clock.read()).error().category,
            Category::refused);
}

TEST_F(RecordsTest, JournalsAClockThatJumped) {
  station.clock.now.wall_us -= 3'600'000'000;
  station.happen(domain::SignedIn{"p-1", domain::Role::inspector});
  EXPECT_THAT(on_disk("SELECT kind, actor, json_extract(body, '$.by_us') FROM entry "
                      "ORDER BY seq DESC LIMIT 2"),
              ElementsAre("signed_in|p-1|null", "clock_jumped|station|-3600000000"));
}

TEST_F(RecordsTest, AStartOfTheMachineIsNoJump) {
  station.clock.now.mono_us = 5;
  station.clock.now.boot = "boot-2";
  station.happen(domain::SignedIn{"p-1", domain::Role::inspector});
  EXPECT_THAT(on_disk("SELECT count(*) FROM entry WHERE kind = 'clock_jumped'"), ElementsAre("0"));
}

TEST_F(RecordsTest, AGroupIsThereWholeOrNotAtAll) {
  must(station.records->begin_bulk());
  station.look("k-1", "26330-00417", 1, Disposition::accept);
  EXPECT_THAT(on_disk("SELECT count(*) FROM look"), ElementsAre("0"));
  must(station.records->end_bulk());
  EXPECT_THAT(on_disk("SELECT count(*) FROM look"), ElementsAre("1"));
}

TEST_F(RecordsTest, AGroupWithAnAppendThatFailedIsLostAndSaysSo) {
  must(station.records->begin_bulk());
  station.look("k-1", "26330-00417", 1, Disposition::accept);
  EXPECT_FALSE(station.try_one(domain::LookResumed{"no such look"}));
  EXPECT_FALSE(station.try_one(domain::SignedOut{"p-1"}));
  EXPECT_THAT(station.records->end_bulk().error().message, HasSubstr("no such look"));
  EXPECT_THAT(on_disk("SELECT count(*) FROM look"), ElementsAre("0"));
  station.look("k-2", "26330-00417", 1, Disposition::accept);
  EXPECT_THAT(on_disk("SELECT max(seq) - count(*) FROM entry"), ElementsAre("0"));
}

// A large file whose writer did not come to its end, hurt where nothing is read at the start.
struct LargeAndHurt : RecordsTest {
  LargeAndHurt() {
    station.records.reset();
    const auto page = [&](const std::string& what) { return std::stol(on_disk(what).at(0)); };
    on_disk(
        "CREATE TABLE filler (bytes BLOB); INSERT INTO filler VALUES (zeroblob(68000000)); "
        "PRAGMA wal_checkpoint(TRUNCATE)");
    const long size = page("PRAGMA page_size");
    const long root = page("SELECT rootpage FROM sqlite_schema WHERE name = 'claim'");
    std::fstream file(station.folder.path() / "records.db",
                      std::ios::in | std::ios::out | std::ios::binary);
    file.seekp((root - 1) * size);
    file << std::string(static_cast<std::size_t>(size), '\0');
    std::ofstream(station.folder.path() / "lock") << "4711";
  }
};

TEST_F(LargeAndHurt, IsRefusedHoweverOftenItIsOpened) {
  for (int i = 0; i < 2; ++i) {
    const auto opened = Records::open(station.folder.path());
    ASSERT_FALSE(opened);
    EXPECT_EQ(opened.error().category, Category::damaged);
  }
}

TEST_F(LargeAndHurt, OpensAtOnceForWhoChecksItBesideTheWork) {
  auto records = must(Records::open(station.folder.path(), Check::beside));
  EXPECT_TRUE(records->is_in_doubt());
  const Happening noted = domain::HandoverNoted{"the power failed"};
  must(records->append({&noted, 1}, "p-1", station.clock.read()));
  const Status whole = check_file(station.folder.path());
  ASSERT_FALSE(whole);
  EXPECT_EQ(whole.error().category, Category::damaged);
  records->checked(whole);
  const Status refused = records->append({&noted, 1}, "p-1", station.clock.read());
  EXPECT_EQ(refused.error().message, whole.error().message);
  records.reset();
  EXPECT_FALSE(Records::open(station.folder.path())) << "it is still known to be in doubt";
}

TEST_F(RecordsTest, AFileThatIsFoundWholeIsNotInDoubtAnyMore) {
  station.records.reset();
  on_disk("CREATE TABLE filler (bytes BLOB); INSERT INTO filler VALUES (zeroblob(68000000))");
  std::ofstream(station.folder.path() / "lock") << "4711";
  auto records = must(Records::open(station.folder.path(), Check::beside));
  EXPECT_TRUE(records->is_in_doubt());
  records.reset();
  records = must(Records::open(station.folder.path(), Check::beside));
  EXPECT_TRUE(records->is_in_doubt()) << "nobody has checked it";
  records->checked(check_file(station.folder.path()));
  EXPECT_FALSE(records->is_in_doubt());
  records.reset();
  EXPECT_FALSE(must(Records::open(station.folder.path(), Check::beside))->is_in_doubt());
}

TEST_F(RecordsTest, AnOlderFormIsBroughtUpToDateWithTheRowsThatItsJournalMakes) {
  testing::RichJournal(station, 3).units(10);
  const auto dumped = [](Records& records) {
    std::ostringstream out;
    must(dump(records.store(), out));
    return out.str();
  };
  const std::string now = dumped(*station.records);
  station.records.reset();
  testing::put_back_to_form(station.folder.path() / "records.db", 2);
  EXPECT_EQ(dumped(*must(Records::open(station.folder.path()))), now);
  EXPECT_EQ(dumped(*must(Records::open_to_read(station.folder.path()))), now);
}

TEST(RecordsBesideAWriter, AReaderNeverFindsTheEndOfTheJournalLost) {
  testing::Station station;
  std::atomic<bool> writes = true;
  std::thread writer([&] {
    for (int i = 0; i < 400; ++i) station.happen(domain::HandoverNoted{std::to_string(i)});
    writes = false;
  });
  int opened = 0;
  std::string trouble;
  while (writes) {
    const auto reader = Records::open_to_read(station.folder.path());
    ++opened;
    if (!reader) trouble = reader.error().message;
  }
  writer.join();
  EXPECT_GT(opened, 5) << "it read beside the writer";
  EXPECT_EQ(trouble, "");
}

}  // namespace
}  // namespace lastlook::records
