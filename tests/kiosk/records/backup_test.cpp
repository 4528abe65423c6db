// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/backup.h"

#include <sys/stat.h>

#include <fstream>
#include <sstream>

#include "kiosk/records/people.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/unit_queries.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;
using domain::Disposition;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::must;

class BackupTest : public ::testing::Test {
 protected:
  BackupTest() {
    station.look("k-1", "1", 1, Disposition::accept);
    station.open_look("k-2", "2", 1);
    station.happen(domain::StepAnswered{"k-2", "seal", domain::Answer::conforming, {}, ""});
    const std::vector<unsigned char> bytes = {1, 2, 3};
    picture = must(Pictures(station.folder.path() / "pictures").keep(bytes));
    station.happen(domain::FindingAdded{
        "k-2", "f-1", "lid", "missing", domain::Severity::major, {}, picture, ""});
  }
  std::string heads(const fs::path& folder) {
    return testing::sql(folder / "records.db", "SELECT hash FROM station_state").at(0);
  }
  testing::Station station;
  testing::TempFolder elsewhere;
  const fs::path copy = elsewhere.path() / "copy";
  const fs::path again = elsewhere.path() / "again";
  std::string picture;
};

TEST_F(BackupTest, CopiesAStationThatIsInUse) {
  must(People::open(station.folder.path()))->add({"p-1", "Mira", domain::Role::inspector}, "4711");
  const Copied copied = must(backup(station.folder.path(), copy));
  EXPECT_EQ(copied.head, heads(station.folder.path()));
  EXPECT_EQ(copied.pictures, 1);
  station.happen(domain::LookClosed{"k-2", Disposition::rework, "", ""});
  const Verdict verdict = must(verify(copy));
  EXPECT_THAT(verdict.faults, IsEmpty());
  EXPECT_EQ(verdict.head, copied.head);
  EXPECT_TRUE(must(must(People::open(copy))->pin_is_right("p-1", "4711")));
  struct stat found {};
  ASSERT_EQ(stat((copy / "people.db").c_str(), &found), 0);
  EXPECT_EQ(found.st_mode & 0777, 0600U);
}

TEST_F(BackupTest, NeverOverwritesAnother) {
  must(backup(station.folder.path(), copy));
  const std::string head = heads(copy);
  station.happen(domain::LookClosed{"k-2", Disposition::rework, "", ""});
  EXPECT_EQ(backup(station.folder.path(), copy).error().category, Category::refused);
  EXPECT_EQ(heads(copy), head);
}

TEST_F(BackupTest, OfADamagedFileIsRefusedAndLeavesNothing) {
  station.records.reset();
  std::fstream file(station.folder.path() / "records.db",
                    std::ios::in | std::ios::out | std::ios::binary);
  file.seekp(4096 * 2);
  for (int i = 0; i < 4096; ++i) file.put('\x5a');
  file.close();
  EXPECT_EQ(backup(station.folder.path(), copy).error().category, Category::damaged);
  EXPECT_TRUE(fs::is_empty(elsewhere.path()));
}

TEST_F(BackupTest, ARestoredStationGoesOnInANewJournalThatNamesTheOld) {
  const Copied copied = must(backup(station.folder.path(), copy));
  const Copied restored = must(restore(copy, again, station.clock));
  EXPECT_EQ(restored.entries, copied.entries);
  EXPECT_NE(restored.journal, copied.journal);
  EXPECT_THAT(testing::sql(again / "records.db",
                           "SELECT seq, json_extract(body, '$.after_journal'), "
                           "json_extract(body, '$.after_seq'), json_extract(body, '$.after_hash') "
                           "FROM entry WHERE journal = '" +
                               restored.journal + "'"),
              ElementsAre("1|" + copied.journal + "|" + std::to_string(copied.entries) + "|" +
                          copied.head));
  EXPECT_THAT(must(verify(again)).faults, IsEmpty());
}

TEST_F(BackupTest, ARestoredStationKnowsItsLooksAndFinishesThem) {
  must(backup(station.folder.path(), copy));
  must(restore(copy, again, station.clock));
  auto records = must(Records::open(again));
  EXPECT_EQ(records->master().revision, 7);
  EXPECT_TRUE(must(unit_record(*records, "1")).looks.at(0).disposition == Disposition::accept);
  std::vector<std::string> kinds;
  for (const Entry& entry : must(unfinished_entries(*records))) kinds.push_back(entry.kind);
  EXPECT_THAT(kinds,
              ElementsAre("master_adopted", "look_opened", "step_answered", "finding_added"));
  const domain::Happening closed = domain::LookClosed{"k-2", Disposition::rework, "", ""};
  must(records->append({&closed, 1}, "p-1", station.clock.read()));
  must(rebuild(*records));
  records.reset();
  EXPECT_THAT(must(verify(again)).faults, IsEmpty());
  // A second restore, from a backup of the restored.
  must(backup(again, elsewhere.path() / "copy2"));
  must(restore(elsewhere.path() / "copy2", elsewhere.path() / "again2", station.clock));
  EXPECT_THAT(must(verify(elsewhere.path() / "again2")).faults, IsEmpty());
}

TEST_F(BackupTest, RestoreRefusesAFolderInUseAndABackupThatIsBroken) {
  must(backup(station.folder.path(), copy));
  EXPECT_EQ(restore(copy, station.folder.path(), station.clock).error().category,
            Category::refused);
  std::ofstream(Pictures(copy / "pictures").path_of(picture)) << "other";
  const auto restored = restore(copy, again, station.clock);
  EXPECT_EQ(restored.error().category, Category::damaged);
  EXPECT_THAT(restored.error().message, HasSubstr("its picture " + picture + " is altered"));
  EXPECT_FALSE(fs::exists(again));
}

TEST_F(BackupTest, WithoutSomePicturesIsRestoredAndNamesThem) {
  must(backup(station.folder.path(), copy));
  fs::remove_all(copy / "pictures");
  const Copied restored = must(restore(copy, again, station.clock));
  ASSERT_EQ(restored.missing_pictures.size(), 1U);
  EXPECT_EQ(restored.missing_pictures[0].picture, picture);
  EXPECT_EQ(restored.missing_pictures[0].seq, restored.entries);
  // As is the backup of what was restored.
  must(backup(again, elsewhere.path() / "copy2"));
  must(restore(elsewhere.path() / "copy2", elsewhere.path() / "again2", station.clock));
}

TEST_F(BackupTest, OfAnOlderFormIsVerifiedAndRestored) {
  const Copied copied = must(backup(station.folder.path(), copy));
  testing::put_back_to_form(copy / "records.db", 4);
  const Verdict old = must(verify(copy));
  EXPECT_THAT(old.faults, IsEmpty());
  EXPECT_EQ(old.older_form, 4);
  EXPECT_EQ(old.head, copied.head);
  std::ostringstream now, then;
  must(dump(station.records->store(), now));
  const auto as_it_was = [](Store& rows, std::ostringstream& out) {
    must(dump(rows, out));
    return Result<std::int64_t>(0);
  };
  must(restore(copy, again, station.clock, {}, [&](Store& rows) { return as_it_was(rows, then); }));
  EXPECT_EQ(then.str(), now.str());
  EXPECT_EQ(must(verify(again)).older_form, 0);
  EXPECT_EQ(testing::sql(copy / "records.db", "PRAGMA user_version").at(0), "4")
      << "the backup stays as it was made";
}

TEST_F(BackupTest, AnEditedEntryIsFoundInAnOlderFormToo) {
  must(backup(station.folder.path(), copy));
  testing::put_back_to_form(copy / "records.db", 4);
  testing::sql(copy / "records.db",
               "DROP TRIGGER entry_is_never_changed; UPDATE entry SET actor = 'p-9' WHERE seq = 4");
  EXPECT_EQ(must(verify(copy)).faults.at(0).seq, 4);
  const auto restored = restore(copy, again, station.clock);
  ASSERT_FALSE(restored);
  EXPECT_EQ(restored.error().category, Category::damaged);
  EXPECT_THAT(restored.error().message, HasSubstr("entry 4"));
  EXPECT_FALSE(fs::exists(again));
}

TEST_F(BackupTest, SaysThatThereIsNoStation) {
  EXPECT_EQ(backup(elsewhere.path(), copy).error().category, Category::not_found);
  EXPECT_EQ(restore(elsewhere.path(), again, station.clock).error().category, Category::not_found);
}

TEST_F(BackupTest, KeepsTheNewestAndNeverFewer) {
  const fs::path root = elsewhere.path() / "all";
  std::vector<fs::path> made;
  for (int day = 0; day < 4; ++day) {
    made.push_back(must(backup_and_rotate(station.folder.path(), root, 2, station.clock)).made);
    station.clock.pass(86'400);
  }
  fs::create_directories(root / "2020-01-01T00-00-00");  // another's, named as ours are
  const auto last = must(backup_and_rotate(station.folder.path(), root, 2, station.clock));
  EXPECT_THAT(last.taken_away, ElementsAre(made[2]));
  EXPECT_FALSE(fs::exists(made[0]));
  EXPECT_TRUE(must(verify(made[3])).whole());
  EXPECT_TRUE(fs::exists(root / "2020-01-01T00-00-00"));
}

TEST_F(BackupTest, TakesOneOfAnOlderFormAwayInItsTurn) {
  const fs::path root = elsewhere.path() / "all";
  const auto old = must(backup_and_rotate(station.folder.path(), root, 1, station.clock)).made;
  testing::put_back_to_form(old / "records.db", 4);
  station.clock.pass(60);
  const auto rotated = must(backup_and_rotate(station.folder.path(), root, 1, station.clock));
  EXPECT_THAT(rotated.taken_away, ElementsAre(old));
}

TEST_F(BackupTest, SaysOfWhichBackupItCannotTellWhoseItIs) {
  const fs::path root = elsewhere.path() / "all";
  const auto old = must(backup_and_rotate(station.folder.path(), root, 1, station.clock)).made;
  std::ofstream(old / "records.db") << "no database, and long enough to be read as one by a header";
  station.clock.pass(60);
  const auto rotated = backup_and_rotate(station.folder.path(), root, 1, station.clock);
  ASSERT_FALSE(rotated);
  EXPECT_THAT(rotated.error().message, HasSubstr(old.string()));
  EXPECT_TRUE(fs::exists(old));
}

TEST_F(BackupTest, ABackupThatFailsTakesNothingAway) {
  const fs::path root = elsewhere.path() / "all";
  const auto good = must(backup_and_rotate(station.folder.path(), root, 1, station.clock)).made;
  station.clock.pass(60);
  station.records.reset();
  fs::resize_file(station.folder.path() / "records.db", 20'000);
  EXPECT_FALSE(backup_and_rotate(station.folder.path(), root, 1, station.clock));
  EXPECT_TRUE(must(verify(good)).whole());
}

// A bit that turned over within an entry is in every backup from then on; the database sees
// nothing.
TEST_F(BackupTest, ABackupOfADamagedJournalDrivesNoGoodOneOut) {
  const fs::path root = elsewhere.path() / "all";
  const auto good = must(backup_and_rotate(station.folder.path(), root, 1, station.clock)).made;
  station.clock.pass(60);
  station.records.reset();
  testing::sql(station.folder.path() / "records.db",
               "DROP TRIGGER entry_is_never_changed; UPDATE entry SET actor = 'p-0' WHERE seq = 2");
  const auto rotated = backup_and_rotate(station.folder.path(), root, 1, station.clock);
  ASSERT_FALSE(rotated);
  EXPECT_EQ(rotated.error().category, Category::damaged);
  EXPECT_THAT(rotated.error().message, HasSubstr("entry 2: "));
  EXPECT_TRUE(must(verify(good)).whole());
}

TEST_F(BackupTest, TakesAwayNoFolderThatIsNotItsOwn) {
  const fs::path part = copy.string() + ".part";
  fs::create_directories(part);
  std::ofstream(part / "photo.jpg") << "someone's";
  const auto copied = backup(station.folder.path(), copy);
  ASSERT_FALSE(copied);
  EXPECT_EQ(copied.error().category, Category::refused);
  EXPECT_TRUE(fs::exists(part / "photo.jpg"));
  std::ofstream(part / ".being-made");  // a try of ours that was cut off
  must(backup(station.folder.path(), copy));
  EXPECT_FALSE(fs::exists(part));
  EXPECT_FALSE(fs::exists(copy / ".being-made"));
}

}  // namespace
}  // namespace lastlook::records
