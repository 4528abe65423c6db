// SPDX-License-Identifier: Apache-2.0
// Two agreement studies of the invented plant: one that is done, and one that waits at the kiosk.
#pragma once

#include "kiosk/commands/demo_clock.h"
#include "kiosk/commands/demo_samples.h"
#include "kiosk/records/records.h"

namespace lastlook::commands {

Status append_demo_studies(records::Records& records, const Samples& samples, ScriptedClock& clock,
                           std::uint64_t seed);

}  // namespace lastlook::commands
