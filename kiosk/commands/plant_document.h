// SPDX-License-Identifier: Apache-2.0
// Master data as a person wrote them, made into the one document that is adopted.
#pragma once

#include <filesystem>
#include <string>

#include "analytics/result.h"
#include "kiosk/domain/master.h"

namespace lastlook::commands {

struct PlantDocument {
  domain::Master master;
  std::string text;  // as it is adopted, whole
};

// Pictures of limit samples that are named by their files, beside the document, are taken into it;
// without such the text stays as it is, byte for byte. bad_input: the file, the path in it and what
// was expected, also of a picture that cannot be read.
Result<PlantDocument> read_plant_document(const std::filesystem::path& file);

}  // namespace lastlook::commands
