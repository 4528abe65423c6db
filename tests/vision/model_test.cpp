// SPDX-License-Identifier: Apache-2.0
#include "vision/model.h"

#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/vision/samples.h"
#include "vision/judge.h"
#include "vision/model_file.h"
#include "vision/model_json.h"

namespace lastlook::vision {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

TEST(ModelFile, GivesTheSameOpinionsWhenReadBack) {
  const Model& model = testing::taught_pump();
  const auto path = std::filesystem::path(::testing::TempDir()) / "read-back.model";
  ASSERT_TRUE(save_model(model, path));
  const Result<Model> again = load_model(path);
  ASSERT_TRUE(again) << again.error().message;
  EXPECT_EQ(again->id, model.id);
  const cv::Mat picture = testing::pump_picture("check-009.jpg");
  const Judgement before = *judge(model, picture, "CP-210");
  const Judgement after = *judge(*again, picture, "CP-210");
  for (std::size_t i = 0; i < before.components.size(); ++i)
    EXPECT_DOUBLE_EQ(before.components[i].score, after.components[i].score);
}

TEST(ModelFile, TellsWhyItCannotBeRead) {
  EXPECT_EQ(load_model("/nowhere/at/all.model").error().category, Category::not_found);
  EXPECT_EQ(model_from_bytes("file,variant\n", "labels.csv").error().category, Category::bad_input);
  const std::string bytes = model_bytes(testing::taught_pump());
  const std::string half = bytes.substr(0, bytes.size() / 2);
  EXPECT_EQ(model_from_bytes(half, "half.model").error().category, Category::damaged);
  std::string other = bytes;
  char& version = other[std::string("Lastlook model ").size()];
  version = '9';
  EXPECT_EQ(model_from_bytes(other, "later.model").error().category, Category::newer);
  version = '1';
  EXPECT_THAT(model_from_bytes(other, "earlier.model").error().message,
              HasSubstr("teach it again"));
}

TEST(ModelFile, RefusesOneChangedBitAnywhere) {
  const std::string bytes = model_bytes(testing::taught_pump());
  cv::RNG rng(3);
  for (int i = 0; i < 300; ++i) {
    std::string changed = bytes;
    const auto at = i < 40
                        ? static_cast<std::size_t>(i)
                        : static_cast<std::size_t>(rng.uniform(0, static_cast<int>(bytes.size())));
    changed[at] = static_cast<char>(changed[at] ^ (1 << rng.uniform(0, 8)));
    const Result<Model> read = model_from_bytes(changed, "changed.model");
    ASSERT_FALSE(read) << "byte " << at;
    EXPECT_THAT(read.error().message, HasSubstr("changed.model: "));
  }
}

TEST(ModelFile, DoesNotReplaceAModelItCannotWrite) {
  EXPECT_EQ(save_model(testing::taught_pump(), "/nowhere/at/all.model").error().category,
            Category::io);
}

// A document whose parts do not fit each other, though each could stand alone.
class Misfit : public ::testing::Test {
 protected:
  static std::string complaint(json document) {
    try {
      const Model model = model_from_json(document);
      return "";
    } catch (const std::exception& error) {
      return error.what();
    }
  }
  json document = model_to_json(testing::taught_pump());
};

TEST_F(Misfit, IsRefusedWithItsReason) {
  EXPECT_EQ(complaint(document), "");
  json one = document;
  one["picture"] = {0, 960};
  EXPECT_THAT(complaint(one), HasSubstr("picture of an impossible size"));
  one = document;
  one["variants"][0]["expected"].erase(0);
  EXPECT_THAT(complaint(one), HasSubstr("does not name every component"));
  one = document;
  one["taught"][0]["look_of"].push_back(0);
  EXPECT_THAT(complaint(one), HasSubstr("without a look"));
  one = document;
  one["taught"][2]["look_of"][0] = 7;
  EXPECT_THAT(complaint(one), HasSubstr("without a look"));
  one = document;
  one["taught"][0]["width"] = one["taught"][0]["width"].get<int>() + 8;
  EXPECT_THAT(complaint(one), HasSubstr("table of another size"));
  one = document;
  one["taught"][0]["right"][0]["offset"] = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(complaint(one), HasSubstr("not finite"));
  one = document;
  one["alignment"]["anchors"][3]["patch"]["rows"] = 8;
  EXPECT_THAT(complaint(one), HasSubstr("table"));
  one = document;
  one["thumbnail"] = one["contrast"];
  EXPECT_THAT(complaint(one), HasSubstr("table of another size"));
  one = document;
  one["taught"].erase(1);
  EXPECT_THAT(complaint(one), HasSubstr("component that was not taught"));
}

// What passes the reading can be judged with: no byte of the document makes the judge fall over.
TEST_F(Misfit, NeverMakesTheJudgeFall) {
  const cv::Mat picture = testing::pump_picture("check-009.jpg");
  std::vector<std::uint8_t> bytes = json::to_cbor(document);
  cv::RNG rng(4);
  int read = 0;
  for (int i = 0; i < 150; ++i) {
    std::vector<std::uint8_t> changed = bytes;
    const auto at = static_cast<std::size_t>(rng.uniform(0, static_cast<int>(bytes.size())));
    changed[at] = static_cast<std::uint8_t>(changed[at] ^ (1 << rng.uniform(0, 8)));
    try {
      const Model model = model_from_json(json::from_cbor(changed));
      ++read;
      if (read > 40) continue;
      const Result<Judgement> judgement = judge(model, picture, model.variants[0].name);
      if (!judgement) continue;
      for (const ComponentOpinion& one : judgement->components)
        EXPECT_TRUE(one.score >= 0 && one.score <= 1);
    } catch (const std::exception& error) {
      EXPECT_STRNE(error.what(), "");
    }
  }
  EXPECT_GT(read, 0);
}

}  // namespace
}  // namespace lastlook::vision
