// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/display_check.h"

#include <GLFW/glfw3.h>
#include <fmt/format.h>

#include <cstdlib>
#include <string_view>

#include "kiosk/app/sound.h"
#include "kiosk/screens/sizes.h"

namespace lastlook::app {
namespace {

using commands::Check;

constexpr const char* display = "display";
constexpr int narrowest_mm = 210, lowest_mm = 125;  // a screen of 10 inches

std::string problem() {
  const char* why = nullptr;
  glfwGetError(&why);
  return why ? why : "no reason given";
}

bool is_set(const char* name) {
  const char* value = std::getenv(name);
  return value && *value;
}

// In a context that is current. The screens are drawn with OpenGL 3.
Check check_drawing() {
  const auto text = [](unsigned what) {
    const auto* said = reinterpret_cast<const char*>(glGetString(what));
    return std::string(said ? said : "");
  };
  const std::string version = text(GL_VERSION), by = text(GL_RENDERER);
  if (version.empty() || version[0] < '3')
    return commands::broken(display,
                            fmt::format("draws with OpenGL '{}', and the kiosk needs 3.0", version),
                            "install the driver of the graphics chip (package libgl1-mesa-dri)");
  const std::string found = fmt::format("a window can be opened, drawn by {}", by);
  const bool by_processor =
      by.find("llvmpipe") != std::string::npos || by.find("softpipe") != std::string::npos;
  if (by_processor)
    return commands::look_at(display, found + ", without a graphics chip: slow",
                             "install the driver of the graphics chip (package libgl1-mesa-dri)");
  return commands::well(display, found);
}

Check check_window() {
  glfwWindowHint(GLFW_VISIBLE, GLFW_FALSE);
  GLFWwindow* window = glfwCreateWindow(320, 200, "Lastlook", nullptr, nullptr);
  if (!window)
    return commands::broken(display, "a window cannot be opened: " + problem(),
                            "install the driver of the graphics chip (package libgl1-mesa-dri)");
  glfwMakeContextCurrent(window);
  Check drawing = check_drawing();
  glfwDestroyWindow(window);
  return drawing;
}

Check check_monitor(GLFWmonitor* monitor) {
  const std::string what = fmt::format("monitor {}", glfwGetMonitorName(monitor));
  const GLFWvidmode* mode = glfwGetVideoMode(monitor);
  if (!mode)
    return commands::broken(what, "says no resolution: " + problem(), "see how it is plugged in");
  int wide_mm = 0, high_mm = 0;
  glfwGetMonitorPhysicalSize(monitor, &wide_mm, &high_mm);
  const std::string found =
      fmt::format("{}x{}, {} x {} mm", mode->width, mode->height, wide_mm, high_mm);
  const float wide = static_cast<float>(wide_mm), px = static_cast<float>(mode->width);
  const bool believed = screens::mm_per_px_of(0, wide, px) == wide / px;
  if (!believed)
    return commands::look_at(
        what, found + ": that cannot be, and a target of 20 mm is drawn as one of 100 pixels",
        "measure the picture's width and start the kiosk with --mm-per-px, the "
        "millimetres divided by the pixels");
  if (wide_mm < narrowest_mm || high_mm < lowest_mm)
    return commands::look_at(what, found + ": too small for targets of 20 mm",
                             "use a screen of 10 inches or more");
  return commands::well(what, found);
}

Check check_sound() {
  const std::string device = loudspeaker_found();
  if (device.empty())
    return commands::look_at("sound", "no loudspeaker was found, so the kiosk is silent",
                             "plug one in, or start the kiosk with --sound off");
  return commands::well("sound", fmt::format("played by {}", device));
}

std::string this_display() {
  for (const char* name : {"WAYLAND_DISPLAY", "DISPLAY"})
    if (is_set(name)) return fmt::format("{}={}", name, std::getenv(name));
  return "";
}

}  // namespace

std::vector<Check> check_display() {
  const std::string named = this_display();
  if (named.empty())
    return {commands::look_at(display, "none here (DISPLAY is not set), so no window can be opened",
                              "ask at the station's own screen, or with DISPLAY=:0")};
  if (!glfwInit())
    return {commands::broken(display, fmt::format("{} does not answer: {}", named, problem()),
                             "see whether the X server runs, and whether this user may use it")};
  std::vector<Check> checks = {check_window()};
  int count = 0;
  GLFWmonitor** monitors = glfwGetMonitors(&count);
  for (int i = 0; i < count; ++i) checks.push_back(check_monitor(monitors[i]));
  if (count == 0)
    checks.push_back(
        commands::broken("monitor", "none is plugged in", "plug one in, and see to its power"));
  glfwTerminate();
  checks.push_back(check_sound());
  return checks;
}

}  // namespace lastlook::app
