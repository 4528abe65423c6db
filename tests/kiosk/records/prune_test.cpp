// SPDX-License-Identifier: Apache-2.0
// Which pictures go to make room: those of looks in which nothing was in doubt, and no other.
#include "kiosk/records/prune.h"

#include <gmock/gmock.h>

#include "kiosk/records/audit.h"
#include "kiosk/records/pictures.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Answer;
using domain::Disposition;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::must;
using ::testing::SizeIs;
using ::testing::UnorderedElementsAre;

class Prune : public ::testing::Test {
 protected:
  std::string keep(const std::string& bytes) {
    return must(Pictures(station.folder.path() / "pictures").keep(bytes));
  }
  // A look whose picture is its id's bytes; says the picture's hash.
  std::string look(const std::string& id, const std::string& conforming = "yes",
                   Answer answer = Answer::conforming,
                   Disposition disposition = Disposition::accept) {
    station.open_look(id, id, 1);
    const std::string picture = answered(id, keep(id), conforming, answer);
    station.happen(domain::LookClosed{id, disposition, "", ""});
    return picture;
  }
  std::string answered(const std::string& id, const std::string& picture,
                       const std::string& conforming = "yes", Answer answer = Answer::conforming) {
    domain::OpinionGiven opinion{id, 1, "m-1", picture, {}};
    opinion.components.emplace_back().component = "seal";
    opinion.components[0].conforming = conforming;
    station.happen(opinion, domain::StepAnswered{id, "seal", answer, {}, "present"});
    return picture;
  }
  Prunable what(const std::string& before = "2026-11-26") {
    return must(prunable(*station.records, before));
  }
  testing::Station station;
};

TEST_F(Prune, TakesWhatWasNeverInDoubtAndIsOldEnough) {
  const std::string plain = look("k-1");
  EXPECT_THAT(what().pictures, ElementsAre(plain));
  EXPECT_EQ(what().looks, 1);
  EXPECT_EQ(what().bytes, 3);
  EXPECT_THAT(what("2026-11-25").pictures, IsEmpty());  // the day itself is not before it
}

TEST_F(Prune, LeavesEverythingThatSomebodyMayAskFor) {
  look("k-camera", "unsure");
  look("k-person", "yes", Answer::nonconforming);
  look("k-rework", "yes", Answer::conforming, Disposition::rework);
  look("k-hold", "yes", Answer::conforming, Disposition::hold);
  // A finding that was taken back.
  station.open_look("k-found", "k-found", 1);
  answered("k-found", keep("k-found"));
  station.happen(
      domain::FindingAdded{"k-found", "f-1", "lid", "missing", domain::Severity::major, {}, "", ""},
      domain::FindingWithdrawn{"k-found", "f-1", "a shadow"},
      domain::LookClosed{"k-found", Disposition::accept, "", ""});
  // The camera was asked twice, and doubted at first.
  station.open_look("k-twice", "k-twice", 1);
  answered("k-twice", keep("k-twice"), "no");
  answered("k-twice", keep("k-twice again"));
  station.happen(domain::LookClosed{"k-twice", Disposition::accept, "", ""});
  look("k-drawn");
  station.happen(domain::SecondLookDrawn{"k-drawn", Disposition::accept, 0.5, 0.1});
  look("k-claim");
  station.happen(domain::ClaimOpened{"C-1", "k-claim", "2026-12-24", "leaks"});
  station.open_look("k-open", "k-open", 1);
  answered("k-open", keep("k-open"));
  EXPECT_THAT(what().pictures, IsEmpty());
}

// The same bytes are one file: what a finding's look names stays for the other look too.
TEST_F(Prune, LeavesAFileThatAnythingElseNames) {
  station.open_look("k-1", "1", 1);
  const std::string shared = answered("k-1", keep("shared"));
  station.happen(domain::LookClosed{"k-1", Disposition::accept, "", ""});
  EXPECT_THAT(what().pictures, ElementsAre(shared));
  domain::StudyPlanned study;
  study.study = "s-1";
  study.items = {{"01", "", shared}};
  station.happen(study);
  EXPECT_THAT(what().pictures, IsEmpty());
}

TEST_F(Prune, WhatIsTakenAwayIsNotMissedAndWhatIsLostIs) {
  const std::string gone = look("k-1");
  const std::string lost = look("k-2");
  const auto missing = [&] {
    std::vector<std::string> all;
    for (const MissingPicture& one : must(verify(station.folder.path())).missing_pictures)
      all.push_back(one.picture);
    return all;
  };
  Pictures files(station.folder.path() / "pictures");
  station.happen(domain::PicturesPruned{"2026-11-26", {gone}});
  // The power was cut before the bytes went: the next pruning sees to them.
  EXPECT_THAT(what().pictures, ElementsAre(lost));
  EXPECT_THAT(what().left, ElementsAre(gone));
  must(files.take_away(gone));
  must(files.take_away(gone));
  EXPECT_THAT(what().left, IsEmpty());
  must(files.take_away(lost));
  EXPECT_THAT(missing(), ElementsAre(lost));
  EXPECT_THAT(must(missing_pictures(station.records->store(), station.folder.path())), SizeIs(1));
  EXPECT_TRUE(must(verify(station.folder.path())).whole());
  // The same bytes are kept anew for another look: from then on they are missed.
  station.open_look("k-3", "3", 1);
  answered("k-3", keep("k-1"));
  EXPECT_THAT(missing(), ElementsAre(lost));
  EXPECT_THAT(what().left, IsEmpty());
  must(files.take_away(gone));
  EXPECT_THAT(missing(), UnorderedElementsAre(gone, lost));
}

}  // namespace
}  // namespace lastlook::records
