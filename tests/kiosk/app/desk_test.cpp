// SPDX-License-Identifier: Apache-2.0
// The desk over a real station: what a touch asks for, and what the screens are told then.
#include "kiosk/app/desk.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <opencv2/imgcodecs.hpp>

#include "kiosk/screens/screen.h"
#include "kiosk/text/master_json.h"
#include "tests/kiosk/records/station.h"
#include "tests/places.h"

namespace lastlook::app {
namespace {

using namespace screens;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

class SteppedClock final : public domain::Clock {
 public:
  domain::Reading read() override {
    now_us_ += 1'000'000;
    return {now_us_, now_us_, "boot", 0};
  }
  std::int64_t now_us_ = 1'795'593'600'000'000;  // 2026-11-25, 08:00 UTC
};

domain::Master two_steps() {
  domain::Master m;
  m.revision = 1;
  m.product = "pump";
  m.tag_pattern = R"(^(?:(?P<type>[A-Z0-9]+)-)?(?P<serial>\d{5}-\d{5})$)";
  m.components = {{"lid", "Lid", {.1, .1, .2, .2}}, {"tag", "Tag", {.5, .5, .2, .2}}};
  m.variants = {{"CP-210",
                 "CP-210",
                 "With a lid",
                 "CP210",
                 {{"lid", domain::Expectation::present, "Flat."},
                  {"tag", domain::Expectation::present, "Straight."}}}};
  m.defects = {{"damaged", "Damaged", domain::Severity::major, {}, {}, {}},
               {domain::something_else, "Something else", domain::Severity::major, {}, {}, {}}};
  m.shifts = {{"early", "Early shift", 360}, {"late", "Late shift", 840}};
  m.day_starts_with = "early";
  return m;
}

class DeskTest : public testing::Test {
 protected:
  virtual domain::Master plant() const { return two_steps(); }

  void SetUp() override {
    folder_ = std::filesystem::temp_directory_path() /
              ("lastlook-desk-" + std::to_string(::getpid()) + "-" +
               testing::UnitTest::GetInstance()->current_test_info()->name());
    std::filesystem::remove_all(folder_);
    records_ = records::Records::create(folder_, "LL-1", clock_).value();
    const domain::Master master = plant();
    const std::vector<domain::Happening> start{
        domain::MasterAdopted{1, text::write_master(master), "p-q"},
        domain::UnitBuilt{"26330-00417", "CP-210", {}}};
    ASSERT_TRUE(records_->append(start, "station", clock_.read()));
    people_ = records::People::open(folder_).value();
    ASSERT_TRUE(people_->add({"p-ada", "Ada", domain::Role::inspector}, "2100"));
    languages_ = text::Languages::load(source_dir() + "/assets/strings", "en").value();
    station_ = flows::Station::open(*records_, clock_).value();
    desk_ = std::make_unique<Desk>(
        Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  void give_pin(const std::string& pin) {
    desk_->handle(CheckPin{"p-ada", pin});
    while (desk_->facts().checking_pin) {
      main_.run();
      std::this_thread::yield();
    }
  }
  void sign_in() {
    give_pin("2100");
    desk_->handle(CautionSeen{});
  }
  void event(const flows::Event& event) { desk_->handle(event); }
  Which which() const { return which_screen(desk_->facts()); }
  void answer(const char* component, domain::Answer answer) {
    event(flows::AnswerStep{component, answer, ""});
  }
  void accept_417() {
    desk_->scanned("CP210-26330-00417");
    answer("lid", domain::Answer::conforming);
    answer("tag", domain::Answer::conforming);
    event(flows::Close{domain::Disposition::accept, ""});
  }

  void accept_418() {
    desk_->scanned("CP210-26330-00418");
    event(flows::ConfirmVariant{"CP-210"});
    answer("lid", domain::Answer::conforming);
    answer("tag", domain::Answer::conforming);
    event(flows::Close{domain::Disposition::accept, ""});
  }
  void rework_418() {
    desk_->scanned("CP210-26330-00418");
    event(flows::ConfirmVariant{"CP-210"});
    answer("lid", domain::Answer::nonconforming);
    event(flows::AddFinding{"lid", "damaged", {}, {}, "", ""});
    answer("tag", domain::Answer::conforming);
    event(flows::Close{domain::Disposition::rework, ""});
  }

  std::filesystem::path folder_;
  SteppedClock clock_;
  std::unique_ptr<records::Records> records_;
  std::unique_ptr<records::People> people_;
  std::unique_ptr<flows::Station> station_;
  text::Languages languages_;
  MainQueue main_{[] {}};
  TaskThread tasks_;
  std::unique_ptr<Desk> desk_;
  bool checked_ = false;
};

TEST_F(DeskTest, LetsInOnlyWithTheRightPin) {
  EXPECT_EQ(which(), Which::sign_in);
  give_pin("9999");
  EXPECT_EQ(which(), Which::sign_in);
  EXPECT_EQ(desk_->facts().pin_problem, "sign_in.wrong_pin");
  give_pin("2100");
  EXPECT_EQ(which(), Which::start);
  EXPECT_EQ(desk_->facts().person_name, "Ada");
  desk_->handle(CautionSeen{});
  EXPECT_EQ(which(), Which::waiting);
}

TEST_F(DeskTest, SpeaksTheLanguageOfWhoIsSignedIn) {
  EXPECT_EQ((*desk_->facts().say)("start.go"), "Understood");
  desk_->handle(ChooseLanguage{"de"});  // nobody is signed in: of the screen
  EXPECT_EQ((*desk_->facts().say)("start.go"), "Verstanden");
  give_pin("2100");
  EXPECT_EQ(desk_->facts().language, "de") << "whoever has chosen none reads what is there";
  desk_->handle(ChooseLanguage{"en"});
  EXPECT_EQ((*desk_->facts().say)("start.go"), "Understood");
  desk_->handle(CautionSeen{});
  event(flows::SignOut{});
  EXPECT_EQ(desk_->facts().language, "de");
  give_pin("2100");
  EXPECT_EQ(desk_->facts().language, "en") << "what she chose is remembered";
  EXPECT_EQ(people_->all().value()[0].language, "en");
  Desk again({*station_, *people_, clock_, languages_, main_, tasks_, false});
  EXPECT_EQ(again.facts().language, "en");
}

TEST_F(DeskTest, TellsInTheLanguageOfWhoStandsThere) {
  ASSERT_TRUE(people_->speak("p-ada", "de"));
  Desk again({*station_, *people_, clock_, languages_, main_, tasks_, false});
  desk_ = nullptr;
  again.handle(flows::Event{flows::SignIn{"p-ada", domain::Role::inspector}});
  again.scanned("not a tag");
  ASSERT_FALSE(again.facts().notices.empty());
  EXPECT_THAT(again.facts().notices[0],
              testing::StartsWith("Das liest sich nicht wie ein Etikett"));
}

TEST_F(DeskTest, MakesAGuesserWait) {
  for (int tries = 0; tries < 6; ++tries) {
    clock_.now_us_ += 60'000'000;
    give_pin("9999");
    EXPECT_EQ(desk_->facts().pin_problem, "sign_in.wrong_pin");
  }
  give_pin("2100");  // at once, and the wait is half a minute by now
  EXPECT_EQ(desk_->facts().pin_problem, "sign_in.wait");
  EXPECT_EQ(which(), Which::sign_in);
  clock_.now_us_ += 60'000'000;
  give_pin("2100");
  EXPECT_EQ(which(), Which::start);
}

TEST_F(DeskTest, AGuesserWaitsThoughTheProgramWasStartedAgain) {
  for (int tries = 0; tries < 6; ++tries) {
    clock_.now_us_ += 60'000'000;
    give_pin("9999");
  }
  people_ = records::People::open(folder_).value();
  desk_ = std::make_unique<Desk>(
      Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  give_pin("2100");
  EXPECT_EQ(desk_->facts().pin_problem, "sign_in.wait");
  clock_.now_us_ += 60'000'000;
  give_pin("2100");
  EXPECT_EQ(which(), Which::start);
}

class BarredAtTheDesk : public DeskTest {
 protected:
  void SetUp() override {
    DeskTest::SetUp();
    ASSERT_TRUE(people_->add({"p-sup", "Sue", domain::Role::supervisor}, "3100"));
    start_again();
  }
  void start_again() {
    desk_ = std::make_unique<Desk>(
        Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  }
  void wait_for_pin() {
    while (desk_->facts().checking_pin) {
      main_.run();
      std::this_thread::yield();
    }
  }
  void guess(int tries) {
    for (int i = 0; i < tries; ++i) {
      clock_.now_us_ += 60'000'000;
      give_pin("9999");
    }
    clock_.now_us_ += 60'000'000;
  }
  void allow(domain::Bar bar, int minutes, const std::string& pin = "3100") {
    flows::AllowSignIn allow;
    allow.person = "p-ada";
    allow.despite = bar;
    allow.why = "renewed";
    allow.minutes = minutes;
    desk_->handle(Countersign{flows::Event(allow), "p-sup", pin});
    wait_for_pin();
  }
  bool is_barred(domain::Bar bar) const {
    const auto& barred = desk_->facts().barred;
    return barred && barred->person == "p-ada" && barred->bar == bar;
  }
};

TEST_F(BarredAtTheDesk, TenWrongPinsLockOutUntilASupervisorLetsIn) {
  guess(9);
  give_pin("2100");
  EXPECT_EQ(which(), Which::start) << "nine do not";
  event(flows::SignOut{});
  guess(10);
  give_pin("2100");
  EXPECT_EQ(which(), Which::sign_in) << "not even the right one";
  EXPECT_TRUE(is_barred(domain::Bar::locked_out));
  desk_->handle(LeaveBar{});
  EXPECT_FALSE(desk_->facts().barred);
  start_again();
  clock_.now_us_ += 60'000'000;
  give_pin("2100");
  EXPECT_TRUE(is_barred(domain::Bar::locked_out)) << "nor after a restart";
  allow(domain::Bar::locked_out, 60, "0000");
  EXPECT_EQ(desk_->facts().pin_problem, "sign_in.wrong_pin");
  clock_.now_us_ += 60'000'000;
  allow(domain::Bar::locked_out, 60);
  EXPECT_FALSE(desk_->facts().barred);
  EXPECT_EQ(which(), Which::sign_in) << "nobody is signed in by it";
  give_pin("2100");
  EXPECT_EQ(which(), Which::start);
  EXPECT_TRUE(people_->wrong_pins()->empty());
}

TEST_F(BarredAtTheDesk, AnExpiredCertificateBarsAfterTheRightPinOnlyAndForALimitedTime) {
  ASSERT_TRUE(people_->qualify("p-ada", "2026-11-24"));
  start_again();
  give_pin("9999");
  EXPECT_FALSE(desk_->facts().barred) << "a guesser learns nothing of it";
  clock_.now_us_ += 60'000'000;
  give_pin("2100");
  EXPECT_EQ(which(), Which::sign_in);
  EXPECT_TRUE(is_barred(domain::Bar::not_qualified));
  allow(domain::Bar::not_qualified, 60);
  give_pin("2100");
  EXPECT_EQ(which(), Which::start);
  event(flows::SignOut{});
  clock_.now_us_ += std::int64_t{61} * 60'000'000;
  give_pin("2100");
  EXPECT_TRUE(is_barred(domain::Bar::not_qualified));
}

TEST_F(BarredAtTheDesk, TheLastDayItselfIsADayOfWork) {
  ASSERT_TRUE(people_->qualify("p-ada", "2026-11-25"));
  start_again();
  give_pin("2100");
  EXPECT_EQ(which(), Which::start);
}

TEST_F(BarredAtTheDesk, ABadgeSignsInWhereSomebodyIsAskedForAndIsACodeAnywhereElse) {
  ASSERT_TRUE(people_->give_badge("p-ada", "BADGE-0417-77"));
  desk_->scanned("BADGE-0417-78");
  EXPECT_EQ(which(), Which::sign_in);
  desk_->scanned("BADGE-0417-77");
  EXPECT_EQ(which(), Which::start);
  desk_->handle(CautionSeen{});
  desk_->scanned("BADGE-0417-77");
  EXPECT_EQ(desk_->facts().person_name, "Ada");
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("BADGE-0417-77")));
}

TEST_F(BarredAtTheDesk, ABadgeSetsNothingAside) {
  ASSERT_TRUE(people_->give_badge("p-ada", "BADGE-0417-77"));
  ASSERT_TRUE(people_->qualify("p-ada", "2026-11-24"));
  start_again();
  desk_->scanned("BADGE-0417-77");
  EXPECT_EQ(which(), Which::sign_in);
  EXPECT_TRUE(is_barred(domain::Bar::not_qualified));
}

domain::MasterAdopted revision(std::int64_t number, const std::string& lid_instruction = "Flat.") {
  domain::Master master = two_steps();
  master.revision = number;
  master.variants[0].checklist[0].instruction = lid_instruction;
  return {number, text::write_master(master), "p-office"};
}

TEST_F(DeskTest, ARevisionOfThePlantStartsWithTheNextUnit) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  desk_->revision_offered(revision(3, "Flat, four screws."));
  EXPECT_THAT(desk_->facts().notices, IsEmpty()) << "nobody is disturbed at a unit";
  EXPECT_EQ(desk_->facts().inspection->master.revision, 1);
  answer("lid", domain::Answer::conforming);
  answer("tag", domain::Answer::conforming);
  event(flows::Close{domain::Disposition::accept, ""});
  EXPECT_EQ(desk_->facts().inspection->master.revision, 3);
  EXPECT_EQ(desk_->facts().inspection->master.variants[0].checklist[0].instruction,
            "Flat, four screws.");
  EXPECT_THAT(desk_->facts().notices,
              testing::Contains(HasSubstr("this station works under revision 3")));
  const auto journal = records_->journal();
  const auto last = records_->store().last_entry(journal).value();
  EXPECT_EQ(last->kind, "master_adopted");
  EXPECT_THAT(last->body, HasSubstr("p-office"));
}

TEST_F(DeskTest, ARevisionOfThePlantIsAdoptedOnceAndNeverAnOlderOne) {
  const auto entries = [&] {
    return records_->store().last_entry(records_->journal()).value()->seq;
  };
  desk_->revision_offered(revision(3));
  const auto before = entries();
  EXPECT_EQ(desk_->facts().inspection->master.revision, 3) << "nobody need be signed in";
  desk_->revision_offered(revision(3));
  desk_->revision_offered(revision(2));
  EXPECT_EQ(entries(), before);
  EXPECT_EQ(desk_->facts().inspection->master.revision, 3);
}

TEST_F(DeskTest, ARevisionThatThisProgramCannotReadIsToldOnceAndTheLineGoesOn) {
  const domain::MasterAdopted strange{9, R"({"revision": 9, "shape": "of the future"})",
                                      "p-office"};
  desk_->revision_offered(strange);
  EXPECT_THAT(desk_->facts().notices,
              ElementsAre(HasSubstr("a newer revision that this station cannot use")));
  sign_in();
  desk_->revision_offered(strange);
  EXPECT_THAT(desk_->facts().notices, IsEmpty());
  accept_417();
  EXPECT_EQ(desk_->facts().inspection->master.revision, 1);
}

class LockingDesk : public DeskTest {
 protected:
  domain::Master plant() const override {
    domain::Master master = two_steps();
    master.lock_after_min = 5;
    return master;
  }
  void SetUp() override {
    DeskTest::SetUp();
    ASSERT_TRUE(people_->add({"p-bo", "Bo", domain::Role::inspector}, "2200"));
    desk_ = std::make_unique<Desk>(
        Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
    sign_in();
    desk_->scanned("CP210-26330-00417");
    answer("lid", domain::Answer::conforming);
  }
  void leave_alone(int minutes) {
    clock_.now_us_ += minutes * std::int64_t{60'000'000};
    desk_->tick();
  }
  void give_pin_of(const char* person, const std::string& pin) {
    desk_->handle(CheckPin{person, pin});
    while (desk_->facts().checking_pin) {
      main_.run();
      std::this_thread::yield();
    }
  }
  domain::Answer lid() const {
    return station_->state().open ? station_->state().open->steps[0].answer
                                  : domain::Answer::not_answered;
  }
};

TEST_F(LockingDesk, LocksWhatNobodyTouchesAndKeepsItsAnswers) {
  leave_alone(4);
  EXPECT_EQ(which(), Which::look);
  leave_alone(2);
  EXPECT_EQ(which(), Which::sign_in);
  desk_->scanned("CP210-26330-00418");
  answer("tag", domain::Answer::conforming);
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("locked")));
  EXPECT_EQ(station_->state().open->steps[1].answer, domain::Answer::not_answered);
  give_pin("9999");
  EXPECT_EQ(which(), Which::sign_in);
  clock_.now_us_ += 60'000'000;
  give_pin("2100");
  EXPECT_EQ(which(), Which::look) << "no cautions again, the same step";
  EXPECT_EQ(lid(), domain::Answer::conforming);
  EXPECT_EQ(station_->state().person, "p-ada");
}

TEST_F(LockingDesk, AnotherPersonTakesALockedUnitOver) {
  leave_alone(6);
  give_pin_of("p-bo", "2200");
  EXPECT_EQ(which(), Which::start) << "new here: the cautions first";
  EXPECT_EQ(station_->state().person, "p-bo");
  EXPECT_EQ(lid(), domain::Answer::conforming);
}

// Else what Bo does next would be in Ada's name.
TEST_F(LockingDesk, StaysLockedWhereTheRecordsDoNotTakeAnotherPerson) {
  leave_alone(6);
  const std::filesystem::path file = folder_ / "records.db";
  records::testing::sql(
      file, "CREATE TRIGGER full BEFORE INSERT ON entry BEGIN SELECT RAISE(ABORT, 'full'); END");
  give_pin_of("p-bo", "2200");
  EXPECT_EQ(which(), Which::sign_in);
  EXPECT_EQ(station_->state().person, "p-ada");
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("full")));
  answer("tag", domain::Answer::conforming);
  EXPECT_EQ(station_->state().open->steps[1].answer, domain::Answer::not_answered);
  records::testing::sql(file, "DROP TRIGGER full");
  give_pin_of("p-bo", "2200");
  EXPECT_EQ(which(), Which::start);
  EXPECT_EQ(station_->state().person, "p-bo");
}

// Who comes back with another role comes back to what that role may.
TEST_F(LockingDesk, ANewRoleCountsFromTheNextPin) {
  leave_alone(6);
  ASSERT_TRUE(people_->add({"p-ada", "Ada", domain::Role::supervisor}, "2100"));
  desk_ = std::make_unique<Desk>(
      Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  give_pin("2100");
  EXPECT_EQ(station_->state().role, domain::Role::supervisor);
}

TEST_F(LockingDesk, StartingTheProgramAgainOpensNoLock) {
  leave_alone(6);
  desk_.reset();
  station_ = flows::Station::open(*records_, clock_).value();
  desk_ = std::make_unique<Desk>(
      Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  EXPECT_EQ(which(), Which::sign_in);
  answer("tag", domain::Answer::conforming);
  EXPECT_EQ(station_->state().open->steps[1].answer, domain::Answer::not_answered);
  give_pin("2100");
  EXPECT_EQ(which(), Which::look);
  EXPECT_EQ(lid(), domain::Answer::conforming);
}

TEST_F(LockingDesk, ATouchStartsTheWaitAnew) {
  leave_alone(4);
  answer("lid", domain::Answer::conforming);
  leave_alone(4);
  EXPECT_EQ(which(), Which::look);
}

// Marking a place, turning a page, typing a reason: hands are there, though nothing is asked for.
TEST_F(LockingDesk, AFingerThatAsksForNothingStartsTheWaitAnewToo) {
  leave_alone(4);
  desk_->touched();
  leave_alone(4);
  EXPECT_EQ(which(), Which::look);
  leave_alone(2);
  EXPECT_EQ(which(), Which::sign_in);
  desk_->touched();
  EXPECT_EQ(which(), Which::sign_in) << "no PIN, no way in";
}

TEST_F(DeskTest, SaysWhyAPinCouldNotBeChecked) {
  records::testing::sql(folder_ / "people.db",
                        "CREATE TRIGGER full BEFORE INSERT ON wrong_pin "
                        "BEGIN SELECT RAISE(ABORT, 'no room left'); END");
  give_pin("2100");
  EXPECT_EQ(which(), Which::sign_in);
  EXPECT_EQ(desk_->facts().pin_problem, "sign_in.check_failed");
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("no room left")));
}

TEST_F(DeskTest, NeverLocksWhereThePlantDoesNotWantIt) {
  sign_in();
  clock_.now_us_ += std::int64_t{86'400} * 1'000'000;
  desk_->tick();
  EXPECT_EQ(which(), Which::waiting);
}

TEST_F(DeskTest, APadThatWasLeftSignsNobodyIn) {
  desk_->handle(CheckPin{"p-ada", "2100"});
  desk_->handle(LeavePin{});
  tasks_.run(
      main_, [] { return Status(); }, [this](const Status&) { checked_ = true; });
  while (!checked_) {
    main_.run();
    std::this_thread::yield();
  }
  EXPECT_EQ(which(), Which::sign_in);
}

TEST_F(DeskTest, TakesAGoodUnitToItsVerdict) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  EXPECT_EQ(which(), Which::look);
  answer("lid", domain::Answer::conforming);
  answer("tag", domain::Answer::conforming);
  EXPECT_EQ(which(), Which::verdict);
  EXPECT_THAT(desk_->facts().possible, ElementsAre(domain::Disposition::accept));
  event(flows::Close{domain::Disposition::accept, ""});
  EXPECT_EQ(which(), Which::closed);
  EXPECT_EQ(desk_->facts().shift.accept, 1);
  desk_->handle(NextUnit{});
  EXPECT_EQ(which(), Which::waiting);
}

TEST_F(DeskTest, SaysWhatStandsAgainstAccepting) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  answer("lid", domain::Answer::nonconforming);
  event(flows::AddFinding{"lid", "damaged", {}, {}, "", ""});
  answer("tag", domain::Answer::conforming);
  EXPECT_EQ(which(), Which::verdict);
  ASSERT_FALSE(desk_->facts().obstacles.empty());
  event(flows::Close{domain::Disposition::accept, ""});
  EXPECT_EQ(which(), Which::verdict);
  EXPECT_THAT(desk_->facts().notices, ElementsAre("It cannot be accepted yet."));
}

TEST_F(DeskTest, ShowsBothSerialsWhenAnotherIsScanned) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  desk_->scanned("CP210-26330-00999");
  EXPECT_EQ(which(), Which::look);
  ASSERT_EQ(desk_->facts().notices.size(), 1U);
  EXPECT_THAT(desk_->facts().notices[0], HasSubstr("26330-00417"));
  EXPECT_THAT(desk_->facts().notices[0], HasSubstr("26330-00999"));
  desk_->handle(DismissNotices{});
  EXPECT_THAT(desk_->facts().notices, IsEmpty());
}

TEST_F(DeskTest, AsksWhetherAKnownSerialIsTheSameUnit) {
  sign_in();
  accept_417();
  clock_.now_us_ += 3'600'000'000;
  desk_->scanned("CP210-26330-00417");
  ASSERT_EQ(which(), Which::returned);
  EXPECT_EQ(desk_->facts().question->unit.looks.size(), 1U);
  desk_->handle(DropQuestion{});
  EXPECT_NE(which(), Which::returned);
  desk_->scanned("CP210-26330-00417");
  event(flows::StartReturn{"CP210-26330-00417"});
  EXPECT_EQ(which(), Which::look);
  EXPECT_EQ(desk_->facts().inspection->open->opened.number, 2);
}

TEST_F(DeskTest, ShowsAnAnsweredStepAgainAndGoesOn) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  answer("lid", domain::Answer::conforming);
  answer("tag", domain::Answer::conforming);
  desk_->handle(ReviseStep{0});
  EXPECT_EQ(which(), Which::look);
  desk_->handle(GoOn{});
  EXPECT_EQ(which(), Which::verdict);
}

TEST_F(DeskTest, ReviewsTheShift) {
  sign_in();
  accept_417();
  desk_->handle(ShowReview{true});
  ASSERT_EQ(which(), Which::review);
  const ReviewFacts& review = desk_->facts().review;
  EXPECT_EQ(review.which.production_date, "2026-11-25");
  EXPECT_EQ(review.shift, "Early shift");
  EXPECT_EQ(review.defects.total, 0);
}

TEST_F(DeskTest, SaysNothingOfEarlierShiftsWhereThisOneHasNoUnitYet) {
  sign_in();
  accept_417();
  clock_.now_us_ += 8 * std::int64_t{3'600'000'000};  // the late shift
  desk_->handle(ShowReview{true});
  desk_->handle(ReviewEvent(AskShift{{"2026-11-25", "late"}}));
  desk_->handle(ReviewEvent(AskReview{Question::usual}));
  const UsualFacts& usual = desk_->facts().review.usual;
  EXPECT_EQ(usual.standing, reports::Standing::no_units);
  ASSERT_EQ(usual.rates.size(), 1U) << "not that the shift before had no unit";
  EXPECT_EQ(usual.rates[0].which, "now");
}

// Who comes at the start of a shift asks about the one before.
TEST_F(DeskTest, ReviewsTheLastShiftUntilThisOneHasAUnitAndAnyOtherOnRequest) {
  sign_in();
  accept_417();
  clock_.now_us_ += 8 * std::int64_t{3'600'000'000};  // the late shift
  desk_->handle(ShowReview{true});
  const ReviewFacts& review = desk_->facts().review;
  EXPECT_EQ(review.shift, "Early shift");
  desk_->handle(ReviewEvent(ShowShifts{}));
  ASSERT_EQ(which(), Which::review_shifts);
  ASSERT_EQ(review.shifts.size(), 2U);
  EXPECT_TRUE(review.shifts[0].runs);
  EXPECT_EQ(review.shifts[0].name, "Late shift");
  EXPECT_EQ(review.shifts[1].counts.first_pass, 1);
  desk_->handle(ReviewEvent(AskShift{review.shifts[0].which}));
  EXPECT_EQ(which(), Which::review);
  EXPECT_EQ(review.shift, "Late shift");
  desk_->handle(ReviewEvent(ShowShifts{}));
  desk_->handle(ReviewEvent(ShowShifts{false}));
  EXPECT_EQ(which(), Which::review);
  EXPECT_EQ(review.shift, "Late shift");
}

class StudyDeskTest : public DeskTest {
 protected:
  void SetUp() override {
    DeskTest::SetUp();
    domain::StudyPlanned plan;
    plan.study = "s-1";
    plan.title = "Seals";
    plan.items = {{"01", "", ""}, {"02", "", ""}, {"03", "", ""}};
    plan.inspectors = {"p-ada"};
    plan.ratings = {"conforming", "nonconforming"};
    plan.trials = 1;
    event(flows::PlanStudy{plan, "p-quin"});
    sign_in();
  }
  std::string item() const {
    const StudyTask* task = desk_->facts().study.task();
    return task ? task->plan.items[task->turn.item].label : "";
  }
  void rate() { event(flows::RateItem{"s-1", item(), "conforming"}); }
};

TEST_F(StudyDeskTest, IsOfferedRatedAndDone) {
  ASSERT_EQ(which(), Which::waiting);
  ASSERT_EQ(desk_->facts().study.tasks.size(), 1U);
  desk_->handle(RateStudy{"s-1"});
  for (int i = 0; i < 3; ++i) {
    ASSERT_EQ(which(), Which::study_rate);
    EXPECT_EQ(desk_->facts().study.task()->turn.done, static_cast<std::size_t>(i));
    rate();
  }
  EXPECT_EQ(which(), Which::waiting);
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("your last item in “Seals”")));
  EXPECT_THAT(desk_->facts().study.tasks, IsEmpty());
  EXPECT_EQ(desk_->facts().shift.looks, 0) << "no item of a study is production";
}

TEST_F(StudyDeskTest, GoesOnAtTheNextItemAfterARestart) {
  desk_->handle(RateStudy{"s-1"});
  rate();
  const std::string next = item();
  desk_.reset();
  station_ = flows::Station::open(*records_, clock_).value();
  desk_ = std::make_unique<Desk>(
      Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  EXPECT_EQ(which(), Which::waiting);
  desk_->handle(RateStudy{"s-1"});
  EXPECT_EQ(item(), next);
}

TEST_F(StudyDeskTest, AScannedUnitComesFirst) {
  desk_->handle(RateStudy{"s-1"});
  accept_417();
  EXPECT_EQ(which(), Which::closed) << "where to put it is said before the study goes on";
  desk_->handle(NextUnit{});
  EXPECT_EQ(which(), Which::study_rate);
}

TEST_F(StudyDeskTest, TellsTwoOfOneNameApart) {
  ASSERT_TRUE(people_->add({"p-ida", "Ada", domain::Role::inspector}, "2101"));
  ASSERT_TRUE(people_->add({"p-quin", "Quin", domain::Role::quality_engineer}, "4101"));
  domain::StudyPlanned plan;
  plan.study = "s-2";
  plan.title = "Lids";
  plan.items = {{"01", "", ""}, {"02", "", ""}};
  plan.inspectors = {"p-ada", "p-ida"};
  plan.ratings = {"conforming", "nonconforming"};
  plan.trials = 1;
  event(flows::PlanStudy{plan, "p-quin"});
  desk_ = std::make_unique<Desk>(
      Desk::Parts{*station_, *people_, clock_, languages_, main_, tasks_, false});
  for (const char* person : {"p-ada", "p-ida"}) {
    event(flows::SignIn{person, domain::Role::inspector});
    desk_->handle(RateStudy{"s-2"});
    const StudyTask& task = *desk_->facts().study.task();
    event(flows::RateItem{"s-2", task.plan.items[task.turn.item].label, "conforming"});
  }
  event(flows::SignIn{"p-quin", domain::Role::quality_engineer});
  desk_->handle(ShowStudy{"s-2"});
  ASSERT_TRUE(desk_->facts().study.results.at(0).rated_as);
  EXPECT_THAT(desk_->facts().study.results[0].rated_as->inspectors,
              testing::UnorderedElementsAre("Ada (p-ada)", "Ada (p-ida)"));
}

TEST_F(StudyDeskTest, ShowsWhatItCameToToTheQualityEngineerAlone) {
  desk_->handle(RateStudy{"s-1"});
  rate();
  desk_->handle(RateStudy{});
  desk_->handle(ShowStudy{"s-1"});
  EXPECT_EQ(which(), Which::waiting) << "an inspector does not see it";
  ASSERT_TRUE(people_->add({"p-quin", "Quin", domain::Role::quality_engineer}, "4101"));
  event(flows::SignIn{"p-quin", domain::Role::quality_engineer});
  desk_->handle(CautionSeen{});
  desk_->handle(ShowStudy{"s-1"});
  ASSERT_EQ(which(), Which::study_results);
  const StudyResult& result = desk_->facts().study.results.at(0);
  EXPECT_EQ(result.rated, 1U);
  EXPECT_EQ(result.of, 3U);
  ASSERT_TRUE(result.rated_as);
  EXPECT_THAT(result.rated_as->inspectors, ElementsAre("Ada")) << "by name";
}

TEST_F(DeskTest, RefusesToCallAShiftUsualWhereTooFewAreOnFile) {
  sign_in();
  accept_417();
  clock_.now_us_ += 8 * std::int64_t{3'600'000'000};  // the late shift
  rework_418();
  desk_->handle(ShowReview{true});
  desk_->handle(ReviewEvent(AskReview{Question::usual}));
  ASSERT_EQ(which(), Which::review_usual);
  const UsualFacts& usual = desk_->facts().review.usual;
  EXPECT_EQ(usual.standing, reports::Standing::too_few_shifts);
  EXPECT_EQ(usual.before.shifts, 1);
  ASSERT_EQ(usual.rates.size(), 3U);
  EXPECT_EQ(usual.rates[0].rate->hits, 0);
  EXPECT_EQ(usual.rates[1].rate->hits, 1);
  EXPECT_EQ(usual.rates[2].rate->units, 1);
  ASSERT_EQ(usual.changes.size(), 3U) << "against the last shift, the weeks, and the one kind";
  EXPECT_EQ(usual.changed, 0U);
}

TEST_F(DeskTest, AsksTheReviewWhatIsWaiting) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  event(flows::Park{domain::ParkReason::waiting_for_result, ""});
  desk_->handle(ShowReview{true});
  desk_->handle(ReviewEvent(AskReview{Question::waiting}));
  ASSERT_EQ(which(), Which::review_waiting);
  const auto& waiting = desk_->facts().review.waiting;
  ASSERT_EQ(waiting.size(), 1U);
  EXPECT_EQ(waiting[0].serial, "26330-00417");
  EXPECT_EQ(waiting[0].why, "waiting_for_result");
  desk_->handle(ReviewEvent(AskReview{Question::most}));
  EXPECT_EQ(which(), Which::review);
  desk_->handle(ShowReview{false});
  EXPECT_EQ(which(), Which::waiting);
}

class ReviewingDesk : public DeskTest {
 protected:
  void SetUp() override {
    DeskTest::SetUp();
    sign_in();
  }
  void review(const ReviewEvent& event) { desk_->handle(Request(event)); }
  void rework_417(const std::string& picture) {
    desk_->scanned("CP210-26330-00417");
    answer("lid", domain::Answer::nonconforming);
    event(flows::AddFinding{"lid", "damaged", {}, domain::Place{.25, .5}, picture, ""});
    answer("tag", domain::Answer::conforming);
    event(flows::Close{domain::Disposition::rework, ""});
    desk_->handle(ShowReview{true});
  }
  std::string keep_picture() {
    std::vector<unsigned char> bytes;
    cv::imencode(".jpg", cv::Mat(48, 64, CV_8UC3, cv::Scalar(10, 120, 240)), bytes);
    return records::Pictures(folder_ / "pictures").keep(bytes).value();
  }
  // Until the task thread has said what it found.
  void wait_while(const std::function<bool()>& goes_on) {
    while (goes_on()) {
      main_.run();
      std::this_thread::yield();
    }
  }
  void wait_for_picture() {
    wait_while([&] {
      return desk_->review().plate().picture.empty() &&
             desk_->facts().review.story->trouble.empty();
    });
  }
  static std::string content_of(const std::string& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
  }
};

TEST_F(ReviewingDesk, LeadsFromABarToTheUnitAndItsPictureAndBack) {
  rework_417(keep_picture());
  const auto& bars = desk_->facts().review.defects.rows;
  ASSERT_EQ(bars.size(), 1U);
  review(ShowBehind{bars[0].name});
  ASSERT_EQ(which(), Which::review_behind);
  const BehindFacts behind = *desk_->facts().review.behind;
  EXPECT_EQ(behind.findings, 1);
  ASSERT_EQ(behind.units.size(), 1U);
  EXPECT_EQ(behind.units[0].name, "26330-00417");
  EXPECT_EQ(behind.units[0].disposition, domain::Disposition::rework);
  review(ShowStory{behind.units[0].look});
  ASSERT_EQ(which(), Which::review_story);
  wait_for_picture();
  EXPECT_EQ(desk_->review().plate().picture.cols, 64);
  desk_->review().show(7, 64.0F / 48);
  const StoryFacts& story = *desk_->facts().review.story;
  EXPECT_EQ(story.texture, 7U);
  ASSERT_EQ(story.pictures.size(), 1U);
  ASSERT_EQ(story.pictures[0].marks.size(), 1U);
  EXPECT_EQ(story.pictures[0].marks[0].place, (domain::Place{.25, .5}));
  EXPECT_EQ(story.story.now.state, "in_rework");
  review(ShowStory{});
  EXPECT_EQ(which(), Which::review_behind);
  review(ShowBehind{});
  EXPECT_EQ(which(), Which::review);
  EXPECT_TRUE(desk_->review().plate().picture.empty());
}

TEST_F(ReviewingDesk, SaysThatAPictureIsAlteredOrThatThereIsNone) {
  const std::string hash = keep_picture();
  rework_417(hash);
  std::ofstream(records::Pictures(folder_ / "pictures").path_of(hash), std::ios::app) << "x";
  const std::string look = desk_->facts().inspection->last->look;
  review(ShowStory{look});
  wait_for_picture();
  EXPECT_EQ(desk_->facts().review.story->trouble, "missing");
  review(ShowStory{});
  accept_418();
  desk_->handle(ShowReview{true});
  review(ShowStory{desk_->facts().inspection->last->look});
  EXPECT_EQ(desk_->facts().review.story->trouble, "none");
}

TEST_F(ReviewingDesk, WritesTheReportInOneTouchInTheLanguageThatIsSpoken) {
  rework_417("");
  review(AskReview{Question::next});
  ASSERT_EQ(which(), Which::review_next);
  desk_->handle(ChooseLanguage{"de"});
  const PageFacts& page = desk_->facts().review.page;
  review(WriteReport{});
  EXPECT_TRUE(page.being_written);
  wait_while([&] { return page.being_written; });
  EXPECT_EQ(page.written, folder_ / "reports" / "shift-2026-11-25-early.html");
  const std::string html = content_of(page.written);
  EXPECT_THAT(html, HasSubstr("Schichtbericht"));
  EXPECT_THAT(html, HasSubstr("Journal geprüft"));
  EXPECT_THAT(html, HasSubstr("Lid: Damaged"));
}

TEST_F(ReviewingDesk, SaysWhyTheReportCouldNotBeWritten) {
  std::ofstream(folder_ / "reports") << "a file where the folder goes";
  rework_417("");
  review(WriteReport{});
  wait_while([&] { return desk_->facts().review.page.being_written; });
  EXPECT_THAT(desk_->facts().review.page.written, IsEmpty());
  ASSERT_EQ(desk_->facts().notices.size(), 1U);
  EXPECT_THAT(desk_->facts().notices[0], HasSubstr("report was not written"));
}

TEST_F(ReviewingDesk, HandsANoteOverToWhoComesNextAndToTheReport) {
  rework_417("");
  review(AskReview{Question::next});
  event(flows::LeaveNote{"LAMP 2 FLICKERS"});
  EXPECT_EQ(which(), Which::review_next);
  EXPECT_THAT(desk_->facts().review.whole.notes, ElementsAre("LAMP 2 FLICKERS"));
  clock_.now_us_ += 8 * std::int64_t{3'600'000'000};  // the late shift
  ASSERT_TRUE(people_->add({"p-ida", "Ida", domain::Role::inspector}, "2104"));
  event(flows::SignIn{"p-ida", domain::Role::inspector});
  desk_->handle(CautionSeen{});
  ASSERT_EQ(which(), Which::handover);
  EXPECT_EQ(desk_->facts().handover.at(0).note, "LAMP 2 FLICKERS");
  desk_->handle(HandoverSeen{});
  EXPECT_NE(which(), Which::handover);
  for (const char* person : {"p-ida", "p-ada"}) {  // who has read it, and who wrote it
    event(flows::SignIn{person, domain::Role::inspector});
    desk_->handle(CautionSeen{});
    EXPECT_NE(which(), Which::handover) << person;
  }
  event(flows::LeaveNote{"LIDS OF LOT 7 STAND HIGH"});
  event(flows::SignIn{"p-ida", domain::Role::inspector});
  desk_->handle(CautionSeen{});
  ASSERT_EQ(which(), Which::handover);
  ASSERT_EQ(desk_->facts().handover.size(), 1U) << "only what is new";
  desk_->handle(HandoverSeen{});
  clock_.now_us_ += 26 * std::int64_t{3'600'000'000};
  ASSERT_TRUE(people_->add({"p-nia", "Nia", domain::Role::inspector}, "2105"));
  event(flows::SignIn{"p-nia", domain::Role::inspector});
  desk_->handle(CautionSeen{});
  EXPECT_NE(which(), Which::handover) << "more than a day ago";
}

// Who does a blind second look must not learn here what the first one came to.
// A unit on hold, and a plant that wants two people to release it.
class DeskWithAHold : public ReviewingDesk {
 protected:
  domain::Master plant() const override {
    domain::Master master = two_steps();
    master.hold_release = domain::HoldRule::two_people;
    return master;
  }
  void SetUp() override {
    ReviewingDesk::SetUp();
    ASSERT_TRUE(people_->add({"p-sue", "Sue", domain::Role::supervisor}, "3100"));
    desk_->scanned("CP210-26330-00417");
    answer("lid", domain::Answer::nonconforming);
    event(flows::AddFinding{"lid", "damaged", {}, {}, "", ""});
    answer("tag", domain::Answer::conforming);
    event(flows::Close{domain::Disposition::hold, ""});
    held_ = desk_->facts().inspection->last->look;
    event(flows::SignOut{});
  }
  void sign_in_as(const std::string& person, const std::string& pin) {
    desk_->handle(CheckPin{person, pin});
    wait_while([&] { return desk_->facts().checking_pin; });
    desk_->handle(CautionSeen{});
    desk_->handle(HandoverSeen{});
  }
  void see_story() {
    desk_->handle(ShowReview{true});
    review(AskReview{Question::waiting});
    review(ShowStory{held_});
  }
  void countersign(const std::string& person, const std::string& pin) {
    desk_->handle(Countersign{flows::ReleaseHold{held_, "settled"}, person, pin});
    wait_while([&] { return desk_->facts().checking_pin; });
  }
  const StoryFacts& story() const { return *desk_->facts().review.story; }
  std::string held_;
};

TEST_F(DeskWithAHold, ASupervisorReleasesItWithASecondPersonsPin) {
  sign_in_as("p-sue", "3100");
  see_story();
  EXPECT_EQ(story().held_by, held_);
  EXPECT_EQ(story().story.now.state, "on_hold");
  countersign("p-ada", "2100");
  EXPECT_EQ(desk_->facts().inspection->person, "p-sue") << "nobody else is signed in by it";
  EXPECT_EQ(story().held_by, "");
  EXPECT_EQ(story().story.now.why, "released");
  ASSERT_TRUE(story().story.looks[0].release);
  EXPECT_EQ(story().story.looks[0].release->person, "p-sue");
  EXPECT_EQ(story().story.looks[0].release->second_person, "p-ada");
  review(AskReview{Question::waiting});
  EXPECT_EQ(desk_->facts().review.waiting.at(0).why, "released") << "it waits for another look";
}

TEST_F(DeskWithAHold, AWrongPinReleasesNothingAndCountsAsOne) {
  sign_in_as("p-sue", "3100");
  see_story();
  countersign("p-ada", "2101");
  EXPECT_EQ(desk_->facts().pin_problem, "sign_in.wrong_pin");
  EXPECT_EQ(story().held_by, held_);
  EXPECT_EQ(people_->wrong_pins()->at("p-ada"), 1);
}

TEST_F(DeskWithAHold, NobodyIsTheOwnSecondPerson) {
  sign_in_as("p-sue", "3100");
  see_story();
  countersign("p-sue", "3100");
  EXPECT_EQ(story().held_by, held_);
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("Two different people")));
}

TEST_F(DeskWithAHold, TheQualityEngineerLetsItsFindingPass) {
  ASSERT_TRUE(people_->add({"p-quin", "Quin", domain::Role::quality_engineer}, "4100"));
  event(flows::SignOut{});  // who is known is read again then
  sign_in_as("p-sue", "3100");
  see_story();
  EXPECT_THAT(story().grantable, IsEmpty()) << "not the supervisor's to grant";
  sign_in_as("p-quin", "4100");
  see_story();
  ASSERT_EQ(story().grantable.size(), 1U);
  EXPECT_EQ(story().grantable[0].component, "lid");
  EXPECT_EQ(story().grantable[0].defect, "damaged");
  EXPECT_EQ(story().variant, "CP-210");
  event(flows::GrantConcession{
      {"D-17", "customer quality", "CP-210", "lid", "damaged", 2, clock_.now_us_ + 3'600'000'000},
      "p-quin"});
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("D-17 is granted")));
  review(AskReview{Question::next});
  review(ShowConcessions{true});
  EXPECT_EQ(which(), Which::review_concessions);
  ASSERT_EQ(desk_->facts().review.concessions.size(), 1U);
  EXPECT_EQ(desk_->facts().review.concessions[0].grant.number, "D-17");
  EXPECT_EQ(desk_->facts().review.concessions[0].used, 0);
}

TEST_F(DeskWithAHold, AnInspectorIsNotOfferedARelease) {
  sign_in_as("p-ada", "2100");
  see_story();
  EXPECT_EQ(story().held_by, "");
  countersign("p-sue", "3100");
  EXPECT_EQ(story().story.now.why, "finding") << "nor does it work by itself";
}

TEST_F(DeskWithAHold, ItIsAcceptedByAnotherLookOnceItIsReleased) {
  sign_in_as("p-ada", "2100");
  event(flows::StartReturn{"CP210-26330-00417"});
  answer("lid", domain::Answer::conforming);
  answer("tag", domain::Answer::conforming);
  EXPECT_THAT(desk_->facts().possible, ElementsAre(domain::Disposition::hold));
  event(flows::Close{domain::Disposition::hold, ""});
  held_ = desk_->facts().inspection->last->look;
  sign_in_as("p-sue", "3100");
  see_story();
  countersign("p-ada", "2100");
  desk_->handle(ShowReview{false});
  event(flows::StartReturn{"CP210-26330-00417"});
  answer("lid", domain::Answer::conforming);
  answer("tag", domain::Answer::conforming);
  event(flows::Close{domain::Disposition::accept, ""});
  EXPECT_EQ(desk_->facts().inspection->last->disposition, domain::Disposition::accept);
}

TEST_F(DeskWithAHold, AUnitUnderATicketGetsItsSerialFirstAndIsReleasedThen) {
  sign_in_as("p-ada", "2100");
  event(flows::NoReadableTag{});
  const std::string ticket = desk_->facts().inspection->open->opened.ticket;
  event(flows::ConfirmVariant{"CP-210"});
  event(flows::Close{domain::Disposition::hold, ""});
  held_ = desk_->facts().inspection->last->look;
  see_story();
  EXPECT_EQ(story().to_link, "") << "an inspector is not offered it";
  desk_->handle(ShowReview{false});
  sign_in_as("p-sue", "3100");
  see_story();
  EXPECT_EQ(story().held_by, "");
  ASSERT_EQ(story().to_link, held_);
  event(flows::LinkSerial{held_, "26330-00555", "tag_read"});
  EXPECT_EQ(story().story.serial, "26330-00555");
  EXPECT_EQ(story().to_link, "");
  EXPECT_EQ(story().held_by, held_);
  countersign("p-ada", "2100");
  EXPECT_EQ(story().held_by, "");
}

// Where a stamped paper counts for the leak test, read by two people.
class DeskWithAPaper : public DeskWithAHold {
 protected:
  domain::Master plant() const override {
    domain::Master master = two_steps();
    master.required_results = {{domain::UpstreamTest::leak, domain::AwayRule::paper_two_people}};
    return master;
  }
  void look_at_418() {
    sign_in_as("p-ada", "2100");
    desk_->scanned("CP210-26330-00418");
    event(flows::ConfirmVariant{"CP-210"});
    answer("lid", domain::Answer::conforming);
    answer("tag", domain::Answer::conforming);
  }
  void read_paper(bool passed, const std::string& second, const std::string& pin) {
    flows::EnterPaperResult paper;
    paper.serial = "26330-00418";
    paper.result.test = domain::UpstreamTest::leak;
    paper.result.passed = passed;
    desk_->handle(Countersign{paper, second, pin});
    wait_while([&] { return desk_->facts().checking_pin; });
  }
};

TEST_F(DeskWithAPaper, AStampedPaperReadByTwoLetsTheUnitPass) {
  look_at_418();
  EXPECT_THAT(desk_->facts().possible, ElementsAre(domain::Disposition::hold));
  read_paper(true, "p-sue", "3100");
  EXPECT_THAT(desk_->facts().possible, ElementsAre(domain::Disposition::accept));
  const auto story = records::unit_story(*records_, "26330-00418").value();
  const records::UpstreamResultRow& leak = story->results.back();
  EXPECT_TRUE(leak.on_paper);
  EXPECT_EQ(leak.first_person, "p-ada");
  EXPECT_EQ(leak.second_person, "p-sue");
  EXPECT_EQ(desk_->facts().inspection->person, "p-ada");
}

TEST_F(DeskWithAPaper, OneThatSaysFailedOrThatOnePersonReadDoesNot) {
  look_at_418();
  read_paper(true, "p-ada", "2100");
  EXPECT_THAT(desk_->facts().notices, ElementsAre(HasSubstr("Two different people")));
  read_paper(false, "p-sue", "3100");
  EXPECT_THAT(desk_->facts().possible, ElementsAre(domain::Disposition::hold));
  EXPECT_EQ(desk_->facts().obstacles,
            (std::vector<flows::Obstacle>{{flows::Obstacle::Why::result_failed, "leak"}}));
}

class DeskWithSecondLooks : public ReviewingDesk {
 protected:
  domain::Master plant() const override {
    domain::Master m = two_steps();
    m.second_looks.rework = m.second_looks.accept = 1;
    return m;
  }
};

TEST_F(DeskWithSecondLooks, SaysWhatSecondLooksCameTo) {
  accept_418();
  desk_->handle(ShowReview{true});
  review(AskReview{Question::look});
  ASSERT_EQ(which(), Which::review_look);
  const reports::LetPass& let_pass = desk_->facts().review.whole.let_pass;
  EXPECT_EQ(let_pass.drawn, 1);
  EXPECT_EQ(let_pass.escapes.accepted, 0) << "not looked at again yet";
  ASSERT_TRUE(people_->add({"p-ida", "Ida", domain::Role::inspector}, "2104"));
  event(flows::SignIn{"p-ida", domain::Role::inspector});
  desk_->handle(CautionSeen{});
  rework_418();
  desk_->handle(ShowReview{true});
  review(AskReview{Question::look});
  EXPECT_EQ(let_pass.escapes.accepted, 1);
  EXPECT_EQ(let_pass.escapes.escapes, 1);
  EXPECT_EQ(desk_->facts().review.whole.counts.looks, 1) << "in no count of production";
}

TEST_F(DeskWithSecondLooks, TellsNothingOfAUnitThatIsHeldBack) {
  rework_417("");
  review(ShowBehind{desk_->facts().review.defects.rows.at(0).name});
  ASSERT_EQ(desk_->facts().review.behind->units.size(), 1U);
  EXPECT_TRUE(desk_->facts().review.behind->units[0].held_back);
  review(ShowStory{desk_->facts().inspection->last->look});
  EXPECT_FALSE(desk_->facts().review.story->told);
  EXPECT_TRUE(desk_->facts().review.story->story.looks.empty());
}

TEST_F(DeskTest, OpensAfterACrashWithTheSameStepAndPerson) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  answer("lid", domain::Answer::conforming);
  desk_.reset();
  station_ = flows::Station::open(*records_, clock_).value();
  Desk again({*station_, *people_, clock_, languages_, main_, tasks_, false});
  EXPECT_EQ(which_screen(again.facts()), Which::look);
  EXPECT_EQ(again.facts().person_name, "Ada");
  EXPECT_EQ(flows::next_step(*again.facts().inspection->open), 1U);
}

TEST_F(DeskTest, NamesTheReasonForNoOpinionOfTheOpenLookOnly) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  desk_->opinion_withheld("another look", {"too_dark", {}});
  EXPECT_FALSE(desk_->facts().withheld);
  desk_->opinion_withheld(desk_->facts().inspection->open->opened.look, {"too_dark", {}});
  ASSERT_TRUE(desk_->facts().withheld);
  EXPECT_EQ(desk_->facts().withheld->why, "too_dark");
}

TEST_F(DeskTest, SaysThatAPictureWasNotKept) {
  sign_in();
  desk_->picture_not_kept({Category::io, "pictures: no space left on device"});
  ASSERT_EQ(desk_->facts().notices.size(), 1U);
  EXPECT_THAT(desk_->facts().notices[0], HasSubstr("no space left on device"));
}

TEST_F(DeskTest, StopsAndShowsBothSerialsWhenTheCameraReadsAnotherTag) {
  sign_in();
  desk_->scanned("CP210-26330-00417");
  const std::string look = desk_->facts().inspection->open->opened.look;
  desk_->opinion_withheld(look, {"other_tag", {"CP210-26330-00418"}});
  ASSERT_TRUE(desk_->facts().other_tag);
  EXPECT_EQ(desk_->facts().other_tag->open, "26330-00417");
  EXPECT_EQ(desk_->facts().other_tag->seen, "CP210-26330-00418");
  EXPECT_EQ(desk_->facts().withheld->why, "other_tag");
  desk_->handle(TagSettled{});
  EXPECT_FALSE(desk_->facts().other_tag);
  EXPECT_EQ(desk_->facts().withheld->why, "other_tag");  // still no opinion, and why
  desk_->opinion_withheld(look, {"other_tag", {"CP210-26330-00418"}});
  event(flows::Park{domain::ParkReason::needs_advice, ""});
  EXPECT_FALSE(desk_->facts().other_tag);
}

// A plant whose camera has to be proved: one good part, one with a bad lid.
class DeskWithParts : public DeskTest {
 protected:
  domain::Master plant() const override {
    domain::Master m = two_steps();
    m.challenge_parts = {{"26330-90001", "CP-210", {}}, {"26330-90002", "CP-210", {"lid"}}};
    m.assist_needs_proof = true;
    return m;
  }
  void start(const char* model = "m-1") {
    sign_in();
    CameraFacts camera;
    camera.state = "running";
    camera.model = model;
    desk_->show_camera(camera);
    desk_->use_camera("camera-1");
  }
  void opinion(const std::string& serial, const char* lid, const char* model = "m-1") {
    const flows::Inspection& state = *desk_->facts().inspection;
    domain::OpinionGiven given;
    given.look = state.challenge.open ? state.challenge.open->showing : state.open->opened.look;
    given.frame = ++frame_;
    given.model = model;
    for (const char* component : {"lid", "tag"}) {
      domain::ComponentOpinion one;
      one.component = component;
      one.conforming = component == std::string("lid") ? lid : "yes";
      given.components.push_back(one);
    }
    desk_->opinion_arrived({given, serial});
  }
  void show(const std::string& serial, const char* lid, const char* model = "m-1") {
    desk_->scanned("CP210-" + serial);
    ASSERT_EQ(which(), Which::part);
    opinion(serial, lid, model);
  }
  void prove(const char* model = "m-1") {
    show("26330-90001", "yes", model);
    desk_->handle(PartSeen{});
    show("26330-90002", "no", model);
    desk_->handle(PartSeen{});
  }
  flows::ProofState proof() const { return desk_->facts().proof.proofs.at(0).state; }
  std::int64_t frame_ = 0;
};

TEST_F(DeskWithParts, SaysWhichPartsAreDueAndThatTheyAreShown) {
  using flows::ProofState;
  start();
  ASSERT_EQ(desk_->facts().proof.proofs.size(), 1U);
  EXPECT_THAT(desk_->facts().proof.proofs[0].parts, ElementsAre("26330-90001", "26330-90002"));
  show("26330-90001", "yes");
  EXPECT_EQ(which(), Which::judged);
  EXPECT_EQ(proof(), ProofState::begun);
  desk_->handle(PartSeen{});
  EXPECT_EQ(which(), Which::waiting);
  show("26330-90002", "no");
  EXPECT_EQ(proof(), ProofState::held);
  EXPECT_EQ(desk_->facts().shift.looks, 0);  // no production
}

TEST_F(DeskWithParts, SaysThatAnOpinionWaitsForTheProof) {
  start();
  desk_->scanned("CP210-26330-00417");
  opinion("26330-00417", "yes");
  EXPECT_FALSE(desk_->facts().inspection->open->opinion);
  ASSERT_TRUE(desk_->facts().withheld);
  EXPECT_EQ(desk_->facts().withheld->why, "proof_missing");
}

TEST_F(DeskWithParts, WantsANewProofOfAnotherModelAndAnotherCamera) {
  using flows::ProofState;
  start();
  prove();
  EXPECT_EQ(proof(), ProofState::held);
  CameraFacts camera = desk_->facts().camera;
  camera.model = "m-2";
  desk_->show_camera(camera);
  EXPECT_EQ(proof(), ProofState::missing);
  prove("m-2");
  EXPECT_EQ(proof(), ProofState::held);
  desk_->use_camera("camera-2");
  EXPECT_EQ(proof(), ProofState::missing);
}

TEST_F(DeskWithParts, NamesTheUnitsThatAFailedPartPutsInDoubt) {
  using flows::ProofState;
  start();
  prove();
  desk_->scanned("CP210-26330-00417");
  opinion("26330-00417", "yes");
  ASSERT_TRUE(desk_->facts().inspection->open->opinion);
  event(flows::AnswerStep{"lid", domain::Answer::conforming, "present"});
  event(flows::AnswerStep{"tag", domain::Answer::conforming, "present"});
  event(flows::Close{domain::Disposition::accept, ""});
  desk_->handle(NextUnit{});
  EXPECT_THAT(desk_->facts().proof.contained, IsEmpty());
  show("26330-90002", "yes");  // the bad lid is not caught
  ASSERT_EQ(which(), Which::judged);
  EXPECT_THAT(desk_->facts().proof.judged->unmet, ElementsAre("lid"));
  EXPECT_EQ(proof(), ProofState::failed);
  ASSERT_EQ(desk_->facts().proof.contained.size(), 1U);
  EXPECT_EQ(desk_->facts().proof.contained[0].serial, "26330-00417");
  EXPECT_TRUE(desk_->facts().proof.contained[0].relied);
  desk_->handle(ShowContainment{true});
  EXPECT_EQ(which(), Which::containment);
  desk_->handle(ShowContainment{false});
  EXPECT_EQ(which(), Which::judged);
}

TEST_F(DeskWithParts, SaysWhyThereIsNoOpinionOfThePart) {
  start();
  desk_->scanned("CP210-26330-90001");
  desk_->opinion_withheld(desk_->facts().inspection->challenge.open->showing, {"tag_not_read", {}});
  ASSERT_TRUE(desk_->facts().withheld);
  event(flows::LeavePart{"no_opinion_came"});
  EXPECT_EQ(which(), Which::waiting);
  EXPECT_FALSE(desk_->facts().withheld);
}

}  // namespace
}  // namespace lastlook::app
