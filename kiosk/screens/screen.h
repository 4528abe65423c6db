// SPDX-License-Identifier: Apache-2.0
// A screen: one thing to do. It draws facts and turns touches into requests; it decides nothing.
#pragma once

#include <string_view>

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"

namespace lastlook::screens {

class Screen {
 public:
  virtual ~Screen() = default;
  virtual void enter() {}               // came to the front
  virtual void update(const Facts&) {}  // the facts have changed: prepare what draw() needs
  virtual void draw(Canvas& canvas, const Facts& facts, Requests& out) = 0;
  virtual void leave() {}
};

enum class Which {
  sign_in,
  start,
  handover,
  viewing,
  help,
  reaction,
  waiting,
  returned,
  variant,
  together,
  look,
  verdict,
  closed,
  review,
  review_behind,
  review_story,
  review_usual,
  review_waiting,
  review_look,
  review_next,
  review_shifts,
  review_concessions,
  part,
  judged,
  proofs,
  containment,
  wear,
  study_rate,
  study_results,
  teach_home,
  teach_reference,
  teach_mark,
  teach_shoot,
  teach_learn,
  teach_sheet
};
std::string_view to_word(Which which);

// Which one the facts call for.
Which which_screen(const Facts& facts);

}  // namespace lastlook::screens
