// SPDX-License-Identifier: Apache-2.0
// Someone who works on at a station whatever its state is, with a bit of everything, from a seed.
#pragma once

#include <random>
#include <string>
#include <utility>
#include <vector>

#include "kiosk/flows/station.h"

namespace lastlook::faults {

class RandomInspector {
 public:
  explicit RandomInspector(unsigned seed) : random_(seed) {}

  // A serial nobody has used, as the small plant prints it.
  std::string new_serial() {
    return std::to_string(between(10'000, 99'999)) + "-" + std::to_string(between(10'000, 99'999));
  }
  bool chance(double p) { return std::bernoulli_distribution(p)(random_); }
  int between(int low, int high) { return std::uniform_int_distribution<int>(low, high)(random_); }

  // The next touch. At `waiting` it scans `serial`.
  flows::Event next(flows::Station& station, const std::string& serial) {
    const flows::Inspection& state = station.state();
    if (state.open && chance(0.05)) return flows::Park{domain::ParkReason::needs_advice, ""};
    switch (flows::stage_of(state)) {
      case flows::Stage::signed_out:
        return flows::SignIn{"p-1", domain::Role::inspector};
      case flows::Stage::waiting:
        if (!state.parked.empty() && chance(0.3))
          return flows::Resume{state.parked.front().opened.look};
        if (chance(0.1)) return flows::NoReadableTag{};
        return flows::Scan{serial, false};
      case flows::Stage::confirm_variant:
        return flows::ConfirmVariant{"CP-210"};
      case flows::Stage::step:
        return answer(*state.open);
      case flows::Stage::verdict:
        return decide(station);
      case flows::Stage::challenge:  // this plant has no challenge parts
        break;
    }
    return flows::SignOut{};
  }

 private:
  flows::Event answer(const flows::OpenLook& look) {
    const flows::StepState& step = look.steps.at(flows::next_step(look).value());
    const std::string& component = step.step.component;
    if (step.answer == domain::Answer::nonconforming)
      return flows::AddFinding{component, "something_else", {}, domain::Place{0.5, 0.5}, "", "odd"};
    return flows::AnswerStep{
        component, chance(0.2) ? domain::Answer::nonconforming : domain::Answer::conforming,
        "present"};
  }

  flows::Event decide(flows::Station& station) {
    const auto unit = station.lookups().unit(station.state().open->opened.serial);
    const auto possible = flows::possible_dispositions(station.state(), *unit);
    if (possible.empty()) return flows::Park{};
    const auto n = static_cast<int>(possible.size());
    return flows::Close{possible[static_cast<std::size_t>(between(0, n - 1))], ""};
  }

  std::mt19937 random_;
};

// What a person sees of the state: who, which unit, every answer and finding, the step to do, what
// is parked.
inline std::string describe(const flows::Inspection& state) {
  const auto look = [](const flows::OpenLook& one) {
    std::string text = one.opened.look + " " + one.opened.serial + one.opened.ticket + " " +
                       one.variant + " revision " + std::to_string(one.opened.revision);
    for (const flows::StepState& step : one.steps)
      text += " " + step.step.component + "=" + std::string(domain::to_word(step.answer));
    for (const domain::FindingAdded& finding : one.findings)
      text += " " + finding.finding + ":" + finding.component + "/" + finding.defect;
    const auto next = flows::next_step(one);
    return text + " next " + (next ? std::to_string(*next) : "none");
  };
  std::string text = "person " + state.person + "; stage " +
                     std::to_string(static_cast<int>(flows::stage_of(state)));
  if (state.open) text += "; open " + look(*state.open);
  for (const flows::OpenLook& one : state.parked) text += "; parked " + look(one);
  return text;
}

}  // namespace lastlook::faults
