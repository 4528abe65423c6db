// SPDX-License-Identifier: Apache-2.0
// A model as bytes: a line that says what the file is, then one CBOR document (RFC 8949).
#pragma once

#include <string>

#include "analytics/result.h"
#include "vision/model.h"

namespace lastlook::vision {

std::string model_bytes(const Model& model);
// name: of the file, for the error's sentence.
Result<Model> model_from_bytes(const std::string& bytes, const std::string& name);
// What Model::id is for these bytes.
std::string model_id(const std::string& bytes);

}  // namespace lastlook::vision
