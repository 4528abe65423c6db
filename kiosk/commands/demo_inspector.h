// SPDX-License-Identifier: Apache-2.0
// An inspector by script: does at a station what a person would, event by event, through the real
// flow. What is wrong with the unit is known beforehand; whether it is seen is a matter of skill.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "kiosk/commands/demo_chance.h"
#include "kiosk/commands/demo_clock.h"
#include "kiosk/commands/demo_units.h"
#include "kiosk/flows/station.h"

namespace lastlook::commands {

struct Skill {
  double notices = 1.0;       // share of the faults that are seen
  double false_alarms = 0.0;  // findings per good step
  double step_s = 2.5;        // mean time of one step
};

// How a look ended.
struct LookEnd {
  std::string look;
  std::optional<domain::Disposition> disposition;  // nullopt: parked
  std::vector<Fault> found;
  bool held_back = false;  // drawn for a second look
};

class ScriptedInspector {
 public:
  ScriptedInspector(flows::Station& station, ScriptedClock& clock, Chance& chance)
      : station_(station), clock_(clock), chance_(chance) {}

  Status sign_in(const std::string& person, domain::Role role, const Skill& skill);
  Status sign_out();

  // From the scan to the disposition, or to the park place when a result has not come yet.
  // once_open runs when the look is open and its variant known: for the camera.
  Result<LookEnd> look_at(const LineUnit& unit, const std::function<Status()>& once_open = {});
  // A unit parked for a result that has come since.
  Result<LookEnd> take_up_again(const std::string& look, const LineUnit& unit);

 private:
  Status open(const LineUnit& unit);
  Status check_place();
  bool asks_once_more(const std::string& component) const;
  Status look_once_more(const std::string& component, bool fault);
  Status open_again(const std::string& code, const flows::Outcome& scanned);
  Status answer_steps(const LineUnit& unit, std::vector<Fault>& found);
  Status answer(const domain::Step& step, const LineUnit& unit, std::vector<Fault>& found);
  Status add_finding(const domain::Step& step, const std::string& defect);
  Result<LookEnd> finish(const LineUnit& unit, LookEnd end);
  Result<flows::Outcome> do_event(const flows::Event& event, double seconds);
  const domain::Defect* some_defect_at(const domain::Step& step);

  flows::Station& station_;
  ScriptedClock& clock_;
  Chance& chance_;
  Skill skill_;
};

}  // namespace lastlook::commands
