// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "kiosk/records/entry.h"
#include "kiosk/records/upcast.h"
#include "tests/kiosk/records/one_of_each.h"
#include "tests/kiosk/records/station.h"
#include "tests/places.h"

namespace lastlook::records {
namespace {

using ::testing::HasSubstr;
using testing::must;
using testing::one_of_each;

Entry from_golden(const nlohmann::json& line) {
  Entry entry;
  entry.journal = line["journal"];
  entry.seq = line["seq"];
  entry.stamp = line["stamp"];
  entry.actor = line["actor"];
  entry.kind = line["kind"];
  entry.version = line["version"];
  entry.body = line["body"];
  return entry;
}

// A journal as version 1 wrote it; of the kinds that have changed since, one as version 2 did. The
// hashes were made with Python's hashlib.blake2b from the description in entry.h, not with this
// program.
std::vector<nlohmann::json> golden_lines(int version = 1) {
  std::ifstream file(
      fmt::format("{}/tests/kiosk/records/golden/version_{}.jsonl", source_dir(), version));
  std::vector<nlohmann::json> lines;
  for (std::string line; std::getline(file, line);) lines.push_back(nlohmann::json::parse(line));
  return lines;
}

TEST(Golden, EveryKindOfVersion1StillMeansTheSame) {
  const auto lines = golden_lines();
  const auto expected = one_of_each();
  ASSERT_EQ(lines.size(), expected.size());
  for (std::size_t i = 0; i < lines.size(); ++i)
    EXPECT_EQ(must(decode(from_golden(lines[i]))), expected[i]) << lines[i]["kind"];
}

TEST(Golden, HashesAreThoseOfAnotherImplementation) {
  for (const int version : {1, 2}) {
    Hash previous{};
    for (const auto& line : golden_lines(version)) {
      Entry entry = from_golden(line);
      entry.previous = previous;
      EXPECT_EQ(to_hex(hash_of(entry)), line["hash"]) << line["kind"];
      previous = hash_of(entry);
    }
  }
}

// Version 2 of an opinion names its overlay, that of an opened look the one that it repeats, that
// of a build record the day, that of a revision the second person.
TEST(Golden, Version2IsReadAndWrittenByteForByte) {
  const auto lines = golden_lines(2);
  ASSERT_EQ(lines.size(), 5U);
  for (const auto& line : lines) {
    const domain::Happening read = must(decode(from_golden(line)));
    EXPECT_EQ(newest_version(read), 2) << line["kind"];
    EXPECT_EQ(encode(read), line["body"]) << line["kind"];
    if (const auto* opinion = std::get_if<domain::OpinionGiven>(&read))
      EXPECT_EQ(opinion->overlay, "ef56");
    else if (const auto* judged = std::get_if<domain::PartJudged>(&read))
      EXPECT_EQ(judged->overlay, "ef56");
    else if (const auto* built = std::get_if<domain::UnitBuilt>(&read))
      EXPECT_EQ(built->made, "2026-11-24");
    else if (const auto* adopted = std::get_if<domain::MasterAdopted>(&read))
      EXPECT_EQ(adopted->second_person, "p-2");
    else
      EXPECT_EQ(std::get<domain::LookOpened>(read).second_of, "k-1");
  }
}

TEST(Golden, HasEveryKindThereIs) {
  std::set<std::string> kinds;
  for (const auto& line : golden_lines()) kinds.insert(line["kind"]);
  EXPECT_EQ(kinds.size(), std::variant_size_v<domain::Happening>);
}

TEST(Codec, WritesTheBytesOfTheGoldenEntriesWhileTheyAreOfTheNewestVersion) {
  const auto lines = golden_lines();
  const auto all = one_of_each();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (newest_version(all[i]) == 1) {
      EXPECT_EQ(encode(all[i]), lines[i]["body"]);
    }
  }
}

Entry signed_in(const std::string& body, std::int64_t version = 1) {
  Entry entry;
  entry.kind = "signed_in";
  entry.version = version;
  entry.body = body;
  return entry;
}

TEST(Codec, NamesTheFieldThatIsWrong) {
  const std::map<std::string, std::string> wrong = {
      {R"({"person":"p-1"})", "signed_in version 1: field 'role' is missing"},
      {R"({"person":7,"role":"inspector"})", "signed_in version 1: field 'person' is not a text"},
      {R"({"person":"p-1","role":"king"})",
       "signed_in version 1: field 'role' is not one of its words"},
      {R"({"person":"p-1",)", "the body of signed_in is no JSON object"},
      {"", "the body of signed_in is no JSON object"}};
  for (const auto& [body, message] : wrong) {
    const auto read = decode(signed_in(body));
    ASSERT_FALSE(read) << body;
    EXPECT_EQ(read.error().category, Category::damaged);
    EXPECT_EQ(read.error().message, message);
  }
}

TEST(Codec, NamesAFieldWithinAList) {
  Entry entry;
  entry.kind = "unit_built";
  entry.body = R"({"serial":"1","variant":"v","results":[{"test":"leak","passed":"yes"}]})";
  EXPECT_THAT(decode(entry).error().message,
              HasSubstr("field 'results[0].passed' is not true or false"));
}

TEST(Codec, RefusesAKindItDoesNotKnow) {
  Entry entry;
  entry.kind = "moon_landed";
  entry.body = "{}";
  EXPECT_THAT(decode(entry).error().message, HasSubstr("'moon_landed' is no kind of entry"));
}

TEST(Codec, AnEntryOfALaterVersionSaysSo) {
  const auto read = decode(signed_in(R"({"person":"p-1","role":"inspector"})", 2));
  EXPECT_EQ(read.error().category, Category::newer);
}

TEST(Codec, KeepsBytesThatAreNoTextReadable) {
  const std::string body = encode(domain::OtherScanSeen{"k-1", "1", "CP\xff\xfe"});
  Entry entry;
  entry.kind = "other_scan_seen";
  entry.body = body;
  const auto read = must(decode(entry));
  EXPECT_EQ(std::get<domain::OtherScanSeen>(read).seen_code, "CP\xef\xbf\xbd\xef\xbf\xbd");
}

// Two invented changes of a kind: a field renamed, then another added.
constexpr Upcaster invented[] = {
    {"signed_in", 2, [](Json& body) { body["role"] = "inspector"; }},
    {"signed_in", 1,
     [](Json& body) {
       body["person"] = body["who"];
       body.erase("who");
     }},
};

TEST(Upcast, GoesThroughEveryVersionInBetween) {
  Json body = {{"who", "p-1"}};
  must(upcast(body, "signed_in", 1, invented));
  EXPECT_EQ(body.dump(), R"({"person":"p-1","role":"inspector"})");
  EXPECT_EQ(newest_version("signed_in", invented), 3);
  EXPECT_EQ(newest_version("signed_out", invented), 1);
}

TEST(Upcast, LeavesTheNewestAsItIs) {
  Json body = {{"person", "p-1"}};
  must(upcast(body, "signed_in", 3, invented));
  EXPECT_EQ(body.dump(), R"({"person":"p-1"})");
}

TEST(Upcast, RefusesVersionsThatThereAreNot) {
  Json body;
  EXPECT_EQ(upcast(body, "signed_in", 4, invented).error().category, Category::newer);
  EXPECT_EQ(upcast(body, "signed_in", 0, invented).error().category, Category::damaged);
}

TEST(Stamp, IsReadAsItWasWritten) {
  Stamp stamp;
  stamp.reading = testing::StillClock().now;
  stamp.reading.offset_min = -210;
  stamp.calendar_revision = 7;
  stamp.production_date = "2026-11-25";
  stamp.shift = "early";
  stamp.quarter = 24;
  const Stamp read = must(read_stamp(write_stamp(stamp)));
  EXPECT_EQ(write_stamp(read), write_stamp(stamp));
  EXPECT_EQ(read.reading.wall_us, 1'795'582'800'000'000);
  EXPECT_EQ(read.reading.offset_min, -210);
  EXPECT_EQ(read.shift, "early");
}

TEST(Stamp, ThatIsDamagedSaysWhere) {
  EXPECT_THAT(read_stamp("{}").error().message, HasSubstr("field 'wall_us' is missing"));
  EXPECT_EQ(read_stamp("now").error().category, Category::damaged);
}

}  // namespace
}  // namespace lastlook::records
