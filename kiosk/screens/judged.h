// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "kiosk/domain/master.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// What a challenge part came to: passed or failed, and where the camera saw what it had to see.
class JudgedScreen final : public Screen {
 public:
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  struct Row {
    std::string name, seen, wanted;
    bool met = false;
    domain::Box box;
    std::string trouble;  // what was seen and what had to be, where that differs
  };
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_rows(Canvas& canvas, const Facts& facts, Rect card);
  void draw_row(Canvas& canvas, const Facts& facts, const Row& row, Rect area);

  std::vector<Row> rows_;   // unmet ones first, then in the checklist's order
  std::string comes_next_;  // a sentence
  bool passed_ = false, proved_ = false;
};

}  // namespace lastlook::screens
