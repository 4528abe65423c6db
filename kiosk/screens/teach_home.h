// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// Which teaching judges and which did before, and where a new one begins.
class TeachHomeScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  struct Row {
    std::string model, first, second;
    bool in_use = false;
  };
  void draw_models(Canvas& canvas, const Facts& facts, Rect area);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_questions(Canvas& canvas, const Facts& facts, Requests& out);

  std::vector<Row> rows_;                // each model once, the one in use first
  std::optional<std::string> going_to_;  // an earlier one: why?
  bool starting_afresh_ = false;
  Pager models_, variants_;
};

}  // namespace lastlook::screens
