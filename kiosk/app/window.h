// SPDX-License-Identifier: Apache-2.0
// The window: where pixels go and touches, keys and wake-ups come from.
#pragma once

#include <array>
#include <chrono>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "analytics/result.h"
#include "kiosk/app/key_reader.h"
#include "kiosk/app/pointer_reader.h"
#include "kiosk/app/scanner_reader.h"
#include "kiosk/screens/canvas.h"

struct GLFWmonitor;
struct GLFWwindow;

namespace lastlook::app {

struct WindowOptions {
  int width_px = 0, height_px = 0;  // 0: full screen
  std::string monitor;              // which one to fill; see monitors.h
  float mm_per_px = 0;              // 0: as the monitor says
  float text_scale = 1;             // of the type
  std::string characters;           // what the screens say, for the fonts
  std::string title = "Lastlook";
};

class Window {
 public:
  // io: no display, or one that cannot draw; not_found: the fonts; bad_input: no such monitor.
  static Result<std::unique_ptr<Window>> open(const WindowOptions& options);
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  // Waits for something to happen, at most this long, and takes it in. True if anything did.
  bool wait(std::chrono::milliseconds limit);
  static void wake();  // from any thread: ends the wait
  // Whether somebody has asked to close it since the last call: by the window manager, or Alt+F4.
  bool close_asked() { return std::exchange(close_asked_, false); }

  // The scanner's codes since the last call, the finger, and a person's keys.
  std::vector<std::string> take_codes();
  PointerReader& pointer() { return pointer_; }
  KeyReader& keys() { return keys_; }

  // One frame: `draw` gets the list to draw into; where it returns false, what it drew is out of
  // date already and does not come on the screen.
  void frame(const std::function<bool(ImDrawList&, screens::Rect whole)>& draw);

  // What to draw in: the size that was asked for first, then smaller ones, the usual one at the
  // end.
  const std::vector<screens::Scale>& scales() const { return scales_; }
  static std::chrono::milliseconds now();  // the window's clock

 private:
  Window() = default;
  bool fills_monitor() const { return options_.width_px == 0; }
  Status create();
  Status measure(GLFWmonitor* monitor);
  void listen();
  void fill_monitor_again();
  void character(unsigned c);
  void key(int key, int action, int with);
  void button(int action);

  WindowOptions options_;
  GLFWwindow* window_ = nullptr;
  bool started_ = false, drawing_ = false, happened_ = false, close_asked_ = false;
  std::array<float, 3> measured_{};  // what sizes and fonts are for: width, height, mm a pixel
  std::vector<screens::Scale> scales_;
  PointerReader pointer_;
  std::optional<screens::Spot> moved_to_;  // none: it has not moved yet
  ScannerReader scanner_;
  KeyReader keys_;
  std::vector<std::string> codes_;
};

}  // namespace lastlook::app
