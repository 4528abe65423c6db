// SPDX-License-Identifier: Apache-2.0
// Who is it? A tile for each person, then the PIN of the one who was touched.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/request.h"

namespace lastlook::screens {

class PersonAndPin {
 public:
  struct Entered {
    std::string person, pin;
  };
  // `done`: text key of what confirms the PIN.
  PersonAndPin(Say words, const char* done) : words_(words), done_(done) {}

  void enter();  // at the names
  void update(const Facts& facts);
  // What was entered, when it was. `title` stands above the names, `nobody` where there are none.
  std::optional<Entered> draw(Canvas& canvas, const Facts& facts,
                              const std::vector<records::Person>& people, const std::string& title,
                              const std::string& nobody, const Rect& zone, Requests& out);
  bool at_names() const { return person_.empty(); }

 private:
  void draw_names(Canvas& canvas, const Facts& facts, const std::vector<records::Person>& people,
                  const Rect& room);
  std::optional<Entered> draw_pin(Canvas& canvas, const Facts& facts, const std::string& name,
                                  Rect zone, Requests& out);

  Say words_;
  const char* done_;
  std::string person_, digits_;
  bool checking_ = false;
  Pager pager_;
};

}  // namespace lastlook::screens
