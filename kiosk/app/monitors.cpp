// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/monitors.h"

#include <GLFW/glfw3.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <span>
#include <vector>

namespace lastlook::app {

Result<GLFWmonitor*> monitor_called(const std::string& called) {
  int count = 0;
  GLFWmonitor** first = glfwGetMonitors(&count);
  const std::span all(first, static_cast<std::size_t>(count));
  if (all.empty()) return fail(Category::io, "no monitor found");
  if (called.empty()) return glfwGetPrimaryMonitor();
  std::vector<std::string> there;
  for (GLFWmonitor* monitor : all) {
    there.push_back(fmt::format("{} ({})", there.size() + 1, glfwGetMonitorName(monitor)));
    if (called == glfwGetMonitorName(monitor) || called == std::to_string(there.size()))
      return monitor;
  }
  return fail(Category::bad_input,
              fmt::format("--monitor {}: expected one of {}", called, fmt::join(there, ", ")));
}

}  // namespace lastlook::app
