// SPDX-License-Identifier: Apache-2.0
// What the screens are told: the flow's state and what the records say about it, gathered by the
// program after each event, never while drawing.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/agreement.h"
#include "analytics/score_track.h"
#include "analytics/study.h"
#include "kiosk/domain/unit_record.h"
#include "kiosk/flows/inspection.h"
#include "kiosk/flows/teaching.h"
#include "kiosk/records/challenge_queries.h"
#include "kiosk/records/people.h"
#include "kiosk/records/room.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/screens/rect.h"
#include "kiosk/screens/review_facts.h"
#include "kiosk/sync/courier.h"
#include "kiosk/text/strings.h"

namespace lastlook::screens {

struct CameraFacts {
  std::uintptr_t texture = 0;  // 0: no picture
  float aspect = 4.0F / 3.0F;  // width to height
  std::string state;           // word of the camera's state: text key "camera.<state>"
  std::string detail;          // the driver's own sentence about its last fault; empty: none
  std::uintptr_t overlay =
      0;                      // where the unit last judged differs; over the whole picture; 0: none
  std::string offered_code;   // the one code in view while waiting; empty: none, or several
  std::string model;          // id of the model that judges; empty: none is in use
  std::string model_trouble;  // why none is, as a sentence; empty: none was found
};

// Why the camera gives no opinion about the open look or the challenge part under it; text key
// "withheld.<why>".
struct WithheldFacts {
  std::string why;
  std::vector<std::string> codes;
};

// The camera reads the tag of another unit than the open one.
struct OtherTag {
  std::string open, seen;
};

// A scanned serial that is known already: what it was, and what was scanned.
struct ReturnQuestion {
  std::string code;
  flows::Notice notice;
  domain::UnitRecord unit;
};

// How surely a challenge part was judged right, time after time.
struct WearFacts {
  std::string part;  // its serial
  std::vector<analytics::ScorePoint> points;
};

// The camera's proof in this shift.
struct ProofFacts {
  bool needed = false;             // opinions wait for it
  std::vector<flows::Due> proofs;  // of each variant that has challenge parts, held ones too
  std::vector<records::ContainedUnit> contained;  // by proofs that failed since yesterday
  bool open = false;                              // the overview is on the screen
  bool containment_open = false;                  // the list of those units is
  std::optional<domain::PartJudged> judged;       // what the last part came to, until it is left
  std::optional<WearFacts> wear;                  // of the part that is on the screen
};

// A component in one of the pictures it was taught on, as it lies on the sheet's texture.
struct Thumb {
  std::string component, file;
  Rect part;  // fractions of the texture
};

// A limit sample of the master data, on the graphics side.
struct SampleFacts {
  std::uintptr_t texture = 0;  // 0: its picture cannot be shown
  float aspect = 4.0F / 3.0F;
};

// Teaching the camera at this station.
struct TeachingFacts {
  flows::Teaching at;
  std::vector<domain::ApprovedModel> models;  // the newest first: that one judges
  std::uintptr_t reference = 0;               // texture; 0: none was photographed
  float aspect = 4.0F / 3.0F;                 // of the reference
  std::uintptr_t sheet = 0;                   // texture
  std::vector<Thumb> thumbs;
  bool next_picture = false;  // the camera is a folder, which shows the next one on request
};

// An agreement study that the person who is signed in has something to rate in.
struct StudyTask {
  domain::StudyPlanned plan;
  domain::StudyTurn turn;
};

// What a study came to so far.
struct StudyResult {
  std::string study, title;
  std::size_t rated = 0, of = 0;
  bool ended = false;
  std::optional<analytics::Study> rated_as;  // inspectors by name; none: nothing was rated yet
  analytics::Agreement agreement;            // of rated_as
};

struct StudyFacts {
  std::vector<StudyTask> tasks;
  std::optional<std::string> rating;  // the study that is being rated
  std::vector<StudyResult> results;   // for the quality engineer, the newest first
  std::optional<std::string> shown;   // the one whose results are on the screen
  std::uintptr_t picture = 0;         // texture of the item's picture; 0: none
  float aspect = 4.0F / 3.0F;         // of the picture
  const StudyTask* task() const {     // the one that is being rated
    for (const StudyTask& one : tasks)
      if (rating == one.plan.study) return &one;
    return nullptr;
  }
};

// One that the screens can speak: its code, and what it is called in its own words.
struct LanguageFacts {
  std::string code, name;
};

struct Facts {
  const text::Strings* say = nullptr;
  std::string language;  // code of the one that is spoken
  std::vector<LanguageFacts> languages;
  const flows::Inspection* inspection = nullptr;
  std::string station, time, date;
  std::int64_t now_us = 0;
  int offset_min = 0;  // of the local time
  std::string person_name;
  std::vector<records::Person> people;
  bool left_handed = false;

  bool locked = false;  // someone is signed in, but it is not known that they are there
  bool checking_pin = false;
  std::string pin_problem;  // text key; empty: none
  // Who cannot sign in, and why: a supervisor may set it aside for a while.
  struct Barred {
    std::string person;
    domain::Bar bar = domain::Bar::locked_out;
  };
  std::optional<Barred> barred;

  bool caution_seen = false;
  bool handover_seen = false;
  std::vector<records::HandoverNote> handover;  // of the last day, until it was seen; newest first
  bool review_open = false;
  bool closed_shown = false;         // the verdict of the look closed last is still on the screen
  std::vector<std::string> notices;  // worded
  std::optional<ReturnQuestion> question;

  std::vector<SampleFacts> samples;           // of the limit samples, in their order
  bool one_by_one = false;                    // the open look's steps are not answered together
  std::optional<domain::HelpCall> help;       // that nobody has answered
  bool help_shown = false;                    // it is on the screen
  std::vector<domain::Reaction> reactions;    // open ones, the newest first
  std::optional<std::string> reaction_shown;  // the one on the screen
  bool viewing_due = false;                   // the place of the look is not checked in this shift

  std::optional<std::size_t> revised_step;    // a step that is shown again
  bool deciding = false;                      // the verdict is shown with steps still open
  domain::UnitRecord unit;                    // of the open look
  std::vector<flows::Obstacle> obstacles;     // to accepting it
  std::vector<domain::Disposition> possible;  // what may be decided about it now
  std::vector<std::string> concessions;       // numbers that may be tried for it
  std::optional<WithheldFacts> withheld;
  std::optional<OtherTag> other_tag;  // until a person has said what lies there
  CameraFacts camera;
  ProofFacts proof;
  std::optional<TeachingFacts> teaching;       // where there is a camera to teach
  std::optional<records::Room> room;           // on the disk
  std::optional<sync::CourierStatus> sending;  // to the plant's store, where there is one
  records::LookCounts shift;
  std::int64_t second_looks_waiting = 0;  // units held back for one
  ReviewFacts review;
  StudyFacts study;
};

}  // namespace lastlook::screens
