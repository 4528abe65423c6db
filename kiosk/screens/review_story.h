// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/granting.h"
#include "kiosk/screens/keypad.h"
#include "kiosk/screens/screen.h"
#include "kiosk/screens/second_person.h"

namespace lastlook::screens {

// One unit: its picture with the places of its findings, and its story in short.
class ReviewStoryScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  struct Line {
    std::string text;
    bool quiet = false;
    std::optional<Shape> shape = {};
  };

  struct Act {
    std::string key, text, second;
    Shape shape = Shape::eye;
  };

  std::vector<Act> acts(const Facts& facts) const;
  void act(const std::string& key, const Facts& facts, Requests& out);
  void tell(const Facts& facts, const records::LookStory& look, bool asked);
  void tell(const text::Strings& say, const records::ClaimRow& claim);
  void tell_parts(const text::Strings& say, const records::UnitStory& story);
  void draw_picture(Canvas& canvas, const Facts& facts, const Rect& area);
  void draw_acts(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_lines(Canvas& canvas, const Facts& facts, Rect card);

  void draw_release(Canvas& canvas, const Facts& facts, Requests& out);
  void draw_link(Canvas& canvas, const Facts& facts, Requests& out);
  bool is_asking() const;

  std::string name_;
  std::vector<Line> lines_;
  bool releasing_ = false;  // asks why
  bool linking_ = false;    // asks how the serial became known
  std::string known_by_;    // and then which it is
  Keypad keypad_;
  SecondPerson second_;
  Granting granting_;
};

}  // namespace lastlook::screens
