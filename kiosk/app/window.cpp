// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/window.h"

#define GLFW_INCLUDE_GLEXT
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3.h>
#include <fmt/format.h>

#include <array>

#include "kiosk/app/fonts.h"
#include "kiosk/app/monitors.h"

namespace lastlook::app {
namespace {

std::string glfw_problem(const char* doing) {
  const char* why = nullptr;
  glfwGetError(&why);
  return fmt::format("{}: {}", doing, why ? why : "no reason given");
}

Window& window_of(GLFWwindow* window) {
  return *static_cast<Window*>(glfwGetWindowUserPointer(window));
}

// No scanner types these on its own: see key_reader.h.
std::optional<screens::Key> key_of(int key, int with) {
  using screens::Key;
  if ((with & (GLFW_MOD_ALT | GLFW_MOD_CONTROL | GLFW_MOD_SHIFT | GLFW_MOD_SUPER)) != 0)
    return std::nullopt;
  switch (key) {
    case GLFW_KEY_UP:
      return Key::up;
    case GLFW_KEY_DOWN:
      return Key::down;
    case GLFW_KEY_LEFT:
      return Key::left;
    case GLFW_KEY_RIGHT:
      return Key::right;
    case GLFW_KEY_HOME:
      return Key::first;
    case GLFW_KEY_F1:
      return Key::help;
    case GLFW_KEY_F5:
      return Key::touch;
    case GLFW_KEY_F9:
      return Key::conforming;
    case GLFW_KEY_F10:
      return Key::nonconforming;
    default:
      return std::nullopt;
  }
}

bool monitors_changed = false;  // GLFW tells it to the program, not to a window

screens::Spot pointer_at(GLFWwindow* window) {
  double x = 0, y = 0;
  glfwGetCursorPos(window, &x, &y);
  return {static_cast<float>(x), static_cast<float>(y)};
}

}  // namespace

Result<std::unique_ptr<Window>> Window::open(const WindowOptions& options) {
  std::unique_ptr<Window> window(new Window);
  window->options_ = options;
  if (const Status made = window->create(); !made) return tl::unexpected(made.error());
  return window;
}

Status Window::create() {
  if (!glfwInit()) return fail(Category::io, glfw_problem("no display to open a window on"));
  started_ = true;
  // A kiosk stays where it is when another window takes the focus.
  glfwWindowHint(GLFW_AUTO_ICONIFY, GLFW_FALSE);
  const auto monitor = monitor_called(options_.monitor);
  if (!monitor) return tl::unexpected(monitor.error());
  options_.monitor = glfwGetMonitorName(*monitor);  // a number may mean another one later
  const GLFWvidmode* mode = glfwGetVideoMode(*monitor);
  if (!mode) return fail(Category::io, glfw_problem("no monitor found"));
  const bool full = fills_monitor();
  const int w = full ? mode->width : options_.width_px;
  const int h = full ? mode->height : options_.height_px;
  window_ = glfwCreateWindow(w, h, options_.title.c_str(), full ? *monitor : nullptr, nullptr);
  if (!window_) return fail(Category::io, glfw_problem("the window could not be opened"));
  glfwMakeContextCurrent(window_);
  glfwSwapInterval(1);
  ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;
  if (const Status measured = measure(*monitor); !measured) return measured;
  if (!ImGui_ImplOpenGL3_Init())
    return fail(Category::io, "the display's OpenGL cannot draw the window");
  drawing_ = true;
  listen();
  return {};
}

// How large things are on this monitor, and the fonts for that.
Status Window::measure(GLFWmonitor* monitor) {
  const GLFWvidmode* mode = glfwGetVideoMode(monitor);
  if (!mode) return fail(Category::io, glfw_problem("the monitor's size cannot be read"));
  const bool full = fills_monitor();
  const int w = full ? mode->width : options_.width_px;
  const int h = full ? mode->height : options_.height_px;
  int wide_mm = 0, high_mm = 0;
  glfwGetMonitorPhysicalSize(monitor, &wide_mm, &high_mm);
  const float fine = screens::mm_per_px_of(options_.mm_per_px, static_cast<float>(wide_mm),
                                           static_cast<float>(mode->width));
  const std::array measured = {static_cast<float>(w), static_cast<float>(h), fine};
  if (measured == measured_) return {};
  std::vector<screens::Sizes> sizes;
  for (const float scale : screens::text_scales(options_.text_scale))
    sizes.push_back(screens::sizes_for(measured[0], measured[1], fine, scale));
  // Beside those in use, which stay where these cannot be made.
  auto* atlas = IM_NEW(ImFontAtlas);
  auto scales = load_fonts(*atlas, sizes, options_.characters);
  if (!scales) {
    IM_DELETE(atlas);
    return tl::unexpected(scales.error());
  }
  int most_px = 0;
  glGetIntegerv(GL_MAX_TEXTURE_SIZE, &most_px);
  if (atlas->TexHeight > most_px) {
    IM_DELETE(atlas);
    return fail(Category::bad_input,
                fmt::format("--text-scale {:.0f}: larger than this screen's graphics can keep type "
                            "for; expected a smaller one",
                            options_.text_scale * 100));
  }
  if (drawing_) ImGui_ImplOpenGL3_DestroyFontsTexture();
  IM_DELETE(ImGui::GetIO().Fonts);
  ImGui::GetIO().Fonts = atlas;
  if (drawing_) ImGui_ImplOpenGL3_CreateFontsTexture();
  measured_ = measured;
  scales_ = std::move(*scales);
  return {};
}

// A monitor was plugged in or out. Without the one that was chosen the kiosk fills another rather
// than none; where there is none its window waits for one.
void Window::fill_monitor_again() {
  if (!fills_monitor()) return;
  auto monitor = monitor_called(options_.monitor);
  if (!monitor) monitor = monitor_called("");
  if (!monitor || !*monitor) return;
  const GLFWvidmode* mode = glfwGetVideoMode(*monitor);
  if (!mode) return;
  glfwSetWindowMonitor(window_, *monitor, 0, 0, mode->width, mode->height, GLFW_DONT_CARE);
  glfwFocusWindow(window_);  // the scanner types into it
  happened_ = true;
  // Where the fonts for it cannot be made, those of the one before are better than none.
  static_cast<void>(measure(*monitor));
}

Window::~Window() {
  if (drawing_) ImGui_ImplOpenGL3_Shutdown();
  if (ImGui::GetCurrentContext()) ImGui::DestroyContext();
  if (window_) glfwDestroyWindow(window_);
  if (started_) glfwTerminate();
}

void Window::listen() {
  glfwSetWindowUserPointer(window_, this);
  // Characters and Enter go to the scanner's reader and nowhere else: no burst can ever press a
  // button.
  glfwSetCharCallback(window_, [](GLFWwindow* w, unsigned c) { window_of(w).character(c); });
  glfwSetKeyCallback(window_, [](GLFWwindow* w, int key, int, int action, int with) {
    window_of(w).key(key, action, with);
  });
  // Asked for, and answered by whoever runs the loop: the window never closes by itself.
  glfwSetWindowCloseCallback(window_, [](GLFWwindow* w) {
    glfwSetWindowShouldClose(w, GLFW_FALSE);
    window_of(w).close_asked_ = window_of(w).happened_ = true;
  });
  glfwSetMonitorCallback([](GLFWmonitor*, int) { monitors_changed = true; });
  glfwSetMouseButtonCallback(window_, [](GLFWwindow* w, int button, int action, int) {
    if (button == GLFW_MOUSE_BUTTON_LEFT) window_of(w).button(action);
  });
  glfwSetCursorPosCallback(window_, [](GLFWwindow* w, double x, double y) {
    Window& self = window_of(w);
    self.moved_to_ = {static_cast<float>(x), static_cast<float>(y)};
    self.pointer_.moved(*self.moved_to_);
    // Nothing on the screens follows a finger that is not down.
    self.happened_ = self.happened_ || glfwGetMouseButton(w, GLFW_MOUSE_BUTTON_LEFT) == GLFW_PRESS;
  });
  const auto happened = [](GLFWwindow* w) { window_of(w).happened_ = true; };
  glfwSetWindowRefreshCallback(window_, happened);
  glfwSetFramebufferSizeCallback(window_,
                                 [](GLFWwindow* w, int, int) { window_of(w).happened_ = true; });
}

void Window::character(unsigned c) {
  happened_ = true;
  scanner_.character(static_cast<char32_t>(c), now());
}

void Window::key(int key, int action, int with) {
  // Where no window manager turns it into a request to close.
  if (action == GLFW_PRESS && key == GLFW_KEY_F4 && (with & GLFW_MOD_ALT) != 0)
    close_asked_ = happened_ = true;
  const auto pressed = key_of(key, with);
  if (action == GLFW_PRESS && pressed) {
    happened_ = true;
    keys_.pressed(*pressed, now());
  } else if (action != GLFW_RELEASE && !pressed) {
    keys_.typed(now());
  }
  if (action != GLFW_PRESS || (key != GLFW_KEY_ENTER && key != GLFW_KEY_KP_ENTER)) return;
  happened_ = true;
  if (auto code = scanner_.enter(now())) codes_.push_back(std::move(*code));
}

void Window::button(int action) {
  happened_ = true;
  // Where it had moved to when it was pressed. Where it is by now may be far on.
  const screens::Spot at = moved_to_ ? *moved_to_ : pointer_at(window_);
  if (action == GLFW_PRESS)
    pointer_.pressed(at);
  else
    pointer_.released(at, std::chrono::steady_clock::now());
}

bool Window::wait(std::chrono::milliseconds limit) {
  happened_ = false;
  if (limit.count() > 0)
    glfwWaitEventsTimeout(std::chrono::duration<double>(limit).count());
  else
    glfwPollEvents();
  if (std::exchange(monitors_changed, false)) fill_monitor_again();
  return happened_;
}

void Window::wake() {
  glfwPostEmptyEvent();
}

std::vector<std::string> Window::take_codes() {
  return std::exchange(codes_, {});
}

std::chrono::milliseconds Window::now() {
  return std::chrono::duration_cast<std::chrono::milliseconds>(
      std::chrono::steady_clock::now().time_since_epoch());
}

void Window::frame(const std::function<bool(ImDrawList&, screens::Rect whole)>& draw) {
  int w = 0, h = 0, pixels_w = 0, pixels_h = 0;
  glfwGetWindowSize(window_, &w, &h);
  glfwGetFramebufferSize(window_, &pixels_w, &pixels_h);
  if (w == 0 || h == 0) return;  // minimised
  ImGuiIO& io = ImGui::GetIO();
  io.DisplaySize = {static_cast<float>(w), static_cast<float>(h)};
  io.DisplayFramebufferScale = {static_cast<float>(pixels_w) / static_cast<float>(w),
                                static_cast<float>(pixels_h) / static_cast<float>(h)};
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  const bool current =
      draw(*ImGui::GetForegroundDrawList(), {0, 0, io.DisplaySize.x, io.DisplaySize.y});
  ImGui::Render();
  if (!current) return;
  glViewport(0, 0, pixels_w, pixels_h);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  glfwSwapBuffers(window_);
}

}  // namespace lastlook::app
