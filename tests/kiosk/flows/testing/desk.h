// SPDX-License-Identifier: Apache-2.0
// A station's desk without a station: events go in, happenings are kept, the state follows.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "kiosk/domain/happening.h"
#include "kiosk/flows/inspection.h"
#include "tests/kiosk/domain/plant.h"
#include "tests/kiosk/flows/testing/past.h"

namespace lastlook::flows::testing {

using namespace domain;

inline constexpr const char* unit_a = "26330-00001";
inline constexpr const char* unit_b = "26330-00002";
inline constexpr const char* code_a = "CP210-26330-00001";
inline constexpr const char* code_b = "CP210-26330-00002";

class Desk {
 public:
  Desk() {
    past.master = state.master = domain::testing::small_plant();
    for (const char* serial : {unit_a, unit_b}) built(serial, "CP-210");
  }

  // A desk with the inspector signed in, and one with unit A's look open.
  static Desk with_inspector() {
    Desk desk;
    desk.give(SignIn{"p-ina", Role::inspector});
    return desk;
  }
  static Desk with_open_unit() {
    Desk desk = with_inspector();
    desk.give(Scan{code_a});
    return desk;
  }

  void happen(const Happening& happening) {
    journal.emplace_back(happening, now);
    past.take(happening, now, state.person);
    evolve(state, happening, now);
  }

  void built(const std::string& serial, const std::string& variant) {
    happen(UnitBuilt{serial, variant, passed_results()});
  }

  // A tester's result that comes in now.
  void measured(const std::string& serial, UpstreamTest test, bool passed) {
    ResultEntered entered;
    entered.serial = serial;
    entered.result.test = test;
    entered.result.passed = passed;
    entered.result.measured_us = now.wall_us;
    happen(entered);
  }

  std::vector<UpstreamResult> passed_results() const {
    const std::int64_t earlier_us = now.wall_us - 1'000'000;
    return {{UpstreamTest::leak, true, "", earlier_us},
            {UpstreamTest::functional, true, "", earlier_us}};
  }

  Result<Outcome> attempt(const Event& event) { return decide(state, event, past, now); }

  Outcome give(const Event& event) {
    now.wall_us += 1'000'000;
    now.mono_us += 1'000'000;
    const auto outcome = attempt(event);
    EXPECT_TRUE(outcome) << outcome.error().message;
    if (!outcome) return {};
    for (const Happening& happening : outcome->happenings) happen(happening);
    return *outcome;
  }

  // The category with which the event is turned down; the state stays as it is.
  Category refusal(const Event& event) {
    const auto outcome = attempt(event);
    EXPECT_FALSE(outcome) << "was not refused";
    return outcome ? Category::io : outcome.error().category;
  }

  void pass_seconds(std::int64_t seconds) { now.wall_us += seconds * 1'000'000; }

  void answer_all(Answer answer = Answer::conforming) {
    const auto steps = state.open->steps;
    for (const StepState& step : steps) give(AnswerStep{step.step.component, answer});
  }

  // Looks at unit A again and again; leaves it closed.
  void close_with_seal_finding(Disposition disposition) {
    give(AddFinding{"seal", "not_seated"});
    give(Close{disposition, ""});
  }

  Inspection state;
  Past past;
  Reading now{1'790'000'000'000'000, 5'000'000, "boot-1", 60};
  std::vector<std::pair<Happening, Reading>> journal;
};

// The code of the only notice; "" when there is none.
inline std::string said(const Outcome& outcome) {
  EXPECT_LE(outcome.notices.size(), 1U);
  return outcome.notices.empty() ? "" : outcome.notices.front().code;
}

template <class Kind>
const Kind* only(const Outcome& outcome) {
  EXPECT_EQ(outcome.happenings.size(), 1U);
  return outcome.happenings.empty() ? nullptr : std::get_if<Kind>(&outcome.happenings.front());
}

inline std::vector<std::string> kinds(const Outcome& outcome) {
  std::vector<std::string> all;
  for (const Happening& happening : outcome.happenings) all.emplace_back(kind_of(happening));
  return all;
}

}  // namespace lastlook::flows::testing
