// SPDX-License-Identifier: Apache-2.0
// Where the files that come with the program are.
#pragma once

#include <filesystem>
#include <string>

#include "analytics/result.h"

namespace lastlook::commands {

// A folder that comes with the program ("assets/plant", "sample-images"), looked for in the folder
// of the program, in those above it, and in share/lastlook beside them. not_found: where it was
// looked for.
Result<std::filesystem::path> beside_program(const std::string& folder);

Result<std::string> read_file(const std::filesystem::path& file);                     // not_found
Status write_file(const std::filesystem::path& file, const std::string& whole_text);  // io

}  // namespace lastlook::commands
