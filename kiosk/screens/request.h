// SPDX-License-Identifier: Apache-2.0
// What a touch asks for: an event of the flow, or something of the program itself.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "kiosk/flows/inspection.h"
#include "kiosk/flows/teaching.h"
#include "kiosk/screens/review_facts.h"

namespace lastlook::screens {

struct CheckPin {
  std::string person, pin;
};
struct LeavePin {};  // back to the names
struct LeaveBar {};  // nobody sets aside what stands against signing in
// What takes two people: done by the one who is signed in, once the other's PIN was right.
struct Countersign {
  // ReleaseHold, EnterPaperResult or AllowSignIn; the second person is filled in
  flows::Event event;
  std::string person, pin;
};
struct CautionSeen {};
struct HandoverSeen {};
struct ChooseLanguage {  // for who is signed in, from now on; else for the screen
  std::string language;
};
struct ShowReview {
  bool open = true;
};
struct AskReview {  // one of its questions
  Question question = Question::most;
};
struct ShowShifts {  // to choose from
  bool open = true;
};
struct AskShift {  // goes on with its review
  reports::WhichShift which;
};
struct WriteReport {};  // of the shift, as a page
struct ShowBehind {     // the units behind a bar
  std::string kind{};   // empty: back to the bars
};
struct ShowStory {
  std::string look{};       // empty: back to the list
  std::size_t picture = 0;  // which of its pictures
};
struct ShowConcessions {
  bool open = true;
};
using ReviewEvent = std::variant<AskReview, ShowShifts, AskShift, WriteReport, ShowBehind,
                                 ShowStory, ShowConcessions>;
struct NextUnit {};      // leaves the verdict of the last look
struct DropQuestion {};  // neither a return nor a second body: the scan was a mistake
struct DismissNotices {};
struct ReviseStep {  // shows a step again, answered or not
  std::size_t step = 0;
};
struct GoOn {};       // from a step that was shown again to the first that is open
struct DecideNow {};  // to the verdict with steps still open
struct LookAgain {};  // asks the camera for a newer opinion
struct ShowProofs {
  bool open = true;
};
struct ShowContainment {
  bool open = true;
};
struct ShowWear {
  std::string part{};  // its serial; empty: closes it
};
struct TagSettled {};  // the open unit lies there: goes on, without the camera
struct PartSeen {};    // leaves what a challenge part came to
struct RateStudy {
  std::string study{};  // empty: leaves it, to go on later
};
struct ShowStudy {
  std::string study{};  // its results; empty: closes them
};
struct NextPicture {};  // of a camera that is a folder
struct OneByOne {};     // the open look's steps, not together
struct ShowHelp {       // what was called for
  bool open = true;
};
struct ShowReaction {
  std::string reaction{};  // empty: closes it
};

using Request =
    std::variant<flows::Event, CheckPin, LeavePin, LeaveBar, Countersign, CautionSeen, ShowReview,
                 NextUnit, DropQuestion, DismissNotices, ReviseStep, GoOn, DecideNow, LookAgain,
                 ShowProofs, ShowContainment, ShowWear, TagSettled, PartSeen, flows::TeachEvent,
                 NextPicture, RateStudy, ShowStudy, ReviewEvent, ChooseLanguage, HandoverSeen,
                 OneByOne, ShowHelp, ShowReaction>;
using Requests = std::vector<Request>;

}  // namespace lastlook::screens
