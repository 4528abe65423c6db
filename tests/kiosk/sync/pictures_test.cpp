// SPDX-License-Identifier: Apache-2.0
// Pictures in every kind of plant's store: one suite, run on each; and which of them a station
// sends.
#include <algorithm>
#include <fstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/sqlite.h"
#include "kiosk/sync/called_for.h"
#include "kiosk/sync/check_plant.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/send_pictures.h"
#include "kiosk/sync/sql.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using domain::Answer;
using domain::Disposition;
using records::testing::Station;
using records::testing::TempFolder;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using ::testing::UnorderedElementsAre;

std::span<const unsigned char> as_bytes(const std::string& text) {
  return {reinterpret_cast<const unsigned char*>(text.data()), text.size()};
}

// Bytes of every value, more than fit in one part.
std::string large(char seed) {
  std::string bytes(300'000, '\0');
  unsigned state = static_cast<unsigned char>(seed);
  for (char& byte : bytes) byte = static_cast<char>((state = state * 1664525u + 1013904223u) >> 24);
  return bytes;
}

// A station whose looks have pictures.
class WithPictures {
 public:
  WithPictures() {
    auto master = domain::testing::small_plant();
    master.revision = 8;
    master.picture_sample = 0;
    station.happen(domain::MasterAdopted{8, text::write_master(master), "p-boss"});
  }
  std::string keep(const std::string& bytes) {
    return must(records::Pictures(station.folder.path() / "pictures").keep(bytes));
  }
  // A look with one opinion and one answer; says the picture's hash.
  std::string look(const std::string& id, const std::string& serial, Disposition disposition,
                   const std::string& conforming = "yes", Answer answer = Answer::conforming) {
    const std::string picture = keep(large(id.back()) + id);
    station.open_look(id, serial, 1);
    see(id, picture, conforming);
    station.happen(domain::StepAnswered{id, "seal", answer, {}, "present"});
    station.happen(domain::LookClosed{id, disposition, "", ""});
    return picture;
  }
  void see(const std::string& id, const std::string& picture, const std::string& conforming) {
    domain::ComponentOpinion opinion;
    opinion.component = "seal";
    opinion.conforming = conforming;
    station.happen(domain::OpinionGiven{id, 1, "m-1", picture, {opinion}});
  }
  std::vector<std::string> called_for() {
    std::vector<std::string> out;
    const std::string& journal = station.records->journal();
    for (const CalledFor& one : must(pictures_called_for(*station.records, journal, 1, 1'000'000)))
      out.push_back(one.picture);
    return out;
  }
  Station station;
};

class PictureStoreTest : public ::testing::TestWithParam<Kind> {
 protected:
  PictureStoreTest() : place(GetParam()), plant(place.open()) {
    must(send(of.station.records->store(), *plant));
  }
  PictureStore& store() { return *plant->pictures(); }
  PictureName name(const std::string& picture) const {
    return {of.station.records->journal(), picture};
  }
  std::string refused(const PictureName& name, std::int64_t from, const std::string& bytes,
                      bool last) {
    const Status taken = store().take(name, from, as_bytes(bytes), last);
    EXPECT_FALSE(taken.has_value());
    EXPECT_EQ(taken.error().category, Category::refused) << taken.error().message;
    return taken.error().message;
  }

  WithPictures of;
  Place place;
  std::unique_ptr<PlantStore> plant;
};

TEST_P(PictureStoreTest, JoinsThePartsOfAPictureInWhateverConnectionTheyCame) {
  const std::string bytes = large('a');
  const PictureName a = name(of.keep(bytes));
  must(store().take(a, 0, as_bytes(bytes.substr(0, 100'000)), false));
  EXPECT_THAT(must(store().whole(a.journal)), IsEmpty());
  EXPECT_EQ(store().bytes(a).error().category, Category::not_found);
  plant = place.open();
  EXPECT_EQ(must(store().held(a)).bytes, 100'000);
  EXPECT_FALSE(must(store().held(a)).whole);
  must(store().take(a, 100'000, as_bytes(bytes.substr(100'000)), true));
  EXPECT_TRUE(must(store().held(a)).whole);
  EXPECT_EQ(must(store().bytes(a)), bytes);
  EXPECT_THAT(must(store().whole(a.journal)), ElementsAre(a.picture));
}

TEST_P(PictureStoreTest, RefusesPartsThatDoNotFollow) {
  const std::string bytes = large('b');
  const PictureName b = name(of.keep(bytes));
  EXPECT_THAT(refused(b, 10, bytes.substr(10, 10), false),
              HasSubstr("its bytes from 10 cannot follow the 0 that came"));
  must(store().take(b, 0, as_bytes(bytes.substr(0, 10)), false));
  refused(b, 0, bytes.substr(0, 10), false);
  must(store().take(b, 10, as_bytes(bytes.substr(10)), true));
  refused(b, std::ssize(bytes), "more", true);
  EXPECT_EQ(must(store().bytes(b)), bytes);
}

TEST_P(PictureStoreTest, RefusesWhatIsTooLargeOrNoPictureOrOfNoJournalHere) {
  const PictureName c = name(of.keep("c"));
  refused(c, 0, std::string(largest_part + 1, 'x'), true);
  refused({c.journal, "../../etc/hosts"}, 0, "c", true);
  EXPECT_THAT(refused({std::string(32, '0'), c.picture}, 0, "c", true),
              HasSubstr("the store has no journal " + std::string(32, '0')));
  EXPECT_THAT(must(store().whole(c.journal)), IsEmpty());
}

TEST_P(PictureStoreTest, BytesOfAnotherPictureNeverPassForIt) {
  const PictureName d = name(of.keep("d"));
  const Status taken = store().take(d, 0, as_bytes("other"), true);
  if (GetParam() == Kind::server) {  // cannot tell; whoever reads can
    must(taken);
    EXPECT_EQ(store().bytes(d).error().category, Category::damaged);
    const PlantVerdict verdict = must(check(*place.open_as_owner(), {}));
    ASSERT_THAT(verdict.faults, SizeIs(1));
    EXPECT_THAT(verdict.faults[0].what, HasSubstr(d.picture));
    return;
  }
  EXPECT_EQ(taken.error().category, Category::refused);
  EXPECT_EQ(must(store().held(d)).bytes, 0);
  must(store().take(d, 0, as_bytes("d"), true));
  EXPECT_EQ(must(store().bytes(d)), "d");
}

TEST_P(PictureStoreTest, SendsLittleAtATimeAndGoesOnWhereItStopped) {
  const std::vector<std::string> pictures = {of.look("k-1", "1", Disposition::hold),
                                             of.look("k-2", "2", Disposition::rework)};
  must(send(of.station.records->store(), *plant));
  const std::int64_t all = 2 * (300'000 + 3);
  std::int64_t went = 0, tries = 0;
  for (std::int64_t waiting = 1; waiting > 0; ++tries) {
    plant = place.open();
    const SentPictures sent = must(send_pictures(*of.station.records, *plant, 1));
    EXPECT_LE(sent.bytes, 128 << 10);
    went += sent.bytes;
    waiting = sent.waiting;
    ASSERT_LT(tries, 20);
  }
  EXPECT_EQ(went, all) << "nothing went twice";
  EXPECT_EQ(tries, 6) << "three parts a picture";
  for (const std::string& picture : pictures) {
    const std::string bytes = must(store().bytes(name(picture)));
    EXPECT_EQ(std::ssize(bytes), 300'003);
  }
  EXPECT_EQ(must(check(*place.open_as_owner(), {})).pictures, 2);
  EXPECT_EQ(must(send_pictures(*of.station.records, *plant, all_bytes)).bytes, 0);
}

TEST_P(PictureStoreTest, SendsOnlyWhatEntriesNameThatAreThere) {
  of.look("k-1", "1", Disposition::hold);
  EXPECT_EQ(must(send_pictures(*of.station.records, *plant, all_bytes)).pictures, 0);
  must(send(of.station.records->store(), *plant));
  EXPECT_EQ(must(send_pictures(*of.station.records, *plant, all_bytes)).pictures, 1);
}

TEST_P(PictureStoreTest, APictureThatIsMissingOrAlteredIsCountedAndHoldsBackNoOther) {
  const std::string gone = of.look("k-1", "1", Disposition::hold);
  const std::string altered = of.look("k-2", "2", Disposition::hold);
  const std::string good = of.look("k-3", "3", Disposition::hold);
  const records::Pictures files(of.station.folder.path() / "pictures");
  std::filesystem::remove(files.path_of(gone));
  std::ofstream(files.path_of(altered), std::ios::app) << "x";
  must(send(of.station.records->store(), *plant));
  const SentPictures sent = must(send_pictures(*of.station.records, *plant, all_bytes));
  EXPECT_EQ(sent.pictures, 1);
  EXPECT_EQ(sent.not_here, 2);
  EXPECT_EQ(sent.waiting, 0);
  EXPECT_THAT(must(store().whole(of.station.records->journal())), ElementsAre(good));
}

TEST_P(PictureStoreTest, GivesAPictureBackToAStationThatLostIt) {
  const std::string picture = of.look("k-1", "1", Disposition::hold);
  const std::string other = of.look("k-2", "2", Disposition::accept);  // not sent
  must(send(of.station.records->store(), *plant));
  must(send_pictures(*of.station.records, *plant, all_bytes));
  std::filesystem::remove_all(of.station.folder.path() / "pictures");
  auto missing =
      must(records::missing_pictures(of.station.records->store(), of.station.folder.path()));
  ASSERT_THAT(missing, SizeIs(2));
  const auto still = must(fetch_pictures(of.station.folder.path(), std::move(missing), *plant));
  ASSERT_THAT(still, SizeIs(1));
  EXPECT_EQ(still[0].picture, other);
  EXPECT_TRUE(must(records::Pictures(of.station.folder.path() / "pictures").is_whole(picture)));
}

INSTANTIATE_TEST_SUITE_P(Each, PictureStoreTest,
                         ::testing::Values(Kind::file, Kind::folder, Kind::server),
                         [](const auto& kind) { return name_of(kind.param); });

TEST(CalledForTest, FindingsHoldsAndDisagreementsCallForTheirPicturesAndPlainAcceptsDoNot) {
  WithPictures of;
  of.look("k-1", "1", Disposition::accept);
  const std::string held = of.look("k-2", "2", Disposition::hold);
  const std::string doubted = of.look("k-3", "3", Disposition::accept, "no");
  const std::string unsure = of.look("k-4", "4", Disposition::accept, "unsure");
  of.station.open_look("k-5", "5", 1);
  const std::string photo = of.keep("photo");
  of.station.happen(domain::FindingAdded{
      "k-5", "k-5-f1", "lid", "missing", domain::Severity::major, {}, photo, ""});
  EXPECT_THAT(of.called_for(), ElementsAre(held, doubted, unsure, photo));
}

TEST(CalledForTest, WhatIsDoubtedLaterIsCalledForThen) {
  WithPictures of;
  const std::string corrected = of.look("k-1", "1", Disposition::accept);
  const std::string claimed = of.look("k-2", "2", Disposition::accept);
  of.look("k-3", "3", Disposition::accept);
  EXPECT_THAT(of.called_for(), IsEmpty());
  of.station.happen(domain::ClaimOpened{"c-1", "2", "2026-11-25", "leaks"});
  EXPECT_THAT(of.called_for(), ElementsAre(claimed));
  std::int64_t closed = 0;
  for (const records::Entry& entry : entries_of(*of.station.records))
    if (entry.kind == domain::kind_of(domain::LookClosed{}) &&
        entry.body.find("k-1") != std::string::npos)
      closed = entry.seq;
  of.station.happen(domain::DispositionCorrected{"k-1", closed, Disposition::accept,
                                                 Disposition::hold, "wrong tag seen later"});
  EXPECT_THAT(of.called_for(), UnorderedElementsAre(claimed, corrected));
}

TEST(CalledForTest, ASecondLookThatEndsOtherwiseCallsForBoth) {
  WithPictures of;
  const std::string first = of.look("k-1", "1", Disposition::accept);
  of.station.happen(domain::SecondLookDrawn{"k-1", Disposition::accept, 0.5, 0.1});
  of.station.open_second("k-2", "1", "k-1");
  const std::string second = of.keep("second");
  of.see("k-2", second, "yes");
  of.station.happen(domain::StepAnswered{"k-2", "seal", Answer::conforming, {}, "present"});
  of.station.happen(domain::LookClosed{"k-2", Disposition::rework, "", ""});
  EXPECT_THAT(of.called_for(), UnorderedElementsAre(first, second));
}

// The binomial's 1e-6 limits of 400 draws of 0.25 are 62 and 143 (scipy 1.10, binom.ppf).
TEST(CalledForTest, DrawsTheShareOfTheOthersAndTheSameOnesAgain) {
  WithPictures of;
  auto master = domain::testing::small_plant();
  master.revision = 9;
  master.picture_sample = 0.25;
  of.station.happen(domain::MasterAdopted{9, text::write_master(master), "p-boss"});
  for (int i = 0; i < 400; ++i) {
    const std::string id = "k-" + std::to_string(i);
    of.station.open_look(id, std::to_string(i), 1);
    of.see(id, std::string(64, 'a') + id, "yes");
    of.station.happen(domain::StepAnswered{id, "seal", Answer::conforming, {}, "present"});
    of.station.happen(domain::LookClosed{id, Disposition::accept, "", ""});
  }
  const auto drawn = of.called_for();
  EXPECT_GT(std::ssize(drawn), 61);
  EXPECT_LT(std::ssize(drawn), 144);
  EXPECT_EQ(of.called_for(), drawn);
}

TEST(PictureStoreOfAnOlderForm, AFileIsBroughtToTheNewestFormWhenItIsOpened) {
  TempFolder folder;
  const auto file = folder.path() / "plant.db";
  {
    const auto made = must(records::Connection::open(file, records::Access::create));
    must(made->run((std::string(sql("sqlite_plant")) +
                    "PRAGMA application_id=0x4c4c5053;PRAGMA user_version=1")
                       .c_str()));
  }
  WithPictures of;
  const std::string picture = of.look("k-1", "1", Disposition::hold);
  const auto plant = must(open_plant_store("sqlite:" + file.string(), false));
  must(send(of.station.records->store(), *plant));
  must(send_pictures(*of.station.records, *plant, all_bytes));
  EXPECT_THAT(must(plant->pictures()->whole(of.station.records->journal())), ElementsAre(picture));
}

// A server that its owner has not brought to this form takes none, and is asked for none.
TEST(PictureStoreOfAnOlderForm, AServerTakesEntriesAndNoPictures) {
  const Place place(Kind::server);
  ASSERT_EQ(refusal(place.owner(), "DROP FUNCTION lastlook_plant.pictures_to(text)"), "");
  WithPictures of;
  of.look("k-1", "1", Disposition::hold);
  const auto plant = place.open();
  must(send(of.station.records->store(), *plant));
  EXPECT_EQ(plant->pictures(), nullptr);
  EXPECT_EQ(must(send_pictures(*of.station.records, *plant, all_bytes)).waiting, 0);
}

TEST(PicturesOnAServer, AnotherStationsLoginNeitherSeesNorGivesThem) {
  const Place place(Kind::server);
  must(admit(place.owner(), "ll2", "LL-2"));
  WithPictures of;
  const std::string picture = of.look("k-1", "1", Disposition::hold);
  const auto plant = place.open();
  must(send(of.station.records->store(), *plant));
  must(send_pictures(*of.station.records, *plant, all_bytes));
  const auto other =
      must(open_plant_store(testing::Cluster::running().address("ll2", place.database()), false));
  const PictureName name{of.station.records->journal(), picture};
  EXPECT_EQ(other->pictures()->bytes(name).error().category, Category::not_found);
  EXPECT_THAT(must(other->pictures()->whole(name.journal)), IsEmpty());
  EXPECT_FALSE(must(other->pictures()->held(name)).whole);
  const PictureName new_one{name.journal, std::string(64, 'a')};
  EXPECT_EQ(other->pictures()->take(new_one, 0, as_bytes("x"), true).error().category,
            Category::refused);
  EXPECT_EQ(other->pictures()->note_complete_to(name.journal, 0).error().category,
            Category::refused);
}

TEST(PicturesBetweenStores, WhatWasGatheredOnAStickGoesToTheServer) {
  const Place stick(Kind::file), server(Kind::server);
  WithPictures of;
  const std::string picture = of.look("k-1", "1", Disposition::hold);
  const auto from = stick.open();
  must(send(of.station.records->store(), *from));
  must(send_pictures(*of.station.records, *from, all_bytes));
  const auto to = server.open_as_owner();
  must(send(*from, *to));
  EXPECT_EQ(must(send_pictures(*from, *to)).pictures, 1);
  EXPECT_EQ(must(send_pictures(*from, *to)).pictures, 0);
  // The station itself finds all there.
  const SentPictures sent = must(send_pictures(*of.station.records, *server.open(), all_bytes));
  EXPECT_EQ(sent.bytes, 0);
  EXPECT_EQ(must(server.open()->pictures()->bytes({of.station.records->journal(), picture})).size(),
            300'003u);
}

}  // namespace
}  // namespace lastlook::sync
