// SPDX-License-Identifier: Apache-2.0
// The words in assets/strings and the keys in the sources are the same set.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>

#include "kiosk/flows/notices.h"
#include "kiosk/text/languages.h"
#include "tests/places.h"

namespace lastlook::screens {
namespace {

namespace fs = std::filesystem;

text::Strings english() {
  return text::Strings::load(source_dir() + "/assets/strings/en.json").value();
}

// Every quoted word with a point in it, as keys are written: "waiting.scan", "severity.{}".
std::set<std::string> quoted_keys() {
  std::set<std::string> keys;
  const std::regex key(R"re("([a-z_]+\.[a-z_{}.]*)")re");
  for (const char* folder : {"kiosk/screens", "kiosk/app", "kiosk/reports", "kiosk/commands"}) {
    for (const auto& file : fs::directory_iterator(fs::path(source_dir()) / folder)) {
      std::ifstream in(file.path());
      const std::string text(std::istreambuf_iterator<char>(in), {});
      for (std::sregex_iterator it(text.begin(), text.end(), key), end; it != end; ++it)
        keys.insert((*it)[1]);
    }
  }
  return keys;
}

TEST(Strings, NoneIsUnused) {
  const auto keys = quoted_keys();
  const text::Strings say = english();
  for (const auto& [key, text] : say.all()) {
    const std::string family = key.substr(0, key.rfind('.') + 1);
    const bool used = keys.contains(key) || keys.contains(family) || keys.contains(family + "{}");
    EXPECT_TRUE(used) << key << " is in en.json and nowhere else";
  }
}

TEST(Strings, NoneIsMissing) {
  const auto all = english().all();
  const std::regex say(R"re(say\)?\(\s*(?:[a-z_]+ \? )?"([a-z_]+\.[a-z_]+)")re");
  for (const char* folder : {"kiosk/screens", "kiosk/app", "kiosk/reports", "kiosk/commands"}) {
    for (const auto& file : fs::directory_iterator(fs::path(source_dir()) / folder)) {
      std::ifstream in(file.path());
      const std::string text(std::istreambuf_iterator<char>(in), {});
      for (std::sregex_iterator it(text.begin(), text.end(), say), end; it != end; ++it)
        EXPECT_TRUE(all.contains((*it)[1].str())) << (*it)[1] << " in " << file.path();
    }
  }
}

// Every word of a type has its text: "severity.critical", "severity.major", …
template <class Word>
void expect_family(const std::map<std::string, std::string, std::less<>>& all,
                   const std::string& family) {
  for (int i = 0; to_word(static_cast<Word>(i)) != "?"; ++i) {
    const std::string key = family + std::string(to_word(static_cast<Word>(i)));
    EXPECT_TRUE(all.contains(key)) << key;
  }
}

TEST(Strings, EveryWordOfTheTradeHasItsText) {
  using namespace domain;
  const auto all = english().all();
  expect_family<Role>(all, "role.");
  expect_family<Severity>(all, "severity.");
  expect_family<Opinion>(all, "opinion.");
  expect_family<ParkReason>(all, "park_reason.");
  expect_family<UpstreamTest>(all, "upstream_test.");
  for (const char* family : {"disposition.", "decide.", "decide_second.", "closed.", "closed_do."})
    expect_family<Disposition>(all, family);
}

TEST(Strings, EveryNoticeOfTheFlowHasItsWords) {
  const auto all = english().all();
  const auto has = [&](const std::string& key) { EXPECT_TRUE(all.contains(key)) << key; };
  for (const flows::NoticeKind& kind : flows::notice_kinds) has("notice." + std::string(kind.code));
  for (const auto why : flows::obstacle_whys) has("obstacle." + std::string(flows::to_word(why)));
  for (const auto reason : flows::hold_reasons) has("hold_reason." + std::string(reason));
  for (const auto reason : flows::concession_reasons)
    has("concession_reason." + std::string(reason));
}

std::multiset<std::string> placeholders_in(const std::string& text) {
  std::multiset<std::string> found;
  const std::regex placeholder(R"(\{\d\})");
  for (std::sregex_iterator it(text.begin(), text.end(), placeholder), end; it != end; ++it)
    found.insert(it->str());
  return found;
}

// A text that one language lacks, or one that forgets or invents what is filled in.
TEST(Strings, EveryLanguageSaysTheSame) {
  const auto languages = text::Languages::load(source_dir() + "/assets/strings", "en").value();
  EXPECT_GE(languages.all().size(), 2U);
  const auto& english = languages.in("en").all();
  for (const auto& [code, say] : languages.all()) {
    for (const auto& [key, text] : say.all())
      EXPECT_TRUE(english.contains(key)) << key << " is in " << code << " and not in English";
    for (const auto& [key, text] : english) {
      ASSERT_TRUE(say.all().contains(key)) << key << " is not in " << code;
      EXPECT_EQ(placeholders_in(say(key)), placeholders_in(text)) << code << ": " << key;
    }
  }
}

// As many placeholders as the notice has subjects, or fewer: none that stays unfilled.
TEST(Strings, NoNoticeAsksForASubjectThatItDoesNotHave) {
  const text::Strings say = english();
  for (const flows::NoticeKind& kind : flows::notice_kinds) {
    std::vector<std::string> values;
    for (const std::string_view subject : kind.subjects)
      if (!subject.empty()) values.push_back("x");
    const std::string filled = say("notice." + std::string(kind.code), values);
    EXPECT_EQ(filled.find('{'), filled.npos) << filled;
  }
}

}  // namespace
}  // namespace lastlook::screens
