// SPDX-License-Identifier: Apache-2.0
// Every code in the source is in the list, and nothing in the list is without a use.
#include "kiosk/flows/notices.h"
#include "tests/places.h"

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>

namespace lastlook::flows {
namespace {

std::string sources() {
  std::string all;
  for (const auto& file : std::filesystem::directory_iterator(source_dir() + "/kiosk/flows")) {
    if (file.path().extension() != ".cpp") continue;
    std::ifstream in(file.path());
    all.append(std::istreambuf_iterator<char>(in), {});
  }
  return all;
}

std::set<std::string> codes_in(const std::string& text) {
  static const std::regex made(
      R"re((?:notice\(|Notice\{|refuse\(|notices\.push_back\(\s*\{)\s*"([a-z_]+)")re");
  std::set<std::string> codes;
  for (auto it = std::sregex_iterator(text.begin(), text.end(), made); it != std::sregex_iterator();
       ++it)
    codes.insert((*it)[1]);
  return codes;
}

TEST(Notices, TheListIsWhatTheFlowSays) {
  std::set<std::string> listed;
  for (const NoticeKind& kind : notice_kinds)
    EXPECT_TRUE(listed.insert(std::string(kind.code)).second) << kind.code << " is there twice";
  EXPECT_EQ(codes_in(sources()), listed);
}

TEST(Notices, EveryReasonInTheListsIsGivenSomewhere) {
  const std::string text = sources();
  for (const auto& reasons : {std::vector(hold_reasons.begin(), hold_reasons.end()),
                              std::vector(concession_reasons.begin(), concession_reasons.end())})
    for (const std::string_view reason : reasons)
      EXPECT_NE(text.find('"' + std::string(reason) + '"'), std::string::npos) << reason;
}

}  // namespace
}  // namespace lastlook::flows
