// SPDX-License-Identifier: Apache-2.0
// Where pictures come from: a camera, a video file, a folder, a still, behind one interface.
#pragma once

#include <filesystem>
#include <memory>
#include <opencv2/core.hpp>
#include <string>

#include "analytics/result.h"

namespace lastlook::capture {

struct Picture {
  cv::Mat pixels;    // 8-bit BGR; whoever takes it may share it, nobody writes to it again
  std::string name;  // of the file; empty from a camera
};

// Whether exposure or white balance stays as it was set.
enum class Lock {
  not_tried,  // not a camera
  refused,    // the driver does not do it
  doubtful,   // the driver says yes, the measured pictures say no
  held,       // the driver says yes and the measured pictures agree
};

struct Opened {
  bool live = false;     // frames come by themselves; equal ones in a row mean a frozen stream
  cv::Size wanted_px{};  // what frames should measure; empty: any
  Lock exposure = Lock::not_tried;
  Lock white_balance = Lock::not_tried;
  double brightness = 0;  // mean of the first kept frames, 0..255; 0: not measured
};

// All calls block and come from one thread, interrupt() from any.
// Errors of open() and take(): not_found (gone: not plugged in, no such file), busy (another
// program has it), refused (it does not do the format or size), io (no frame in time, or a short
// one: worth another take()), bad_input (not a picture).
class Source {
 public:
  virtual ~Source() = default;
  virtual Result<Opened> open() = 0;
  // The next picture, as soon as there is one. Where no more can come (a still, the end of a video)
  // it waits until interrupted.
  virtual Result<Picture> take() = 0;
  virtual void close() = 0;
  // From now on open() and take() return an error soon, a waiting one included.
  virtual void interrupt() = 0;
};

// By what the path is: a folder, a picture, a video file or a camera under /dev (a stable name
// under /dev/v4l/by-id, /dev/v4l/by-path is best). not_found, bad_input.
// size_px: what a camera is asked for.
Result<std::shared_ptr<Source>> source_at(const std::filesystem::path& path,
                                          cv::Size size_px = {1280, 960});

}  // namespace lastlook::capture
