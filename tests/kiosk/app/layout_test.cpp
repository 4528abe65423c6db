// SPDX-License-Identifier: Apache-2.0
// Every situation at every supported size, without a display: what a finger must hit is large
// enough, inside the window and not on top of another, and every text fits.
#include <gtest/gtest.h>

#include "kiosk/app/fonts.h"
#include "kiosk/screens/screen_set.h"
#include "tests/kiosk/app/sample_facts.h"
#include "tests/places.h"

namespace lastlook::app {
namespace {

using namespace screens;

struct Display {
  int width, height;
  float mm_per_px;
  bool left_handed;
  const char* language = "en";
};

void PrintTo(const Display& d, std::ostream* out) {
  *out << d.width << "x" << d.height << (d.left_handed ? " left" : "") << " " << d.language;
}

// The toolkit with fonts and no graphics.
class Layout : public testing::TestWithParam<Display> {
 protected:
  void SetUp() override {
    const Display& d = GetParam();
    sizes_ = sizes_for(static_cast<float>(d.width), static_cast<float>(d.height), d.mm_per_px);
    ImGui::CreateContext();
    ImGui::GetIO().IniFilename = nullptr;
    ImGui::GetIO().DisplaySize = {static_cast<float>(d.width), static_cast<float>(d.height)};
    const auto fonts = load_fonts(*ImGui::GetIO().Fonts, sizes_, "");
    ASSERT_TRUE(fonts) << fonts.error().message;
    fonts_ = *fonts;
    say_ = text::Strings::load(source_dir() + "/assets/strings/" + d.language + ".json").value();
  }
  void TearDown() override { ImGui::DestroyContext(); }

  struct Shown {
    std::vector<Canvas::Target> targets;
    std::vector<std::string> complaints;
  };

  Shown frame(ScreenSet& set, const Facts& facts, const Pointer& pointer) {
    now_ += std::chrono::milliseconds(300);
    touch_.begin_frame(pointer, now_);
    ImGui::NewFrame();
    Canvas canvas(*ImGui::GetForegroundDrawList(), light_theme(), fonts_, sizes_, touch_, whole());
    Requests out;
    set.draw(canvas, facts, out);
    ImGui::Render();
    return {canvas.targets(), canvas.complaints()};
  }

  Shown show(Sample& sample) {
    sample.say = say_;
    sample.facts.left_handed = GetParam().left_handed;
    sample.facts.camera.texture = sample.facts.camera.overlay = sample.sees ? 1 : 0;
    if (auto& story = sample.facts.review.story) story->texture = sample.sees ? 1 : 0;
    if (auto& teaching = sample.facts.teaching) teaching->reference = teaching->sheet = 1;
    ScreenSet set;
    set.update(sample.facts);
    for (const std::string& key : sample.touches) touch(set, sample.facts, key);
    return frame(set, sample.facts, {});
  }

  void touch(ScreenSet& set, const Facts& facts, const std::string& key) {
    const bool drags = key.starts_with("drag.");
    for (const auto& target : frame(set, facts, {}).targets) {
      if (target.key != (drags ? key.substr(5) : key)) continue;
      if (drags) return drag(set, facts, target.area);
      frame(set, facts, {target.area.centre(), true, true, false, {}});
      frame(set, facts, {target.area.centre(), false, false, true, {}});
      return;
    }
    ADD_FAILURE() << "no target " << key;
  }

  void drag(ScreenSet& set, const Facts& facts, const Rect& area) {
    const Spot from{area.x + area.w * 0.7F, area.y + area.h * 0.1F};
    const Spot to{area.x + area.w * 0.9F, area.y + area.h * 0.4F};
    frame(set, facts, {from, true, true, false, {}});
    frame(set, facts, {to, true, false, false, {}});
    frame(set, facts, {to, false, false, true, {}});
  }

  Rect whole() const {
    return {0, 0, static_cast<float>(GetParam().width), static_cast<float>(GetParam().height)};
  }

  // The step strip only repeats what the answer zone does; a keypad is for the rare serial.
  bool may_be_smaller(const std::string& key) const {
    return key.starts_with("step.") || key.starts_with("keypad.");
  }

  Sizes sizes_;
  Fonts fonts_;
  text::Strings say_;
  Touch touch_;
  std::chrono::milliseconds now_{1000};
};

bool overlap(const Rect& a, const Rect& b) {
  constexpr float slack = 0.5F;
  return a.x + slack < b.right() && b.x + slack < a.right() && a.y + slack < b.bottom() &&
         b.y + slack < a.bottom();
}

TEST_P(Layout, TargetsAreLargeEnoughForAGlove) {
  for (const auto& sample : samples())
    for (const auto& [key, area] : show(*sample).targets) {
      const float least = may_be_smaller(key) ? 12.0F : 20.0F;
      const float side_mm = std::min(area.w, area.h) * GetParam().mm_per_px;
      EXPECT_GE(side_mm, least - 0.2F) << sample->name << ": " << key;
    }
}

TEST_P(Layout, TargetsLieInTheWindowAndApart) {
  for (const auto& sample : samples()) {
    const Shown shown = show(*sample);
    for (std::size_t i = 0; i < shown.targets.size(); ++i) {
      const auto& [key, area] = shown.targets[i];
      const bool inside = area.x >= 0 && area.y >= 0 && area.right() <= whole().w + 0.5F &&
                          area.bottom() <= whole().h + 0.5F;
      EXPECT_TRUE(inside) << sample->name << ": " << key;
      if (key == "notice" || key == "picture") continue;  // lies over the picture
      for (std::size_t j = 0; j < i; ++j)
        EXPECT_FALSE(shown.targets[j].key != "notice" && shown.targets[j].key != "picture" &&
                     overlap(area, shown.targets[j].area))
            << sample->name << ": " << key << " and " << shown.targets[j].key;
    }
  }
}

TEST_P(Layout, EveryTextFits) {
  for (const auto& sample : samples())
    for (const std::string& text : show(*sample).complaints)
      ADD_FAILURE() << sample->name << ": does not fit: " << text;
}

// From the first frame on, before any fact has changed.
TEST_P(Layout, OnlyWhoMayIsAskedToLetSomebodyIn) {
  std::vector<std::string> asked;
  for (const auto& sample : samples())
    if (sample->name == "barred_who")
      for (const auto& target : show(*sample).targets)
        if (target.key.starts_with("person.")) asked.push_back(target.key);
  EXPECT_EQ(asked, (std::vector<std::string>{"person.p-4", "person.p-5"}));
}

INSTANTIATE_TEST_SUITE_P(
    Displays, Layout,
    testing::Values(Display{1024, 600, 0.217F, false}, Display{1280, 800, 0.17F, false},
                    Display{1280, 800, 0.2F, true}, Display{1280, 800, 0.264F, false},
                    Display{1920, 1080, 0.18F, false}, Display{1024, 600, 0.217F, false, "de"},
                    Display{1280, 800, 0.17F, false, "de"}, Display{1280, 800, 0.2F, true, "de"},
                    Display{1280, 800, 0.264F, false, "de"},
                    Display{1920, 1080, 0.18F, false, "de"}));

}  // namespace
}  // namespace lastlook::app
