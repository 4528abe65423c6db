// SPDX-License-Identifier: Apache-2.0
// Every statistic says the same six things about itself, in one order, so that nobody has to read
// its code to know what a number means.
#include <array>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string>
#include <vector>

#include "tests/places.h"

namespace {

namespace fs = std::filesystem;

constexpr std::array kinds = {
    "Definition: ", "Divisor: ", "Least n: ", "Edges: ", "Interval method: ", "Source: "};

// The text of a comment line without its slashes; nothing: it is no comment.
std::optional<std::string> comment_of(const std::string& line) {
  const auto slashes = line.find_first_not_of(' ');
  if (slashes == std::string::npos || line.compare(slashes, 2, "//") != 0) return std::nullopt;
  const auto text = line.find_first_not_of(' ', slashes + 2);
  return text == std::string::npos || text > slashes + 3 ? "" : line.substr(text);
}

struct Told {
  std::string place;
  std::vector<std::size_t> kinds;  // in the order in which they stand
};

// One a block of comment lines that begins a definition.
std::vector<Told> definitions_in(const fs::path& file) {
  std::vector<Told> all;
  std::ifstream in(file);
  bool open = false;
  std::size_t number = 0;
  for (std::string line; std::getline(in, line);) {
    ++number;
    const auto text = comment_of(line);
    if (!text) {
      open = false;
      continue;
    }
    for (std::size_t kind = 0; kind < kinds.size(); ++kind) {
      if (!text->starts_with(kinds[kind])) continue;
      if (!open) all.push_back({file.filename().string() + ":" + std::to_string(number), {}});
      open = true;
      all.back().kinds.push_back(kind);
    }
  }
  return all;
}

TEST(StatisticsHeaders, SayTheSameSixThings) {
  std::size_t told = 0;
  for (const auto& entry : fs::directory_iterator(fs::path(source_dir()) / "analytics")) {
    if (entry.path().extension() != ".h") continue;
    for (const Told& one : definitions_in(entry.path())) {
      ++told;
      EXPECT_EQ(one.kinds, (std::vector<std::size_t>{0, 1, 2, 3, 4, 5})) << one.place;
    }
  }
  EXPECT_GT(told, 40U);
}

}  // namespace
