// SPDX-License-Identifier: Apache-2.0
// What the review of a shift is told: its questions, of which one is open, and what the records
// say to that one. Nothing in it is about one person.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/pareto.h"
#include "analytics/yield.h"
#include "kiosk/domain/master.h"
#include "kiosk/domain/unit_record.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/records/unit_story.h"
#include "kiosk/reports/shift_facts.h"

namespace lastlook::screens {

enum class Question { most, usual, waiting, look, next };
inline constexpr std::array all_questions{Question::most, Question::usual, Question::waiting,
                                          Question::look, Question::next};

constexpr std::string_view to_word(Question question) {
  switch (question) {
    case Question::most:
      return "most";
    case Question::usual:
      return "usual";
    case Question::waiting:
      return "waiting";
    case Question::look:
      return "look";
    case Question::next:
      return "next";
  }
  return "?";
}

// A share of units that were right at the first look, and of which shifts: a text key
// "usual.<which>", such as "now".
struct RightAtFirst {
  std::string which;
  std::optional<analytics::Rate> rate;  // none: no unit
};

struct UsualFacts {
  reports::Standing standing = reports::Standing::no_units;
  reports::Usual before;
  std::int64_t not_right = 0;  // units of this shift, at the first look
  std::vector<RightAtFirst> rates;
  std::vector<analytics::Difference> changes;  // named; what changed first
  std::size_t changed = 0;
};

// A unit behind a bar.
struct UnitBehind {
  std::string look, name;  // serial or ticket
  std::int64_t number = 0, closed_us = 0;
  domain::Disposition disposition = domain::Disposition::hold;
  // For a blind second look: which unit it is stays untold until that is done.
  bool held_back = false;
};
struct BehindFacts {
  std::string kind;  // as the bar is called
  std::int64_t findings = 0;
  std::vector<UnitBehind> units;  // the newest first
};

// A finding on a picture: where a person touched it, else where the camera looked for it.
struct PictureMark {
  std::string what;
  std::optional<domain::Place> place;
  domain::Box box;  // no width: not known
};
struct StoryPicture {
  std::string hash;
  std::vector<PictureMark> marks;
};
struct StoryFacts {
  std::string look;  // the one that was asked for
  records::UnitStory story;
  bool told = true;  // false: it is held back for a second look
  // By the one who is signed in: the look whose hold may be released, and the one under a ticket
  // whose serial may be linked. Empty: none.
  std::string held_by, to_link;
  // Of the look that was asked for: what the one who is signed in may let pass by a concession, and
  // on units of which variant.
  std::vector<domain::FindingAdded> grantable;
  std::string variant;
  std::vector<StoryPicture> pictures;
  std::size_t shown = 0;       // of these
  std::uintptr_t texture = 0;  // 0: not there yet, or not at all
  float aspect = 4.0F / 3.0F;
  std::string trouble;  // why there is no picture: text key "story_picture.<trouble>"
};

// A shift that can be reviewed.
struct ShiftOnFile {
  reports::WhichShift which;
  std::string name;
  records::LookCounts counts;
  bool runs = false;  // it is the one that runs now
};

// The report of the shift as a page, which takes a while.
struct PageFacts {
  bool being_written = false;
  std::string written;  // the file; empty: not yet
};

struct ReviewFacts {
  // Counts the questions that were asked: each begins at its beginning.
  int asked = 0;
  Question question = Question::most;
  bool choosing = false;              // of the shifts on file, the newest first
  std::vector<ShiftOnFile> shifts;    // of four weeks
  std::optional<BehindFacts> behind;  // the bar that was touched
  std::optional<StoryFacts> story;    // the unit that was
  reports::WhichShift which;
  std::string shift;               // its name
  analytics::ParetoTable defects;  // kinds as they are called: "Lid: missing"
  UsualFacts usual;
  std::vector<records::WaitingUnit> waiting;  // the oldest first
  std::vector<domain::Concession> concessions;
  bool concessions_open = false;
  reports::ShiftFacts whole;  // of the last two questions
  PageFacts page;
};

}  // namespace lastlook::screens
