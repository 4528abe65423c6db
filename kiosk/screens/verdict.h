// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "kiosk/screens/screen.h"
#include "kiosk/screens/second_person.h"

namespace lastlook::screens {

// All steps are answered: what stands against accepting, and what may be decided. Nothing is
// decided by itself.
class VerdictScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_reasons(Canvas& canvas, const Facts& facts, Rect area);
  void draw_choices(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out);
  void draw_choice(Canvas& canvas, const Facts& facts, domain::Disposition disposition,
                   const Rect& cell, bool compact, Requests& out);
  void draw_park(Canvas& canvas, const Facts& facts, const Rect& cell, bool compact, Requests& out);

  void ask_paper(Canvas& canvas, const Facts& facts);
  std::string test_name(const Facts& facts) const;  // of by_paper_

  std::vector<std::string> reasons_;
  std::string camera_differs_;  // components that it would not have let pass
  bool can_accept_ = false;
  bool waits_for_result_ = false;
  bool parking_ = false;
  // Missing, and a stamped paper may stand in for it; the first of them.
  std::optional<domain::UpstreamTest> by_paper_;
  bool reading_paper_ = false;
  SecondPerson second_;
};

}  // namespace lastlook::screens
