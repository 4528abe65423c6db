// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/people.h"

#include <sys/stat.h>

#include <fstream>

#include "kiosk/records/durable.h"
#include "kiosk/records/sqlite.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Role;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::must;
using ::testing::Not;
using ::testing::Pair;
using ::testing::StartsWith;

std::string contents(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

class PeopleTest : public ::testing::Test {
 protected:
  testing::TempFolder folder;
  std::unique_ptr<People> people = must(People::open(folder.path()));
};

TEST_F(PeopleTest, KnowTheirPinAndNoOther) {
  must(people->add({"p-1", "Mira Example", Role::inspector}, "4711"));
  EXPECT_TRUE(must(people->pin_is_right("p-1", "4711")));
  EXPECT_FALSE(must(people->pin_is_right("p-1", "4712")));
  EXPECT_FALSE(must(people->pin_is_right("p-2", "4711"))) << "nobody has this id";
}

TEST_F(PeopleTest, AreListedByName) {
  must(people->add({"p-1", "Zora", Role::supervisor}, "1111"));
  must(people->add({"p-2", "Anton", Role::inspector}, "2222"));
  std::vector<std::string> seen;
  for (const Person& person : must(people->all()))
    seen.push_back(person.id + " " + std::string(domain::to_word(person.role)));
  EXPECT_THAT(seen, ElementsAre("p-2 inspector", "p-1 supervisor"));
}

TEST_F(PeopleTest, ABadgeIsOnePersonsAndStoredAsAHash) {
  must(people->add({"p-1", "Mira", Role::inspector}, "1111"));
  must(people->add({"p-2", "Anton", Role::inspector}, "2222"));
  must(people->give_badge("p-1", "BADGE-0417-77"));
  EXPECT_EQ(must(people->with_badge("BADGE-0417-77")), "p-1");
  EXPECT_EQ(must(people->with_badge("BADGE-0417-78")), "");
  EXPECT_EQ(must(people->with_badge("")), "") << "who has none is not found by none";
  EXPECT_EQ(people->give_badge("p-2", "BADGE-0417-77").error().category, Category::refused);
  EXPECT_EQ(people->give_badge("p-2", "short").error().category, Category::bad_input);
  EXPECT_THAT(contents(folder.path() / "people.db"), Not(HasSubstr("BADGE-0417")));
  must(people->add({"p-1", "Mira", Role::supervisor}, "1111"));
  EXPECT_EQ(must(people->with_badge("BADGE-0417-77")), "p-1") << "a new PIN keeps the badge";
  must(people->give_badge("p-1", ""));
  EXPECT_EQ(must(people->with_badge("BADGE-0417-77")), "");
}

TEST_F(PeopleTest, KeepUpToWhichDaySomebodyIsQualified) {
  must(people->add({"p-1", "Mira", Role::inspector}, "1111"));
  EXPECT_EQ(must(people->all())[0].qualified_until, "");
  must(people->qualify("p-1", "2027-03-31"));
  must(people->add({"p-1", "Mira", Role::inspector}, "3333"));
  EXPECT_EQ(must(people->all())[0].qualified_until, "2027-03-31");
}

// As forms 1 and 2 left it.
TEST_F(PeopleTest, AFileOfAnOlderFormIsBroughtToThisOne) {
  for (const int form : {1, 2}) {
    testing::TempFolder old;
    {
      must(make_private(old.path() / "people.db"));
      const auto db = must(Connection::open(old.path() / "people.db", Access::create));
      must(
          db->run("CREATE TABLE person (id TEXT PRIMARY KEY, name TEXT NOT NULL,"
                  " role TEXT NOT NULL, pin TEXT NOT NULL) STRICT;"
                  "INSERT INTO person VALUES ('p-1', 'Mira', 'inspector', 'x')"));
      if (form == 2)
        must(
            db->run("ALTER TABLE person ADD COLUMN language TEXT NOT NULL DEFAULT '';"
                    "UPDATE person SET language = 'de'; PRAGMA user_version=2"));
    }
    const auto grown = must(People::open(old.path()));
    const Person person = must(grown->all()).at(0);
    EXPECT_EQ(person.name, "Mira");
    EXPECT_EQ(person.language, form == 2 ? "de" : "");
    must(grown->give_badge("p-1", "BADGE-0417-77"));
    EXPECT_EQ(must(grown->with_badge("BADGE-0417-77")), "p-1");
  }
}

TEST_F(PeopleTest, RefuseWhatIsNoPin) {
  for (const char* pin : {"", "123", "1234567890123", "12a4", "12 4"}) {
    const Status done = people->add({"p-1", "Mira", Role::inspector}, pin);
    ASSERT_FALSE(done) << pin;
    EXPECT_EQ(done.error().category, Category::bad_input);
  }
  EXPECT_TRUE(must(people->all()).empty());
}

// Argon2id with 19 MiB and 2 passes: the OWASP password storage cheat sheet's first choice (from
// memory).
TEST_F(PeopleTest, PinsAreStoredAsArgon2idWithTheCostsPromised) {
  must(people->add({"p-1", "Mira", Role::inspector}, "4711"));
  EXPECT_THAT(testing::sql(folder.path() / "people.db", "SELECT pin FROM person"),
              ElementsAre(StartsWith("$argon2id$v=19$m=19456,t=2,p=1$")));
}

TEST_F(PeopleTest, NobodyElseMayReadTheFile) {
  must(people->add({"p-1", "Mira", Role::inspector}, "4711"));
  for (const auto& one : std::filesystem::directory_iterator(folder.path())) {
    struct stat found {};
    ASSERT_EQ(stat(one.path().c_str(), &found), 0);
    EXPECT_EQ(found.st_mode & 0777, 0600U) << one.path();
  }
}

TEST_F(PeopleTest, WhoIsErasedLeavesNoTraceInTheFile) {
  must(people->add({"p-1", "Mira Unmistakable", Role::inspector}, "4711"));
  EXPECT_THAT(contents(folder.path() / "people.db"), HasSubstr("Unmistakable"));
  must(people->erase("p-1"));
  EXPECT_TRUE(must(people->all()).empty());
  for (const auto& one : std::filesystem::directory_iterator(folder.path()))
    EXPECT_THAT(contents(one.path()), Not(HasSubstr("Unmistakable"))) << one.path();
}

TEST_F(PeopleTest, AFileOfALaterVersionIsRefused) {
  people.reset();
  testing::sql(folder.path() / "people.db", "PRAGMA user_version=9");
  EXPECT_EQ(People::open(folder.path()).error().category, Category::newer);
}

TEST_F(PeopleTest, TheirLanguageIsKept) {
  must(people->add({"p-1", "Mira", Role::inspector}, "4711"));
  EXPECT_EQ(must(people->all())[0].language, "");
  must(people->speak("p-1", "de"));
  must(people->add({"p-1", "Mira", Role::supervisor}, "4712"));
  people = must(People::open(folder.path()));
  EXPECT_EQ(must(people->all())[0].language, "de");
}

TEST_F(PeopleTest, WrongPinsInARowAreCountedOnDiskUntilARightOne) {
  must(people->add({"p-1", "Mira", Role::inspector}, "4711"));
  must(people->pin_is_right("p-1", "0000"));
  must(people->pin_is_right("p-1", "0001"));
  must(people->pin_is_right("p-2", "0001"));
  people = must(People::open(folder.path()));
  EXPECT_THAT(must(people->wrong_pins()), ElementsAre(Pair("p-1", 2)));
  EXPECT_TRUE(must(people->pin_is_right("p-1", "4711")));
  EXPECT_THAT(must(people->wrong_pins()), IsEmpty());
}

TEST_F(PeopleTest, ANewPinAndAnErasedPersonHaveNoWrongOnes) {
  must(people->add({"p-1", "Mira", Role::inspector}, "4711"));
  must(people->add({"p-2", "Anton", Role::inspector}, "4712"));
  must(people->pin_is_right("p-1", "0000"));
  must(people->pin_is_right("p-2", "0000"));
  must(people->add({"p-1", "Mira", Role::inspector}, "1234"));
  must(people->erase("p-2"));
  EXPECT_THAT(must(people->wrong_pins()), IsEmpty());
}

}  // namespace
}  // namespace lastlook::records
