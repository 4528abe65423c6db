// SPDX-License-Identifier: Apache-2.0
// One shift by script: every sample picture is a unit, looked at through the real flow, with the
// camera's opinion from the real pictures beside the answers.
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <string>

#include "kiosk/commands/demo_plant.h"
#include "kiosk/commands/demo_samples.h"
#include "kiosk/reports/shift_facts.h"
#include "vision/model.h"

namespace lastlook::commands {

struct PlayedShift {
  reports::WhichShift which;
  int units = 0;
  std::map<std::string, int> no_opinion;  // looks without one, by reason
};

// In the shift that runs at `now`: from its start, or from the last entry, until now.
Result<PlayedShift> play_shift(records::Records& records, const Samples& samples,
                               const vision::Model& model, const domain::Reading& now,
                               ScriptedClock& clock, const std::function<void(int, int)>& progress);

// Build records and results of the sample units, so that they can be looked at.
Status append_build_records(records::Records& records, const Samples& samples,
                            const domain::Reading& now);

}  // namespace lastlook::commands
