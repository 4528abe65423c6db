// SPDX-License-Identifier: Apache-2.0
// Every situation at every supported size, without a display: what a finger must hit is large
// enough, inside the window and not on top of another, and every text fits.
#include <gmock/gmock.h>

#include <iostream>
#include <set>

#include "kiosk/app/fonts.h"
#include "kiosk/screens/focus.h"
#include "kiosk/screens/scaled.h"
#include "kiosk/screens/screen_set.h"
#include "kiosk/text/languages.h"
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
  float text_scale = 1;
};

void PrintTo(const Display& d, std::ostream* out) {
  *out << d.width << "x" << d.height << (d.left_handed ? " left" : "") << " " << d.language << " "
       << d.text_scale;
}

// The toolkit with fonts and no graphics.
class Layout : public testing::TestWithParam<Display> {
 protected:
  void SetUp() override {
    const Display& d = GetParam();
    std::vector<Sizes> sizes;
    for (const float scale : text_scales(d.text_scale))
      sizes.push_back(
          sizes_for(static_cast<float>(d.width), static_cast<float>(d.height), d.mm_per_px, scale));
    ImGui::CreateContext();
    ImGui::GetIO().IniFilename = nullptr;
    ImGui::GetIO().DisplaySize = {static_cast<float>(d.width), static_cast<float>(d.height)};
    const auto all = text::Languages::load(source_dir() + "/assets/strings", d.language).value();
    say_ = all.in(d.language);
    std::string characters = say_.characters();
    for (const auto& [code, say] : all.all()) characters += say("language.name");
    auto scales = load_fonts(*ImGui::GetIO().Fonts, sizes, characters);
    ASSERT_TRUE(scales) << scales.error().message;
    scales_ = std::move(*scales);
  }
  void TearDown() override { ImGui::DestroyContext(); }

  struct Shown {
    std::vector<Target> targets;
    std::vector<std::string> complaints;
    bool mirrored = false;  // a picture
    float text_px = 0;
  };

  Shown frame(ScreenSet& set, const Facts& facts, const Pointer& pointer) {
    now_ += std::chrono::milliseconds(300);
    touch_.begin_frame(pointer, now_);
    ImGui::NewFrame();
    const auto& [sizes, fonts] =
        scale_with_room(scales_, light_theme(), whole(), [&](Canvas& trial) {
          Requests none;
          set.draw(trial, facts, none);
        });
    Canvas canvas(*ImGui::GetForegroundDrawList(), light_theme(), fonts, sizes, touch_, whole());
    Requests out;
    set.draw(canvas, facts, out);
    ImGui::Render();
    return {canvas.targets(), canvas.complaints(), mirrors_a_picture(), sizes.text_px};
  }

  // In what was drawn a picture's right is somewhere left of its left, or its top below.
  static bool mirrors_a_picture() {
    const ImDrawList& list = *ImGui::GetForegroundDrawList();
    for (const ImDrawCmd& command : list.CmdBuffer) {
      if (command.TextureId != reinterpret_cast<ImTextureID>(picture)) continue;
      for (unsigned i = 0; i < command.ElemCount; ++i) {
        const auto vertex = [&](unsigned at) {
          return list.VtxBuffer[static_cast<int>(command.VtxOffset) +
                                list.IdxBuffer[static_cast<int>(command.IdxOffset + at)]];
        };
        const ImDrawVert a = vertex(i), b = vertex(i - i % 3 + (i + 1) % 3);
        if ((a.uv.x - b.uv.x) * (a.pos.x - b.pos.x) < 0) return true;
        if ((a.uv.y - b.uv.y) * (a.pos.y - b.pos.y) < 0) return true;
      }
    }
    return false;
  }

  Shown show(Sample& sample) { return show(sample, GetParam().left_handed); }

  Shown show(Sample& sample, bool left_handed) {
    sample.say = say_;
    sample.facts.language = GetParam().language;
    sample.facts.left_handed = left_handed;
    const std::uintptr_t seen = sample.sees ? picture : 0;
    sample.facts.camera.texture = sample.facts.camera.overlay = seen;
    if (auto& story = sample.facts.review.story) story->texture = seen;
    if (auto& teaching = sample.facts.teaching) teaching->reference = teaching->sheet = picture;
    ScreenSet set;
    set.update(sample.facts);
    for (const std::string& key : sample.touches) touch(set, sample.facts, key);
    return frame(set, sample.facts, {});
  }

  void touch(ScreenSet& set, const Facts& facts, const std::string& key) {
    const bool drags = key.starts_with("drag.");
    for (int page = 0; page < 9; ++page) {
      std::optional<Rect> more;
      for (const auto& target : frame(set, facts, {}).targets) {
        if (target.key.ends_with(".more")) more = target.area;
        if (target.key != (drags ? key.substr(5) : key)) continue;
        return drags ? drag(set, facts, target.area) : put_and_lift(set, facts, target.area);
      }
      if (!more) break;
      put_and_lift(set, facts, *more);
    }
    ADD_FAILURE() << "no target " << key;
  }

  void put_and_lift(ScreenSet& set, const Facts& facts, const Rect& area) {
    frame(set, facts, {area.centre(), true, true, false, {}});
    frame(set, facts, {area.centre(), false, false, true, {}});
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

  static constexpr std::uintptr_t picture = 1;
  std::vector<Scale> scales_;
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
    for (const auto& [key, area, by_key] : show(*sample).targets) {
      const float least = may_be_smaller(key) ? 12.0F : 20.0F;
      const float side_mm = std::min(area.w, area.h) * GetParam().mm_per_px;
      EXPECT_GE(side_mm, least - 0.2F) << sample->name << ": " << key;
    }
}

TEST_P(Layout, TargetsLieInTheWindowAndApart) {
  for (const auto& sample : samples()) {
    const Shown shown = show(*sample);
    for (std::size_t i = 0; i < shown.targets.size(); ++i) {
      const auto& [key, area, by_key] = shown.targets[i];
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

// From the first one on, by arrow keys.
TEST_P(Layout, EveryTargetIsReachedByKeys) {
  for (const auto& sample : samples()) {
    const std::vector<Target> targets = show(*sample).targets;
    std::set<std::string> missed;
    for (const Target& target : targets)
      if (target.by_key) missed.insert(target.key);
    Focus first;
    first.shown(targets);
    first.pressed(Key::first);
    std::vector<Focus> reached{first};
    missed.erase(first.key());
    for (std::size_t i = 0; i < reached.size(); ++i)
      for (const Key key : {Key::up, Key::down, Key::left, Key::right}) {
        Focus focus = reached[i];
        focus.pressed(key);
        if (missed.erase(focus.key()) > 0) reached.push_back(focus);
      }
    EXPECT_THAT(missed, testing::IsEmpty()) << sample->name;
  }
}

// Where the hand is: what answers lies left of the middle for the left hand, right of it else, and
// each target is as large.
TEST_P(Layout, TheHandsTargetsChangeSides) {
  const std::vector<std::string> of_hands{
      "answer.conforming", "answer.nonconforming", "close.accept",  "close.rework", "next_unit",
      "place.none",        "defect.back",          "finding.go_on", "park",         "correct"};
  std::set<std::string> seen;
  for (const auto& sample : samples()) {
    const Shown left = show(*sample, true), right = show(*sample, false);
    for (const Target& target : right.targets) {
      if (std::find(of_hands.begin(), of_hands.end(), target.key) == of_hands.end()) continue;
      const auto same = std::find_if(left.targets.begin(), left.targets.end(),
                                     [&](const Target& t) { return t.key == target.key; });
      ASSERT_NE(same, left.targets.end()) << sample->name << ": " << target.key;
      EXPECT_GE(target.area.x, whole().w / 2) << sample->name << ": " << target.key;
      EXPECT_LE(same->area.right(), whole().w / 2) << sample->name << ": " << target.key;
      EXPECT_NEAR(same->area.w, target.area.w, 0.5) << sample->name << ": " << target.key;
      EXPECT_NEAR(same->area.h, target.area.h, 0.5) << sample->name << ": " << target.key;
      seen.insert(target.key);
    }
  }
  EXPECT_EQ(seen.size(), of_hands.size());
}

TEST_P(Layout, NoPictureIsMirrored) {
  for (const auto& sample : samples()) EXPECT_FALSE(show(*sample).mirrored) << sample->name;
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

std::vector<Display> displays() {
  std::vector<Display> all;
  for (const char* language : {"en", "de", "es", "pl", "zh", "qps"})
    for (const Display& display :
         {Display{1024, 600, 0.217F, false}, Display{1280, 800, 0.17F, false},
          Display{1280, 800, 0.2F, true}, Display{1280, 800, 0.264F, false},
          Display{1920, 1080, 0.18F, false}}) {
      all.push_back(display);
      all.back().language = language;
    }
  return all;
}

INSTANTIATE_TEST_SUITE_P(Displays, Layout, testing::ValuesIn(displays()));

INSTANTIATE_TEST_SUITE_P(LeftHanded, Layout,
                         testing::Values(Display{1024, 600, 0.217F, true, "de"},
                                         Display{1280, 800, 0.17F, true, "de"},
                                         Display{1280, 800, 0.264F, true, "de"},
                                         Display{1920, 1080, 0.18F, true, "de"}));

// The screens that hold larger type, and one on which much of it has to stay smaller.
std::vector<Display> scaled() {
  std::vector<Display> all;
  for (const Display& screen : {Display{1024, 600, 0.217F, false}, Display{1280, 800, 0.2F, true},
                                Display{1920, 1080, 0.18F, false}})
    for (const char* language : {"en", "de"})
      for (const float scale : {1.3F, 1.5F, 2.0F}) {
        all.push_back(screen);
        all.back().language = language;
        all.back().text_scale = scale;
      }
  return all;
}

INSTANTIATE_TEST_SUITE_P(Scaled, Layout, testing::ValuesIn(scaled()));

// What the README says of it: on each screen as large as everything on it has room.
class LargerType : public Layout {
 protected:
  // Of the situations: how many are drawn at this scale and more.
  double share_at(float scale) {
    double all = 0, at = 0;
    for (const auto& sample : samples()) {
      ++all;
      if (show(*sample).text_px >= scale * scales_.back().sizes.text_px - 1) ++at;
    }
    std::cout << "at " << scale << ": " << at << " of " << all << "\n";
    return at / all;
  }
};

TEST_P(LargerType, IsDrawnWhereItHasRoom) {
  const float wanted = GetParam().text_scale;
  const bool wide = GetParam().width >= 1920, english = GetParam().language == std::string("en");
  if (wide && english && wanted < 1.6F) {
    EXPECT_GE(share_at(wanted), 0.8);
  }
  EXPECT_GE(share_at(1.15F), wide && english ? 0.9 : 0.3);
}

INSTANTIATE_TEST_SUITE_P(Scaled, LargerType, testing::ValuesIn(scaled()));

}  // namespace
}  // namespace lastlook::app
