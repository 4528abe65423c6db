// SPDX-License-Identifier: Apache-2.0
// A model that was approved at this station, from its file with the pictures; never another one in
// its place.
#pragma once

#include <filesystem>
#include <string>

#include "analytics/result.h"
#include "kiosk/records/pictures.h"
#include "vision/model.h"

namespace lastlook::capture {

// damaged: its file is missing, altered or holds another model; and what reading it said.
Result<vision::Model> approved_model(const records::Pictures& pictures, const std::string& model,
                                     const std::string& file);

// The file of the model that judges until one is approved: the first *.model in the station's
// folder; empty: there is none. io.
Result<std::filesystem::path> model_before_approval(const std::filesystem::path& folder);

}  // namespace lastlook::capture
