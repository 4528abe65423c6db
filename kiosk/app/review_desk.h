// SPDX-License-Identifier: Apache-2.0
// Gathers what the review of the shift is told: of the question that is open, when it is opened and
// after each event, never while drawing.
#pragma once

#include "kiosk/flows/station.h"
#include "kiosk/screens/request.h"
#include "kiosk/screens/review_facts.h"
#include "kiosk/text/strings.h"

namespace lastlook::app {

class ReviewDesk {
 public:
  struct Parts {
    flows::Station& station;
    domain::Clock& clock;
    const text::Strings& say;
  };
  ReviewDesk(const Parts& parts, screens::ReviewFacts& facts) : parts_(parts), facts_(facts) {}

  void open();  // at the first question
  void handle(const screens::ReviewEvent& event);
  Status gather();

 private:
  Status gather_most(const records::Period& shift);
  Status gather_usual(const reports::WhichShift& shift);
  Status gather_waiting();

  std::string worded(const reports::Change& change) const;

  Parts parts_;
  screens::ReviewFacts& facts_;
};

}  // namespace lastlook::app
