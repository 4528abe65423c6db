// SPDX-License-Identifier: Apache-2.0
// Draws every sample situation in a real window and writes what was drawn as pictures, to be looked
// at:  gallery FOLDER 1280x800 light|dark MM_PER_PX LANGUAGE PICTURE [NAME…]
// With TEXT_SCALE=150 in the environment, in larger type.
#include <GLFW/glfw3.h>
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <set>

#include "kiosk/app/picture_texture.h"
#include "kiosk/app/window.h"
#include "kiosk/screens/scaled.h"
#include "kiosk/screens/screen_set.h"
#include "kiosk/text/languages.h"
#include "tests/kiosk/app/sample_facts.h"
#include "tests/places.h"

using namespace lastlook;

namespace {

struct Shown {
  std::vector<screens::Target> targets;
  std::vector<std::string> complaints;
};

class Gallery {
 public:
  Gallery(app::Window& window, const screens::Theme& theme) : window_(window), theme_(theme) {}

  Shown frame(screens::ScreenSet& set, screens::Sample& sample, const screens::Pointer& pointer) {
    Shown shown;
    now_ += std::chrono::milliseconds(500);
    window_.frame([&](ImDrawList& list, screens::Rect whole) {
      touch_.begin_frame(pointer, now_);
      const auto& [sizes, fonts] =
          screens::scale_with_room(window_.scales(), theme_, whole, [&](screens::Canvas& trial) {
            screens::Requests none;
            set.draw(trial, sample.facts, none);
          });
      screens::Canvas canvas(list, theme_, fonts, sizes, touch_, whole);
      screens::Requests out;
      set.draw(canvas, sample.facts, out);
      shown = {canvas.targets(), canvas.complaints()};
      return true;
    });
    return shown;
  }

  bool touch(screens::ScreenSet& set, screens::Sample& sample, const std::string& key) {
    const bool drags = key.starts_with("drag.");
    for (const auto& target : frame(set, sample, {}).targets) {
      if (target.key != (drags ? key.substr(5) : key)) continue;
      const screens::Rect& area = target.area;
      if (drags) {
        const screens::Spot from{area.x + area.w * 0.7F, area.y + area.h * 0.1F};
        const screens::Spot to{area.x + area.w * 0.9F, area.y + area.h * 0.4F};
        frame(set, sample, {from, true, true, false, {}});
        frame(set, sample, {to, true, false, false, {}});
        frame(set, sample, {to, false, false, true, {}});
        return true;
      }
      const screens::Spot at = area.centre();
      frame(set, sample, {at, true, true, false, {}});
      frame(set, sample, {at, false, false, true, {}});
      return true;
    }
    return false;
  }

 private:
  app::Window& window_;
  const screens::Theme& theme_;
  screens::Touch touch_;
  std::chrono::milliseconds now_{1000};
};

// As the camera maps where a unit differs: the strap's place, and the left of the lid's.
cv::Mat soft_map() {
  cv::Mat map = cv::Mat::zeros(480, 640, CV_8U);
  cv::ellipse(map, {310, 295}, {55, 16}, 0, 0, 360, 255, cv::FILLED);
  cv::ellipse(map, {150, 170}, {25, 45}, 0, 0, 360, 200, cv::FILLED);
  cv::GaussianBlur(map, map, {}, 6);
  return map;
}

void save(const std::string& file, int w, int h) {
  cv::Mat picture(h, w, CV_8UC3);
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, w, h, GL_RGB, GL_UNSIGNED_BYTE, picture.data);
  cv::flip(picture, picture, 0);
  cv::cvtColor(picture, picture, cv::COLOR_RGB2BGR);
  cv::imwrite(file, picture);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 7)
    return fmt::print(stderr, "gallery FOLDER SIZE THEME MM LANGUAGE PICTURE [NAME]\n"), 2;
  const auto languages = text::Languages::load(source_dir() + "/assets/strings", argv[5]);
  if (!languages) return fmt::print(stderr, "{}\n", languages.error().message), 1;
  app::WindowOptions options;
  std::sscanf(argv[2], "%dx%d", &options.width_px, &options.height_px);
  options.mm_per_px = std::stof(argv[4]);
  if (const char* percent = std::getenv("TEXT_SCALE"))
    options.text_scale = std::stof(percent) / 100;
  for (const auto& [code, say] : languages->all()) options.characters += say.characters();
  auto window = app::Window::open(options);
  if (!window) return fmt::print(stderr, "{}\n", window.error().message), 1;
  app::PictureTexture texture;
  texture.show(cv::imread(argv[6]));
  app::PictureTexture overlay;
  overlay.show_soft(soft_map());
  const std::set<std::string> wanted(argv + 7, argv + argc);
  std::filesystem::create_directories(argv[1]);
  Gallery gallery(**window,
                  std::string(argv[3]) == "dark" ? screens::dark_theme() : screens::light_theme());
  for (const auto& sample : screens::samples()) {
    if (!wanted.empty() && !wanted.contains(sample->name)) continue;
    sample->say = languages->in(argv[5]);
    sample->facts.language = argv[5];
    sample->facts.camera.texture = sample->sees ? texture.id() : 0;
    sample->facts.camera.overlay = sample->sees ? overlay.id() : 0;
    sample->facts.camera.aspect = texture.aspect();
    if (sample->facts.study.picture != 0) sample->facts.study.picture = texture.id();
    if (auto& story = sample->facts.review.story) story->texture = sample->sees ? texture.id() : 0;
    if (auto& teaching = sample->facts.teaching)
      teaching->reference = teaching->sheet = texture.id();
    screens::ScreenSet set;
    set.update(sample->facts);
    for (const std::string& key : sample->touches)
      if (!gallery.touch(set, *sample, key)) fmt::print("{}: no target {}\n", sample->name, key);
    set.update(sample->facts);
    gallery.frame(set, *sample, {});
    const Shown shown = gallery.frame(set, *sample, {});
    for (const std::string& text : shown.complaints)
      fmt::print("{}: does not fit: {}\n", sample->name, text);
    save(fmt::format("{}/{}.png", argv[1], sample->name), options.width_px, options.height_px);
  }
  return 0;
}
