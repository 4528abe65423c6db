// SPDX-License-Identifier: Apache-2.0
#include "vision/model.h"

#include <fstream>

#include "tests/vision/samples.h"
#include "vision/judge.h"
#include "vision/model_file.h"

namespace lastlook::vision {
namespace {

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
  std::string later = bytes;
  later[std::string("Lastlook model ").size()] = '9';
  EXPECT_EQ(model_from_bytes(later, "later.model").error().category, Category::newer);
}

}  // namespace
}  // namespace lastlook::vision
