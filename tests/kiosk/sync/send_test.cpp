// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/send.h"

#include "kiosk/sync/check_plant.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using records::Entry;
using records::testing::Station;
using ::testing::SizeIs;

// A link that breaks: each third batch arrives but its acknowledgement is lost, each fifth is lost
// itself.
class BadLink final : public PlantStore {
 public:
  explicit BadLink(PlantStore& plant) : plant_(plant) {}
  Result<std::vector<KnownJournal>> journals() override { return plant_.journals(); }
  Result<Head> head(const std::string& journal) override { return plant_.head(journal); }
  Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) override {
    return plant_.hash_at(journal, seq);
  }
  Result<Head> take(std::span<const Entry> entries) override {
    ++batches;
    if (batches % 5 == 0) return fail(Category::io, "the network is gone");
    const auto head = plant_.take(entries);
    if (batches % 3 == 0) return fail(Category::io, "the acknowledgement was lost");
    return head;
  }
  Status entries(const std::string& journal, std::int64_t from,
                 const std::function<bool(const Entry&)>& each) override {
    return plant_.entries(journal, from, each);
  }
  int batches = 0;

 private:
  PlantStore& plant_;
};

TEST(Send, BringsEveryEntryOnceOverALinkThatBreaks) {
  Station station;
  must(station.records->begin_bulk());
  for (int i = 0; i < 12'000; ++i) {  // some ten batches
    const std::string n = std::to_string(i);
    station.look("k-" + n, n, 1, domain::Disposition::accept);
  }
  must(station.records->end_bulk());
  const Place place(Kind::file);
  const auto plant = place.open();
  BadLink link(*plant);
  int tries = 1;
  while (!send(station.records->store(), link) && tries < 20) ++tries;
  EXPECT_GT(tries, 2);
  EXPECT_LT(tries, 20);
  const PlantVerdict verdict = must(check(*plant, {}));
  EXPECT_TRUE(verdict.whole());
  EXPECT_EQ(verdict.entries, std::ssize(entries_of(*station.records)));
}

TEST(Send, GathersAFolderIntoAServer) {
  Station station;
  station.look("k-1", "1", 1, domain::Disposition::accept);
  const Place share(Kind::folder), server(Kind::server);
  must(send(station.records->store(), *share.open()));
  const auto from = share.open();
  const auto to = server.open_as_owner();
  EXPECT_EQ(must(send(*from, *to)).entries, std::ssize(entries_of(*station.records)));
  EXPECT_EQ(must(send(*from, *to)).entries, 0);
  // The station goes on by itself, straight to the server.
  station.look("k-2", "2", 1, domain::Disposition::accept);
  EXPECT_EQ(must(send(station.records->store(), *server.open())).looks, 1);
}

}  // namespace
}  // namespace lastlook::sync
