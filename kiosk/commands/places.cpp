// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/places.h"

#include <fmt/format.h>

#include <fstream>
#include <iterator>

namespace lastlook::commands {

namespace fs = std::filesystem;

Result<fs::path> beside_program(const std::string& folder) {
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  if (error) return fail(Category::io, "cannot tell where the program is: " + error.message());
  for (fs::path from = program.parent_path();; from = from.parent_path()) {
    for (const fs::path& place : {from / folder, from / "share/lastlook" / folder})
      if (fs::is_directory(place, error)) return place;
    if (from == from.root_path()) break;
  }
  return fail(Category::not_found, fmt::format("{}: not found in {} nor in the folders above it",
                                               folder, program.parent_path().string()));
}

Result<std::string> read_file(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return fail(Category::not_found, file.string() + ": cannot be read");
  return std::string(std::istreambuf_iterator<char>(in), {});
}

Status write_file(const fs::path& file, const std::string& whole_text) {
  const fs::path part = file.string() + ".part";
  std::ofstream out(part, std::ios::binary | std::ios::trunc);
  out << whole_text;
  out.close();
  std::error_code error;
  if (out) fs::rename(part, file, error);
  if (!out || error) return fail(Category::io, file.string() + ": cannot be written");
  return {};
}

}  // namespace lastlook::commands
