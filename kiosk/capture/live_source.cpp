// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/live_source.h"

#include <fmt/core.h>

#include <array>
#include <cmath>
#include <opencv2/videoio.hpp>
#include <vector>

#include "kiosk/capture/pixels.h"

namespace lastlook::capture {

// What is to be held: the switch that lets the camera change it by itself, and the value.
struct LiveSource::Hold {
  Knob automatic;
  std::vector<double> off;  // how drivers spell 'do not', in the order to try
  std::vector<double> on;
  Knob value;
  double probe;  // another value, as a factor, that must show on the pictures
  double (*measure)(const cv::Mat&);
};

LiveSource::LiveSource(std::unique_ptr<Driver> driver, std::filesystem::path path,
                       LiveOptions options)
    : driver_(std::move(driver)), path_(std::move(path)), options_(options) {}

Result<Opened> LiveSource::open() {
  if (interrupted_) return fail(Category::refused, "interrupted");
  if (auto opened = driver_->open(path_); !opened) return tl::unexpected(opened.error());
  if (auto asked = ask_for_format(); !asked) {
    driver_->close();
    return tl::unexpected(asked.error());
  }
  for (int i = 0; i < options_.warm_up_frames; ++i) {
    if (auto frame = next_frame(); !frame && frame.error().category == Category::not_found) {
      driver_->close();
      return tl::unexpected(frame.error());
    }
  }
  Opened opened{.live = true, .wanted_px = options_.size_px};
  opened.exposure = hold({.automatic = Knob::auto_exposure,
                          .off = {1, 0.25},
                          .on = {3, 0.75},
                          .value = Knob::exposure,
                          .probe = 0.5,
                          .measure = mean_brightness});
  opened.white_balance = hold({.automatic = Knob::auto_white_balance,
                               .off = {0},
                               .on = {1},
                               .value = Knob::white_balance,
                               .probe = 0.75,
                               .measure = blue_to_red});
  opened.brightness = measured(mean_brightness).value_or(0);
  return opened;
}

// Compressed first: at this size it is what one USB bus carries. A driver's yes to a size means
// little, so the first frame decides; where no format brings the size, the last one stays.
Status LiveSource::ask_for_format() {
  const std::array formats{cv::VideoWriter::fourcc('M', 'J', 'P', 'G'),
                           cv::VideoWriter::fourcc('Y', 'U', 'Y', 'V'), 0};
  Status last;
  for (const int format : formats) {
    if (format != 0 && !driver_->set(Knob::pixel_format, format)) continue;
    driver_->set(Knob::width_px, options_.size_px.width);
    driver_->set(Knob::height_px, options_.size_px.height);
    pixel_format_ = static_cast<int>(driver_->get(Knob::pixel_format).value_or(format));
    const auto frame = next_frame();
    if (frame && frame->size() == options_.size_px) return {};
    last = frame ? Status{} : Status(tl::unexpected(frame.error()));
    if (interrupted_ || (!last && last.error().category == Category::not_found)) break;
  }
  return last;
}

// Switches the automatic off, then turns the value to a probe and back. Only pictures that follow
// both ways show that the automatic is off; what the driver reads back is not asked.
Lock LiveSource::hold(const Hold& what) {
  const auto turn = [&](const std::vector<double>& spellings) {
    for (const double spelling : spellings) {
      if (driver_->set(what.automatic, spelling)) return true;
    }
    return false;
  };
  const auto value = driver_->get(what.value);
  const auto before = measured(what.measure);
  if (!value || !turn(what.off)) return Lock::refused;
  if (!driver_->set(what.value, *value)) {
    turn(what.on);
    return Lock::refused;
  }
  const auto held = measured(what.measure);
  driver_->set(what.value, *value * what.probe);
  const auto probed = measured(what.measure);
  driver_->set(what.value, *value);
  const auto back = measured(what.measure);
  if (!before || !held || !probed || !back) return Lock::doubtful;
  const auto differ = [](double a, double b) { return std::abs(a - b) / std::max(a, 1e-6); };
  constexpr double seen = 0.05, same = 0.1;  // shares of the measured value
  const bool obeys =
      differ(*held, *probed) > seen && differ(*held, *back) < same && differ(*before, *back) < same;
  return obeys ? Lock::held : Lock::doubtful;
}

std::optional<double> LiveSource::measured(double (*measure)(const cv::Mat&)) {
  std::optional<double> value;
  for (int i = 0; i <= options_.settle_frames; ++i) {
    if (const auto frame = next_frame()) value = measure(*frame);
  }
  return value;
}

// In short steps, so that an interrupt is seen.
Result<cv::Mat> LiveSource::next_frame() {
  constexpr std::chrono::milliseconds step{100};
  for (auto left = options_.frame_within; left.count() > 0; left -= step) {
    if (interrupted_) return fail(Category::refused, "interrupted");
    const auto ready = driver_->wait(std::min(step, left));
    if (!ready) return tl::unexpected(ready.error());
    if (!*ready) continue;
    const auto frame = driver_->read();
    if (!frame) return tl::unexpected(frame.error());
    return to_bgr(*frame, pixel_format_);
  }
  return fail(Category::io, fmt::format("{}: no frame within {} ms", path_.string(),
                                        options_.frame_within.count()));
}

Result<Picture> LiveSource::take() {
  auto frame = next_frame();
  if (!frame) return tl::unexpected(frame.error());
  return Picture{std::move(*frame), {}};
}

void LiveSource::close() {
  driver_->close();
}

void LiveSource::interrupt() {
  interrupted_ = true;
}

}  // namespace lastlook::capture
