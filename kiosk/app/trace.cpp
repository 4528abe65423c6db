// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/trace.h"

#include <cstdlib>
#include <nlohmann/json.hpp>

namespace lastlook::app {

Trace::Trace() {
  if (const char* file = std::getenv("LASTLOOK_TRACE")) out_.open(file, std::ios::trunc);
}

void Trace::frame(std::string_view screen, const screens::Canvas& canvas,
                  std::optional<std::chrono::steady_clock::time_point> answers,
                  std::string_view focus) {
  if (!out_.is_open()) return;
  nlohmann::json line{{"frame", ++frames_}, {"screen", screen}, {"targets", nullptr}};
  line["targets"] = nlohmann::json::array();
  for (const auto& [key, area, by_key] : canvas.targets())
    line["targets"].push_back(
        {{"key", key}, {"x", area.x}, {"y", area.y}, {"w", area.w}, {"h", area.h}});
  if (!focus.empty()) line["focus"] = focus;
  if (!canvas.complaints().empty()) line["does_not_fit"] = canvas.complaints();
  using std::chrono::steady_clock, std::chrono::microseconds;
  if (answers)
    line["touch_to_pixel_us"] =
        std::chrono::duration_cast<microseconds>(steady_clock::now() - *answers).count();
  out_ << line.dump() << std::endl;
}

}  // namespace lastlook::app
