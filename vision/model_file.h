// SPDX-License-Identifier: Apache-2.0
// A model as bytes: a line that says what the file is, in which version, and the checksum of what
// follows, one CBOR document (RFC 8949).
#pragma once

#include <string>
#include <string_view>

#include "analytics/result.h"
#include "vision/model.h"

namespace lastlook::vision {

std::string model_bytes(const Model& model);
// name: of the file, for the error's sentence.
Result<Model> model_from_bytes(std::string_view bytes, const std::string& name);
// What Model::id is: the checksum of what was taught.
std::string model_id(const Model& model);

}  // namespace lastlook::vision
