// SPDX-License-Identifier: Apache-2.0
// A model that was approved at this station, from its file with the pictures; never another one in
// its place.
#pragma once

#include <string>

#include "analytics/result.h"
#include "kiosk/records/pictures.h"
#include "vision/model.h"

namespace lastlook::app {

// damaged: its file is missing, altered or holds another model; and what reading it said.
Result<vision::Model> approved_model(const records::Pictures& pictures, const std::string& model,
                                     const std::string& file);

}  // namespace lastlook::app
