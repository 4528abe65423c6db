// SPDX-License-Identifier: Apache-2.0
// The monitors that are plugged in, and the one that the kiosk is to fill.
#pragma once

#include <string>

#include "analytics/result.h"

struct GLFWmonitor;

namespace lastlook::app {

// By its name ("HDMI-1") or its number from 1; empty: the primary one. After glfwInit(). io: none
// is plugged in; bad_input: none is called so; the sentence says which there are.
Result<GLFWmonitor*> monitor_called(const std::string& called);

}  // namespace lastlook::app
