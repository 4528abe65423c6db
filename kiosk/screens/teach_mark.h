// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "kiosk/screens/keypad.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// The components on the reference picture: a finger draws a box, moves it, pulls it at its lower
// right corner; then it gets its name.
class TeachMarkScreen final : public Screen {
 public:
  void enter() override;
  void leave() override { keypad_.close(); }
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  enum class Doing { drawing, moving, pulling };
  void follow_finger(Canvas& canvas, const Facts& facts, const Rect& lies, Requests& out);
  void begin(const Canvas& canvas, const Facts& facts, const Rect& lies, Spot from);
  domain::Box dragged(const Rect& lies, Spot from, Spot at) const;
  void draw_corner(Canvas& canvas, const Rect& lies, const domain::Box& box);
  void draw_draft(Canvas& canvas, const Rect& lies);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_naming(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_chosen(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_ways_on(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void name_draft(const std::string& component, Requests& out);

  std::optional<Doing> doing_;        // while a finger is down
  domain::Box before_;                // of the box that is moved or pulled, when it was begun
  std::optional<domain::Box> draft_;  // drawn and not named yet, or as it is being changed
  std::string chosen_;                // a mark; empty: none
  std::string named_;                 // what the draft was called, until the disk has it
  Keypad keypad_;
  Pager names_;
};

}  // namespace lastlook::screens
