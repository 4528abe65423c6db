// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/audit.h"

#include <fstream>
#include <sstream>

#include "kiosk/records/pictures.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::must;
using ::testing::SizeIs;

constexpr unsigned seed = 20'261'125;

std::string dump_of(Records& records) {
  std::ostringstream out;
  must(dump(records.store(), out));
  return out.str();
}

class AuditTest : public ::testing::Test {
 protected:
  AuditTest() {
    must(station.records->begin_bulk());
    testing::RichJournal(station, seed).units(60);
    must(station.records->end_bulk());
  }
  // What verify finds after the file was changed by another hand.
  Verdict after(const std::string& change) {
    station.records.reset();
    testing::sql(file(),
                 "DROP TRIGGER entry_is_never_changed; DROP TRIGGER "
                 "entry_is_never_deleted; " +
                     change);
    return must(verify(station.folder.path()));
  }
  std::filesystem::path file() const { return station.folder.path() / "records.db"; }
  testing::Station station;
};

TEST_F(AuditTest, ARichJournalIsWhole) {
  const Verdict verdict = must(verify(station.folder.path()));
  EXPECT_THAT(verdict.faults, IsEmpty()) << verdict.faults.front().what;
  EXPECT_GT(verdict.entries, 600);
  EXPECT_EQ(verdict.head, testing::sql(file(), "SELECT hash FROM station_state").at(0));
}

TEST_F(AuditTest, RebuiltRowsAreEqual) {
  const std::string before = dump_of(*station.records);
  EXPECT_GT(std::ranges::count(before, '\n'), 800);
  must(rebuild(*station.records));
  EXPECT_EQ(dump_of(*station.records), before);
}

TEST_F(AuditTest, ARebuildMendsRowsThatWereChanged) {
  const std::string before = dump_of(*station.records);
  const Verdict verdict = after("UPDATE count_look SET accept = accept + 1; DELETE FROM waiting");
  ASSERT_THAT(verdict.faults, SizeIs(2));
  EXPECT_EQ(verdict.faults[0].seq, 0);
  EXPECT_THAT(verdict.faults[0].what, HasSubstr("the rows of waiting"));
  EXPECT_THAT(verdict.faults[1].what, HasSubstr("the rows of count_look"));
  station.reopen();
  must(rebuild(*station.records));
  EXPECT_EQ(dump_of(*station.records), before);
}

TEST_F(AuditTest, NamesTheFirstBrokenEntryForEveryColumn) {
  const std::vector<std::string> changes = {
      "stamp = replace(stamp, '\"early\"', '\"lat\"')",
      "actor = 'p-2'",
      "kind = 'signed_out'",
      "version = 2",
      "body = replace(body, 'p-1', 'p-2')",
      "previous = zeroblob(32)",
      "hash = zeroblob(32)",
  };
  for (const std::string& change : changes) {
    SCOPED_TRACE(change);
    testing::Station one;
    one.happen(domain::SignedIn{"p-1", domain::Role::inspector}, domain::SignedOut{"p-1"});
    one.records.reset();
    testing::sql(
        one.folder.path() / "records.db",
        "DROP TRIGGER entry_is_never_changed; UPDATE entry SET " + change + " WHERE seq = 3");
    const Verdict verdict = must(verify(one.folder.path()));
    ASSERT_FALSE(verdict.whole());
    EXPECT_EQ(verdict.faults[0].seq, 3);
  }
}

TEST_F(AuditTest, FindsAnEntryThatIsMissing) {
  const Verdict verdict = after("DELETE FROM entry WHERE seq = 17");
  ASSERT_FALSE(verdict.whole());
  EXPECT_EQ(verdict.faults[0].seq, 17);
  EXPECT_THAT(verdict.faults[0].what, HasSubstr("missing"));
}

TEST_F(AuditTest, FindsAnEndThatIsMissing) {
  const Verdict verdict = after("DELETE FROM entry WHERE seq >= (SELECT max(seq) - 2 FROM entry)");
  ASSERT_FALSE(verdict.whole());
  EXPECT_THAT(verdict.faults[0].what, HasSubstr("the end of the journal is missing"));
  const auto opened = Records::open(station.folder.path());
  ASSERT_FALSE(opened) << "the station must not go on over a hole";
  EXPECT_EQ(opened.error().category, Category::damaged);
}

TEST_F(AuditTest, ARebuildRefusesAJournalThatLostItsEnd) {
  const std::string before = dump_of(*station.records);
  testing::sql(file(),
               "DROP TRIGGER entry_is_never_deleted; "
               "DELETE FROM entry WHERE seq = (SELECT max(seq) FROM entry)");
  EXPECT_EQ(rebuild(*station.records).error().category, Category::damaged);
  EXPECT_EQ(dump_of(*station.records), before) << "nothing was touched";
}

TEST_F(AuditTest, FindsARewrittenEntryWithARightHashOfItsOwn) {
  // Who rewrites an entry and its hash still breaks the link of the next one.
  station.records.reset();
  auto entry_sql = [&](const std::string& text) { return testing::sql(file(), text).at(0); };
  Entry forged;
  forged.journal = entry_sql("SELECT journal FROM entry LIMIT 1");
  forged.seq = 3;
  forged.stamp = entry_sql("SELECT stamp FROM entry WHERE seq = 3");
  forged.actor = "p-forger";
  forged.kind = entry_sql("SELECT kind FROM entry WHERE seq = 3");
  forged.body = entry_sql("SELECT body FROM entry WHERE seq = 3");
  const std::string previous = entry_sql("SELECT hex(previous) FROM entry WHERE seq = 3");
  for (std::size_t i = 0; i < forged.previous.size(); ++i)
    forged.previous[i] =
        static_cast<unsigned char>(std::stoi(previous.substr(2 * i, 2), nullptr, 16));
  const Verdict verdict = after("UPDATE entry SET actor = 'p-forger', hash = x'" +
                                to_hex(hash_of(forged)) + "' WHERE seq = 3");
  ASSERT_FALSE(verdict.whole());
  EXPECT_EQ(verdict.faults[0].seq, 4);
  EXPECT_THAT(verdict.faults[0].what, HasSubstr("does not follow"));
}

TEST_F(AuditTest, FindsAPictureThatIsMissingOrAltered) {
  Pictures pictures(station.folder.path() / "pictures");
  const std::vector<unsigned char> bytes = {1, 2, 3};
  const std::string picture = must(pictures.keep(bytes));
  station.open_look("k-p", "1", 1);
  station.happen(domain::FindingAdded{
      "k-p", "f-1", "seal", "missing", domain::Severity::major, {}, picture, ""});
  EXPECT_TRUE(must(verify(station.folder.path())).whole());
  std::ofstream(pictures.path_of(picture)) << "other";
  EXPECT_THAT(must(verify(station.folder.path())).faults.at(0).what, HasSubstr("altered"));
  std::filesystem::remove(pictures.path_of(picture));
  const Verdict verdict = must(verify(station.folder.path()));
  EXPECT_THAT(verdict.faults, IsEmpty()) << "the journal has its hash still";
  ASSERT_THAT(verdict.missing_pictures, SizeIs(1));
  EXPECT_EQ(verdict.missing_pictures[0].picture, picture);
  EXPECT_EQ(std::to_string(verdict.missing_pictures[0].seq),
            testing::sql(file(), "SELECT max(seq) FROM entry").at(0));
}

TEST_F(AuditTest, ReadsBesideTheWriterAndLeavesTheFileAlone) {
  station.open_look("k-x", "1", 1);
  EXPECT_TRUE(must(verify(station.folder.path())).whole());
  station.happen(domain::LookClosed{"k-x", domain::Disposition::accept, "", ""});
  EXPECT_TRUE(must(verify(station.folder.path())).whole());
}

TEST(Verify, SaysThatThereIsNoStation) {
  const testing::TempFolder empty;
  EXPECT_EQ(verify(empty.path()).error().category, Category::not_found);
}

}  // namespace
}  // namespace lastlook::records
