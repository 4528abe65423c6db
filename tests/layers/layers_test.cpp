// SPDX-License-Identifier: Apache-2.0
// The map of DEVELOPERS.md holds: every include goes up the list of rooms, never down, and each
// outside library is known only where it belongs.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>

#include "tests/places.h"

namespace {

namespace fs = std::filesystem;
using ::testing::IsEmpty;

const fs::path root = source_dir();

// A room may use itself and those before it.
const std::vector<std::string> rooms = {
    "analytics",     "vision",         "kiosk/domain",  "kiosk/text",  "kiosk/records",
    "kiosk/sync",    "kiosk/trial",    "kiosk/capture", "kiosk/flows", "kiosk/reports",
    "kiosk/screens", "kiosk/commands", "kiosk/app"};

// Outside headers and the only rooms that may include them.
const std::map<std::string, std::vector<std::string>> owners = {
    {"imgui", {"kiosk/screens", "kiosk/app"}},
    {"GLFW/", {"kiosk/app"}},
    {"systemd/", {"kiosk/app"}},
    {"AL/", {"kiosk/app"}},
    {"sqlite3.h", {"kiosk/records"}},
    {"pqxx/", {"kiosk/records", "kiosk/sync", "kiosk/trial"}},
    {"sodium.h", {"kiosk/records"}},
    {"opencv2/", {"vision", "kiosk/capture", "kiosk/commands", "kiosk/app"}},
    {"ZXing/", {"vision"}},
    {"boost/math", {"analytics"}},
    {"CLI/", {"kiosk/commands"}},
    {"cairo", {"kiosk/reports"}},
    {"pango/", {"kiosk/reports"}},
    {"glib", {"kiosk/reports"}},
};

struct Include {
  std::string room, file, target;
};

std::string room_of(const std::string& path) {
  std::string best;
  for (const std::string& room : rooms)
    if (path.starts_with(room + "/") && room.size() > best.size()) best = room;
  return best;
}

void read_includes(const fs::path& file, std::vector<Include>& all) {
  static const std::regex include(R"(^\s*#include\s*["<]([^">]+)[">])");
  const std::string name = fs::relative(file, root).generic_string();
  std::ifstream in(file);
  std::smatch match;
  for (std::string line; std::getline(in, line);)
    if (std::regex_search(line, match, include)) all.push_back({room_of(name), name, match[1]});
}

std::vector<Include> all_includes() {
  std::vector<Include> all;
  for (const char* top : {"analytics", "vision", "kiosk"})
    for (const auto& entry : fs::recursive_directory_iterator(root / top))
      if (entry.path().extension() == ".cpp" || entry.path().extension() == ".h")
        read_includes(entry.path(), all);
  return all;
}

auto rank(const std::string& room) {
  return std::ranges::find(rooms, room) - rooms.begin();
}

TEST(Layers, EveryIncludeGoesUpTheList) {
  std::vector<std::string> wrong;
  for (const Include& include : all_includes()) {
    const std::string target = room_of(include.target);
    if (!target.empty() && rank(target) > rank(include.room))
      wrong.push_back(include.file + " includes " + include.target);
  }
  EXPECT_THAT(wrong, IsEmpty());
}

// What decides, draws, reports and remembers works on opinions, never on images.
TEST(Layers, ScreensAndFlowsKnowNoPictures) {
  std::vector<std::string> wrong;
  for (const Include& include : all_includes())
    for (const std::string room :
         {"kiosk/flows", "kiosk/screens", "kiosk/reports", "kiosk/records"})
      if (include.room == room && include.target.starts_with("vision/"))
        wrong.push_back(include.file + " includes " + include.target);
  EXPECT_THAT(wrong, IsEmpty());
}

TEST(Layers, OutsideLibrariesAreKnownOnlyWhereTheyBelong) {
  std::vector<std::string> wrong;
  for (const Include& include : all_includes())
    for (const auto& [header, allowed] : owners)
      if (include.target.starts_with(header) && std::ranges::count(allowed, include.room) == 0)
        wrong.push_back(include.file + " includes " + include.target);
  EXPECT_THAT(wrong, IsEmpty());
}

TEST(Layers, TheListIsNotEmpty) {
  EXPECT_GT(all_includes().size(), 50U);
}

}  // namespace
