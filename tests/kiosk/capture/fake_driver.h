// SPDX-License-Identifier: Apache-2.0
// A camera of our own with faults to be switched on. Its pictures obey exposure and white balance
// as a sensor's do.
#pragma once

#include <atomic>
#include <map>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/videoio.hpp>

#include "kiosk/capture/driver.h"

namespace lastlook::capture::testing {

constexpr int format_of(const char (&name)[5]) {
  return name[0] | (name[1] << 8) | (name[2] << 16) | (name[3] << 24);
}

class FakeDriver final : public Driver {
 public:
  // What goes wrong.
  std::atomic<bool> plugged_in = true;
  bool in_use = false;              // by another program
  bool silent = false;              // no frame ever gets ready
  bool short_frames = false;        // cut off in the middle
  cv::Size only_size{};             // says yes to any size, sends this one
  int only_format = 0;              // refuses the others
  bool unconverted = false;         // sends frames as the format has them
  bool locks = true;                // lets exposure and white balance be held
  bool only_says_it_locks = false;  // says yes and goes on by itself

  std::map<Knob, double> knobs{{Knob::width_px, 640},    {Knob::height_px, 480},
                               {Knob::exposure, 200},    {Knob::white_balance, 4600},
                               {Knob::auto_exposure, 3}, {Knob::auto_white_balance, 1}};
  int frames = 0;
  int unplugged_after = 0;  // so many frames; 0: never
  bool is_open = false;

  Status open(const std::filesystem::path&) override {
    if (in_use) return fail(Category::busy, "another program has it");
    is_open = plugged_in;
    return there();
  }
  bool set(Knob knob, double value) override {
    const bool is_light = knob == Knob::exposure || knob == Knob::white_balance ||
                          knob == Knob::auto_exposure || knob == Knob::auto_white_balance;
    if (is_light && !locks) return false;
    if (knob == Knob::pixel_format && only_format != 0 && value != only_format) return false;
    knobs[knob] = value;
    return true;
  }
  std::optional<double> get(Knob knob) override {
    const auto found = knobs.find(knob);
    return found == knobs.end() ? std::nullopt : std::optional(found->second);
  }
  Result<bool> wait(std::chrono::milliseconds) override {
    if (auto is_there = there(); !is_there) return tl::unexpected(is_there.error());
    return !silent;
  }
  Result<cv::Mat> read() override {
    if (auto is_there = there(); !is_there) return tl::unexpected(is_there.error());
    ++frames;
    if (frames == unplugged_after) plugged_in = false;
    if (short_frames) return cv::Mat(1, 700, CV_8UC1, cv::Scalar::all(0));
    return sent(scene());
  }
  void close() override { is_open = false; }

 private:
  Status there() const {
    if (plugged_in) return {};
    return fail(Category::not_found, "no such device");
  }

  // A reddish wall: blue 60, green 90, red 120 at exposure 200 and 4600 K.
  cv::Mat scene() const {
    const bool by_itself = only_says_it_locks || knobs.at(Knob::auto_exposure) == 3;
    const double light = by_itself ? 1 : knobs.at(Knob::exposure) / 200;
    const bool by_itself_white = only_says_it_locks || knobs.at(Knob::auto_white_balance) == 1;
    const double warm = by_itself_white ? 1 : knobs.at(Knob::white_balance) / 4600;
    const cv::Size size = only_size.empty() ? cv::Size(static_cast<int>(knobs.at(Knob::width_px)),
                                                       static_cast<int>(knobs.at(Knob::height_px)))
                                            : only_size;
    cv::Mat picture(size, CV_8UC3, cv::Scalar(60 * light / warm, 90 * light, 120 * light * warm));
    picture.at<cv::Vec3b>(0, 0)[1] = static_cast<unsigned char>(frames);  // never frozen
    return picture;
  }

  cv::Mat sent(const cv::Mat& bgr) const {
    if (!unconverted) return bgr;
    const auto found = knobs.find(Knob::pixel_format);
    const int format = found == knobs.end() ? 0 : static_cast<int>(found->second);
    cv::Mat other;
    if (format == format_of("RGB3")) {
      std::vector<cv::Mat> planes;
      cv::split(bgr, planes);
      cv::merge(std::vector<cv::Mat>{planes[2], planes[1], planes[0]}, other);
      return other;
    }
    if (format == format_of("MJPG")) {
      std::vector<unsigned char> bytes;
      cv::imencode(".jpg", bgr, bytes, {cv::IMWRITE_JPEG_QUALITY, 100});
      return cv::Mat(bytes, true).reshape(1, 1);
    }
    return bgr;
  }
};

}  // namespace lastlook::capture::testing
