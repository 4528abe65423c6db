// SPDX-License-Identifier: Apache-2.0
// From one frame to the camera's opinion about the unit whose look is open, or to the reason why
// there is none.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <opencv2/core.hpp>

#include "analytics/result.h"
#include "kiosk/capture/camera.h"
#include "kiosk/domain/happening.h"
#include "kiosk/domain/master.h"
#include "vision/health.h"
#include "vision/model.h"

namespace lastlook::capture {

struct Asked {
  std::string look, variant, serial;  // serial as printed
};

// picture and overlay of the opinion are empty: whoever keeps jpeg and png fills in their hashes.
struct Given {
  domain::OpinionGiven opinion;
  std::string tag_serial;           // as read in that frame
  std::vector<unsigned char> jpeg;  // the frame, as evidence
  // Where the unit differs from what was taught: 8-bit grey over the whole picture at half its
  // size, 0 as taught, 255 most. Empty where nothing differs.
  cv::Mat overlay{};
  std::vector<unsigned char> png{};  // the overlay, as evidence
};

// Why there is no opinion. value and limit as in vision/health.h for those that come from there.
enum class Withhold {
  tag_not_read,
  other_tag,  // codes: what was read instead, or beside it
  variant_not_taught,
  no_model,          // none is in use
  camera_not_ready,  // no frame, or its state is not running
  too_dark,
  too_bright,
  blurred,
  no_unit,
  camera_moved,
  lens_dirty,
  frozen,
  not_judged,  // the picture does not suit the model: detail
};
std::string_view to_word(Withhold why);  // "tag_not_read" …: text key "withheld.<word>"

struct Withheld {
  std::string look{};
  std::int64_t frame = 0;
  Withhold why = Withhold::tag_not_read;
  double value = 0, limit = 0;
  std::vector<std::string> codes{};
  std::string detail{};  // for maintenance
};

using Assistance = std::variant<Given, Withheld>;

// Whether what the model was taught to expect is what the checklists expect, component by component
// of each variant that both know. refused: names the first that differs.
Status agree(const vision::Model& model, const domain::Master& master);

// From this picture alone. Blocking: tens of milliseconds.
Assistance judge_once(const vision::Model& model, const domain::Master& master, const Frame& frame,
                      const Asked& asked);

// Unit after unit: judge_once(), and what only a run of units can show (camera_moved, lens_dirty).
class UnitsJudge {
 public:
  UnitsJudge(vision::Model model, domain::Master master);
  Assistance judge(const Frame& frame, const Asked& asked);

 private:
  Assistance judge_unit(const Frame& frame, const Asked& asked);

  const vision::Model model_;
  const domain::Master master_;
  vision::HealthWatch watch_;
  std::string watched_look_;                       // seen by watch_, which wants each unit once …
  std::vector<vision::Finding> watched_findings_;  // … with this result
};

}  // namespace lastlook::capture
