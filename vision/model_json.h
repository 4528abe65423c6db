// SPDX-License-Identifier: Apache-2.0
// A model as one JSON document. Reading checks every size against every other, so that no file,
// however it came about, makes a judge read where nothing is.
#pragma once

#include <nlohmann/json.hpp>

#include "vision/model.h"

namespace lastlook::vision {

nlohmann::json model_to_json(const Model& model);
// Without Model::id. Throws std::exception, saying what does not fit.
Model model_from_json(const nlohmann::json& document);

}  // namespace lastlook::vision
