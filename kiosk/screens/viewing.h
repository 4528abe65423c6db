// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "kiosk/screens/keypad.h"
#include "kiosk/screens/screen.h"
#include "kiosk/screens/second_person.h"

namespace lastlook::screens {

// The place of the look, once a shift: the lamp, the light where the unit lies, the distance.
class ViewingScreen final : public Screen {
 public:
  void enter() override;
  void leave() override { second_.leave(); }
  void update(const Facts& facts) override { second_.update(facts); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_yes_or_no(Canvas& canvas, const text::Strings& say, const std::string& key,
                      const std::string& question, Rect row, std::optional<bool>& answer);
  void draw_light(Canvas& canvas, const Facts& facts, Rect row);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  bool is_good(const domain::Viewing& wanted) const;

  std::optional<bool> lamp_, distance_;
  std::optional<std::int64_t> lux_;
  Keypad keypad_;
  SecondPerson second_;
};

}  // namespace lastlook::screens
