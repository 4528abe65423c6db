// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// What was learned, component by component: the right ones from the worst on, the others from the
// best on, and how far apart they are. Then a person approves it, or photographs more.
class TeachSheetScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_sheet(Canvas& canvas, const Facts& facts, Rect area);
  void draw_row(Canvas& canvas, const Facts& facts, const std::vector<flows::SheetShot>& shots,
                int columns, const std::string& key, Rect area);
  void draw_take_back(Canvas& canvas, const Facts& facts, Requests& out);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_question(Canvas& canvas, const Facts& facts, Requests& out);

  std::size_t shown_ = 0;                   // component
  bool approving_ = false;                  // really?
  std::optional<std::string> taking_back_;  // a picture: really?
  std::string untaught_;                    // variants that this teaching does not know
};

}  // namespace lastlook::screens
