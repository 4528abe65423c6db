// SPDX-License-Identifier: Apache-2.0
// An agreement study: what is rated by whom, in which order, and what comes next. Each inspector
// rates all items once in a trial, in an order of their own; nobody goes back.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "analytics/study.h"
#include "kiosk/domain/happening.h"

namespace lastlook::domain {

constexpr std::size_t least_study_items = 2, most_study_items = 500;
constexpr std::int64_t most_study_trials = 10;
constexpr std::size_t most_study_ratings = 8;

struct StudyRating {
  std::string person;
  std::int64_t trial = 1;
  std::string item, rating;
  std::int64_t rated_us = 0;  // wall time
  bool operator==(const StudyRating&) const = default;
};

// A study as the records know it.
struct StudyRecord {
  StudyPlanned plan;
  std::int64_t planned_us = 0;
  bool ended = false;
  std::string why_ended;
  std::vector<StudyRating> ratings;  // as they were given
  bool operator==(const StudyRecord&) const = default;
};

// Bad input: the first thing that is wrong with the plan, with its path: "items[3].label".
Status check_study(const StudyPlanned& plan);

// The items' places in the order in which this person sees them in this trial: each order as likely
// as any other, the same whenever it is asked for, another one in the next trial.
std::vector<std::size_t> study_order(const StudyPlanned& plan, const std::string& person,
                                     std::int64_t trial);

// What a person rates next.
struct StudyTurn {
  std::int64_t trial = 1;
  std::size_t done = 0;      // of this trial
  std::size_t item = 0;      // which of the plan's items comes next
  std::int64_t from_us = 0;  // a new trial does not begin before; wall time
  bool operator==(const StudyTurn&) const = default;
};
// nullopt: this person has nothing to rate (any more) in it.
std::optional<StudyTurn> study_turn(const StudyRecord& study, const std::string& person);

// The study as the statistics take it; bad_input while nothing was rated.
Result<analytics::Study> rated_study(const StudyRecord& study);

}  // namespace lastlook::domain
