// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "kiosk/flows/station.h"
#include "kiosk/screens/facts.h"

namespace lastlook::app {

// What the screens are told of the camera's proof: what is due, the units that a failed one puts in
// doubt, the scores of the part that is looked at. While a unit is open nothing of it changes.
Status gather_proofs(flows::Station& station, const std::string& model, const domain::Reading& now,
                     screens::ProofFacts& proof);

}  // namespace lastlook::app
