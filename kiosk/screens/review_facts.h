// SPDX-License-Identifier: Apache-2.0
// What the review of a shift is told: five questions, of which one is open, and what the records
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
#include "kiosk/records/shift_queries.h"
#include "kiosk/reports/usual.h"

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

struct ReviewFacts {
  Question question = Question::most;
  std::string production_date, shift;  // its name
  analytics::ParetoTable defects;      // kinds as they are called: "Lid: missing"
  UsualFacts usual;
  std::vector<records::WaitingUnit> waiting;  // the oldest first
};

}  // namespace lastlook::screens
