// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/assist.h"

#include "tests/kiosk/capture/fakes.h"
#include "tests/kiosk/capture/small_product.h"

namespace lastlook::capture {
namespace {

using std::chrono::milliseconds;
using testing::Scene;

const vision::Model& model() {
  static const vision::Model taught = testing::taught_small_product();
  return taught;
}

struct AssistTest : ::testing::Test {
  std::shared_ptr<testing::FakeSource> source = std::make_shared<testing::FakeSource>();
  testing::FakeClock clock;
  std::shared_ptr<Camera> camera =
      std::make_shared<Camera>(source, clock, CameraOptions{.first_retry = milliseconds(1)});
  testing::Signal signal;
  std::mutex mutex;
  std::vector<Assistance> assistance;
  std::vector<std::vector<std::string>> codes;
  std::unique_ptr<Assist> assist;

  AssistTest() {
    Assist::Callbacks callbacks;
    callbacks.assistance = [this](Assistance given) {
      const std::lock_guard lock(mutex);
      assistance.push_back(std::move(given));
    };
    callbacks.codes = [this](std::vector<std::string> read) {
      const std::lock_guard lock(mutex);
      codes.push_back(std::move(read));
    };
    assist = std::make_unique<Assist>(camera, callbacks, AssistOptions{milliseconds(1)});
    camera->listen([this] { assist->frame_arrived(); });
  }
  ~AssistTest() override { camera->listen({}); }

  void show(const Scene& scene) { source->queue(Picture{testing::picture_of(scene), {}}); }
  // The n-th that was delivered, from 0; nullopt: it never came.
  std::optional<Assistance> delivered(std::size_t n) {
    std::optional<Assistance> found;
    signal.wait_until([&] {
      const std::lock_guard lock(mutex);
      if (assistance.size() > n) found = assistance[n];
      return found.has_value();
    });
    return found;
  }
  std::string_view reason(std::size_t n) {
    const auto given = delivered(n);
    if (!given) return "nothing delivered";
    const auto* withheld = std::get_if<Withheld>(&*given);
    return withheld == nullptr ? "given" : to_word(withheld->why);
  }
};

TEST_F(AssistTest, SaysWhatItWaitsForThenGivesOneOpinion) {
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  assist->ask({"look-1", "SP", "0042"});
  EXPECT_EQ(reason(0), "camera_not_ready");
  show({.plate = false});
  EXPECT_EQ(reason(1), "no_unit");
  show({.code = "SP1-0043"});
  EXPECT_EQ(reason(2), "other_tag");
  show({.code = "SP1-0042"});
  ASSERT_EQ(reason(3), "given");
  const Given given = std::get<Given>(*delivered(3));
  EXPECT_EQ(given.opinion.look, "look-1");
  EXPECT_EQ(given.opinion.frame, 3);
  EXPECT_EQ(given.opinion.model, model().id);
}

TEST_F(AssistTest, JudgesTheSameFrameAgainOnlyWhenAsked) {
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  show({.code = "SP1-0042"});
  ASSERT_TRUE(signal.wait_until([&] { return camera->latest() != nullptr; }));
  assist->ask({"look-1", "SP", "0042"});
  ASSERT_EQ(reason(0), "given");
  assist->ask({"look-1", "SP", "0042"});
  ASSERT_EQ(reason(1), "given");
  assist->ask({"look-2", "SP", "0043"});  // the next unit, while the last one still lies there
  EXPECT_EQ(reason(2), "other_tag");
  EXPECT_EQ(std::get<Withheld>(*delivered(2)).look, "look-2");
}

TEST_F(AssistTest, HasNoOpinionWithoutAModelAndTakesOneUpLater) {
  show({.code = "SP1-0042"});
  ASSERT_TRUE(signal.wait_until([&] { return camera->latest() != nullptr; }));
  assist->ask({"look-1", "SP", "0042"});
  EXPECT_EQ(reason(0), "no_model");
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  EXPECT_EQ(reason(1), "given");
}

TEST_F(AssistTest, KeepsItsModelWhenTheNextContradictsTheChecklist) {
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  domain::Master other = testing::small_master();
  other.variants[0].checklist[0].expected = domain::Expectation::absent;
  EXPECT_FALSE(assist->use(model(), other));
  show({.code = "SP1-0042"});
  ASSERT_TRUE(signal.wait_until([&] { return camera->latest() != nullptr; }));
  assist->ask({"look-1", "SP", "0042"});
  EXPECT_EQ(reason(0), "given");
}

TEST_F(AssistTest, OffersTheCodesInViewWhileNothingIsAsked) {
  assist->watch_codes(true);
  show({.code = "SP1-0042"});
  ASSERT_TRUE(signal.wait_until([&] {
    const std::lock_guard lock(mutex);
    return !codes.empty();
  }));
  EXPECT_EQ(codes[0], std::vector<std::string>{"SP1-0042"});
  show({.code = "SP1-0043"});
  ASSERT_TRUE(signal.wait_until([&] {
    const std::lock_guard lock(mutex);
    return codes.size() == 2;
  }));
  EXPECT_EQ(codes[1], std::vector<std::string>{"SP1-0043"});
}

TEST_F(AssistTest, StalledCameraIsAReason) {
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  show({.code = "SP1-0042"});
  ASSERT_TRUE(signal.wait_until([&] { return camera->latest() != nullptr; }));
  clock.forward(milliseconds(10'000));
  assist->ask({"look-1", "SP", "0042"});
  EXPECT_EQ(reason(0), "camera_not_ready");
}

TEST_F(AssistTest, DroppedQuestionBringsNothingMore) {
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  assist->ask({"look-1", "SP", "0042"});
  ASSERT_EQ(reason(0), "camera_not_ready");
  assist->drop();
  show({.code = "SP1-0042"});
  ASSERT_TRUE(signal.wait_until([&] { return camera->latest() != nullptr; }));
  assist->watch_codes(true);  // its codes are delivered after the frame was seen
  ASSERT_TRUE(signal.wait_until([&] {
    const std::lock_guard lock(mutex);
    return !codes.empty();
  }));
  const std::lock_guard lock(mutex);
  EXPECT_EQ(assistance.size(), 1);
}

// What the picture library throws on the assist's thread ends neither the thread nor the program.
TEST_F(AssistTest, GoesOnAfterAPictureThatCannotBeJudged) {
  ASSERT_TRUE(assist->use(model(), testing::small_master()));
  assist->watch_codes(true);
  const cv::Mat odd(480, 640, CV_32FC2, cv::Scalar(0, 0));
  source->queue(Picture{odd, {}});
  assist->ask({"look-1", "SP", "0042"});
  std::size_t n = 0;
  while (reason(n) == "camera_not_ready") ++n;
  EXPECT_EQ(reason(n), "not_judged");
  show({.code = "SP1-0042"});
  EXPECT_EQ(reason(n + 1), "given");
  assist->drop();
  source->queue(Picture{odd, {}});
  show({.code = "SP1-0077"});
  EXPECT_TRUE(signal.wait_until([this] {
    const std::lock_guard lock(mutex);
    return !codes.empty() && codes.back() == std::vector<std::string>{"SP1-0077"};
  }));
}

}  // namespace
}  // namespace lastlook::capture
