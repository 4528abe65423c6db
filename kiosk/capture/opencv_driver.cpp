// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <opencv2/videoio.hpp>

#include "kiosk/capture/driver.h"

namespace lastlook::capture {
namespace {

namespace fs = std::filesystem;

int property_of(Knob knob) {
  switch (knob) {
    case Knob::pixel_format:
      return cv::CAP_PROP_FOURCC;
    case Knob::width_px:
      return cv::CAP_PROP_FRAME_WIDTH;
    case Knob::height_px:
      return cv::CAP_PROP_FRAME_HEIGHT;
    case Knob::auto_exposure:
      return cv::CAP_PROP_AUTO_EXPOSURE;
    case Knob::exposure:
      return cv::CAP_PROP_EXPOSURE;
    case Knob::auto_white_balance:
      return cv::CAP_PROP_AUTO_WB;
    case Knob::white_balance:
      return cv::CAP_PROP_WB_TEMPERATURE;
  }
  return -1;
}

bool is_device(const fs::path& path) {
  std::error_code error;
  return fs::is_character_file(path, error);
}

class OpenCvDriver final : public Driver {
 public:
  Status open(const fs::path& path) override {
    path_ = path;
    std::error_code error;
    if (!fs::exists(path, error)) return unplugged();
    if (!is_device(path)) {
      return fail(Category::refused, fmt::format("{}: not a device", path.string()));
    }
    if (::access(path.c_str(), R_OK | W_OK) != 0) {
      return fail(Category::refused,
                  fmt::format("{}: no permission; the user should be in its group", path.string()));
    }
    return guarded<void>([&]() -> Status {
      if (capture_.open(path.string(), cv::CAP_V4L2)) return {};
      return fail(Category::busy,
                  fmt::format("{}: not a camera, or another program has it", path.string()));
    });
  }

  bool set(Knob knob, double value) override {
    return guarded<bool>([&]() -> Result<bool> { return capture_.set(property_of(knob), value); })
        .value_or(false);
  }

  // OpenCV says 0 or -1 for what a device does not have.
  std::optional<double> get(Knob knob) override {
    const auto value =
        guarded<double>([&]() -> Result<double> { return capture_.get(property_of(knob)); });
    if (!value || *value <= 0) return std::nullopt;
    return *value;
  }

  Result<bool> wait(std::chrono::milliseconds longest) override {
    if (!is_device(path_)) return tl::unexpected(unplugged().error());
    return guarded<bool>([&]() -> Result<bool> {
      std::vector<int> ready;
      const auto longest_ns = std::chrono::nanoseconds(longest).count();
      return cv::VideoCapture::waitAny({capture_}, ready, longest_ns);
    });
  }

  Result<cv::Mat> read() override {
    return guarded<cv::Mat>([&]() -> Result<cv::Mat> {
      cv::Mat frame;
      if (capture_.read(frame)) return frame;
      if (!is_device(path_)) return tl::unexpected(unplugged().error());
      return fail(Category::io, fmt::format("{}: gave no frame", path_.string()));
    });
  }

  void close() override { capture_.release(); }

 private:
  Status unplugged() const {
    return fail(Category::not_found, fmt::format("{}: no such device", path_.string()));
  }

  template <class T, class Call>
  Result<T> guarded(Call call) {
    try {
      return call();
    } catch (const cv::Exception& exception) {
      return fail(is_device(path_) ? Category::io : Category::not_found,
                  fmt::format("{}: {}", path_.string(), exception.err));
    }
  }

  fs::path path_;
  cv::VideoCapture capture_;
};

}  // namespace

std::unique_ptr<Driver> system_driver() {
  return std::make_unique<OpenCvDriver>();
}

}  // namespace lastlook::capture
