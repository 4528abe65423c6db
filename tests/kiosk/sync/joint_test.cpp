// SPDX-License-Identifier: Apache-2.0
// Stations spread over the stores of two servers, asked together: the answers are those of one
// store that has all of them.
#include "kiosk/records/postgres_joint.h"

#include <algorithm>
#include <sstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/postgres_store.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/sync/project_plant.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using records::Access;
using records::testing::RichJournal;
using records::testing::Station;
using testing::Cluster;
using ::testing::HasSubstr;

// A store in a database of its own; the login ll2 may read it.
class Shard {
 public:
  explicit Shard(Cluster& cluster) : cluster_(cluster), database_(cluster.new_database()) {
    must(make_postgres(owner()));
  }
  void take(const Station& station) const {
    must(send(station.records->store(), *must(open_plant_store(owner(), false))));
  }
  void project() const {
    const auto rows = must(open_rows(owner(), Access::create));
    must(project_new(*must(open_plant_store(owner(), false)), *rows));
    must(records::admit_reader(owner(), "ll2"));
  }
  std::string owner() const { return cluster_.address("owner", database_); }
  std::string reader() const { return cluster_.address("ll2", database_); }
  const std::string& database() const { return database_; }

 private:
  Cluster& cluster_;
  std::string database_;
};

// The rows in the order of their keys, which a view need not keep.
std::string dump_of(const std::string& address) {
  std::ostringstream out;
  must(records::dump(*must(open_rows(address, Access::read)), out));
  return out.str();
}

class JointTest : public ::testing::Test {
 protected:
  JointTest() {
    RichJournal(one, 31, "a").units(8);
    RichJournal(two, 32, "b").units(8);  // looks at units of the same line
    RichJournal(three, 33, "c", 20'000).units(8);
    hall_1.take(one);
    hall_1.take(two);
    hall_2.take(three);
    for (const Station* station : {&one, &two, &three}) whole.take(*station);
    for (const Shard* shard : {&hall_1, &hall_2, &whole}) shard->project();
  }
  Status join(const std::vector<std::string>& stores) const {
    return records::make_joint(all, stores);
  }
  Cluster& here = Cluster::running();
  Shard hall_1{here}, hall_2{Cluster::second()}, whole{here};
  // postgres_fdw asks a login that is no superuser for a password at the other store; these servers
  // ask for none.
  const std::string all = here.address("admin", here.new_database());
  Station one{"LL-1"}, two{"LL-2"}, three{"LL-3"};
};

TEST_F(JointTest, RowForRowWhatOneStoreOfAllHas) {
  must(join({hall_1.reader(), hall_2.reader()}));
  const std::string rows = dump_of(all);
  EXPECT_GT(std::ranges::count(rows, '\n'), 300);
  EXPECT_EQ(rows, dump_of(whole.owner()));
  const auto joint = must(open_rows(all, Access::read));
  const auto store = must(open_rows(whole.owner(), Access::read));
  const records::Period all_time{"2026-01-01", "2026-12-31", "", "", ""};
  const domain::Master words = must(records::newest_master(*joint));
  EXPECT_EQ(words, must(records::newest_master(*store)));
  const auto counts = must(records::look_counts({*joint, words}, all_time));
  const auto same = must(records::look_counts({*store, words}, all_time));
  EXPECT_EQ(counts.first_looks, same.first_looks);
  EXPECT_EQ(counts.accept, same.accept);
  EXPECT_GT(counts.first_looks, 10);
  EXPECT_EQ(must(records::as_of(*joint, "")).size(), 3U);
}

TEST_F(JointTest, SeesWhatArrivesAndIsMadeAnewWithOtherStores) {
  must(join({hall_1.reader()}));
  EXPECT_EQ(dump_of(all), dump_of(hall_1.owner()));
  must(join({hall_2.reader(), hall_1.reader()}));
  Station four{"LL-4"};
  RichJournal(four, 34, "d", 30'000).units(3);
  for (const Shard* shard : {&hall_2, &whole}) {
    shard->take(four);
    shard->project();
  }
  EXPECT_EQ(dump_of(all), dump_of(whole.owner()));
}

TEST_F(JointTest, NeverWritesIntoAStore) {
  must(join({hall_1.owner(), hall_2.owner()}));  // whose logins could
  EXPECT_THAT(refusal(all, "DELETE FROM lastlook_store_1.look"),
              HasSubstr("does not allow deletes"));
  EXPECT_NE(refusal(all, "DELETE FROM lastlook_rows.look"), "");
}

TEST_F(JointTest, RefusesWhatIsNoStoreAndTheDatabaseOfOne) {
  EXPECT_EQ(join({}).error().category, Category::bad_input);
  EXPECT_EQ(records::make_joint(whole.owner(), {hall_1.reader()}).error().category,
            Category::refused);
  must(join({hall_1.reader()}));
  const Status empty = join({here.address("ll2", here.new_database())});
  ASSERT_FALSE(empty);
  EXPECT_THAT(empty.error().message, HasSubstr("lastlook_rows"));
  EXPECT_EQ(dump_of(all), dump_of(hall_1.owner())) << "the view from before is there still";
}

// One store was brought to a later program, the other not yet.
TEST_F(JointTest, StoresOfTwoFormsAreNotMixed) {
  must(join({hall_1.reader(), hall_2.reader()}));
  ASSERT_EQ(refusal(hall_2.owner(), "UPDATE lastlook_rows.form SET tables = 'later'"), "");
  const auto rows = open_rows(all, Access::read);
  ASSERT_FALSE(rows);
  EXPECT_THAT(rows.error().message, HasSubstr("another version"));
}

}  // namespace
}  // namespace lastlook::sync
