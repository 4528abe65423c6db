// SPDX-License-Identifier: Apache-2.0
// Teaching the camera at the station: choose the variant, photograph a reference, mark the
// components on it, photograph good units and known bad ones, let it learn, look at how far apart
// good and bad are, approve. Pure: it hands out what is to be done and is told what came of it.
// Nothing is lost on the way: what was photographed and marked is in a folder after every touch.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "kiosk/domain/teaching.h"
#include "kiosk/flows/inspection.h"

namespace lastlook::flows {

// A picture on the contact sheet. score: estimated probability that the component is right, by a
// judge not taught on this picture's light.
struct SheetShot {
  std::string file;
  double score = 0.0;
  bool operator==(const SheetShot&) const = default;
};

struct SheetComponent {
  domain::TaughtGap gap;
  std::vector<SheetShot> good;  // the worst first
  std::vector<SheetShot> bad;   // the best first; made up from good ones where gap.made_up
  int good_stopped = 0, bad_passed = 0;
  double miss_rate_limit = 1.0;  // one-sided 95 %, exact; 1 where no bad one was photographed
  bool operator==(const SheetComponent&) const = default;
};

// What was learned, before anybody has approved it.
struct ContactSheet {
  std::string model;
  std::vector<std::string> variants;
  int pictures = 0, lights = 1;
  std::vector<SheetComponent> components;
  std::vector<std::string> notes;  // skipped pictures and the like, one sentence each
  bool operator==(const ContactSheet&) const = default;
};

struct Teaching {
  enum class Step { home, reference, mark, shoot, learn, sheet };

  bool open = false;  // on the screen
  Step step = Step::home;
  std::string person;   // who teaches; what only they may answer for goes when another does
  std::string variant;  // of the unit under the camera
  bool unread = false;  // the folder could not be read: what is in it is not known
  bool reference = false;
  std::vector<domain::TeachingMark> marks;
  std::vector<domain::TeachingShot> shots;
  std::vector<domain::KnownFault> faults;  // of the unit that is photographed next
  std::vector<domain::KnownFault> taking;  // of the one whose picture is on its way to the disk
  bool busy = false;                       // the disk has not answered yet
  std::int64_t lesson = 0;                 // number of the newest learning
  int done = 0, total = 0;                 // of it
  std::optional<ContactSheet> sheet;       // of the pictures and marks as they are
  std::string trouble;                     // what went wrong last, as a sentence; empty: nothing
  bool operator==(const Teaching&) const = default;
};
std::string_view to_word(Teaching::Step step);

// --- what a person touches ---------------------------------------------------------------------

struct OpenTeaching {};  // or tried again, where the folder could not be read
struct LeaveTeaching {};
struct ChooseVariant {  // goes on where the folder's marks and pictures are
  std::string variant;
};
struct GoToStep {
  Teaching::Step step = Teaching::Step::home;
};
struct TakeReference {};
struct PutMark {  // a new one, or the place of a known one changed
  domain::TeachingMark mark;
};
struct RemoveMark {  // with the pictures of its faults
  std::string component;
};
struct SetFault {  // of the unit under the camera
  domain::KnownFault fault;
};
struct NoFaults {};
struct TakeShot {};
struct TakeBackShot {
  std::string file;
};
struct Learn {};
struct StopLearning {};
struct AcceptOverlap {
  std::string component;
  bool accepted = true;
};
struct Approve {};
struct GoBack {  // to a model that judged here before
  std::string model, why;
};
struct StartAfresh {};  // the folder is set aside, nothing in it is lost

// --- what comes back ---------------------------------------------------------------------------

// The folder as it now is. taken: a picture was.
struct FolderIs {
  bool reference = false;
  std::vector<domain::TeachingMark> marks;
  std::vector<domain::TeachingShot> shots;
  bool taken = false;
};
struct WorkFailed {
  std::string why;
  bool unread = false;  // and the folder cannot be read now
};
struct LearnedSome {
  std::int64_t lesson = 0;
  int done = 0, total = 0;
};
struct Learned {
  std::int64_t lesson = 0;
  ContactSheet sheet;
};
struct NotLearned {
  std::int64_t lesson = 0;
  std::string why;
};
struct ModelInUse {};  // the approval is in the journal, or that it was gone back to

using TeachEvent = std::variant<OpenTeaching, LeaveTeaching, ChooseVariant, GoToStep, TakeReference,
                                PutMark, RemoveMark, SetFault, NoFaults, TakeShot, TakeBackShot,
                                Learn, StopLearning, AcceptOverlap, Approve, GoBack, StartAfresh,
                                FolderIs, WorkFailed, LearnedSome, Learned, NotLearned, ModelInUse>;

// --- what is to be done ------------------------------------------------------------------------

struct ReadFolder {};
struct KeepReference {};
struct KeepShot {
  domain::TeachingShot shot;  // its file gets a name when it is kept
};
struct KeepLabels {
  std::vector<domain::TeachingMark> marks;
  std::vector<domain::TeachingShot> shots;
};
struct LearnFolder {
  std::int64_t lesson = 0;
};
struct ForgetLesson {};
struct KeepModel {  // its file first, then ApproveModel; file and model before are filled in
  domain::ModelApproved approval;
  std::string by;
};
struct FindModel {  // its file first, whole and holding that model, then GoBackToModel
  std::string model, why, by;
};
struct SetFolderAside {};

using TeachWork = std::variant<ReadFolder, KeepReference, KeepShot, KeepLabels, LearnFolder,
                               ForgetLesson, KeepModel, FindModel, SetFolderAside>;

struct TeachOutcome {
  Teaching teaching;
  std::optional<TeachWork> work;
  std::optional<Notice> notice;  // why not
};

// Asks first whether the one signed in may (teaching_refused); what is refused changes nothing.
// While the folder is unread it can only be read again, set aside or left: whatever else is touched
// would write over what is in it. An overlap is accepted by the one who approves.
TeachOutcome teach(Teaching teaching, const TeachEvent& event, const Inspection& state);

// Whether there is enough to learn from.
bool can_learn(const Teaching& teaching);

}  // namespace lastlook::flows
