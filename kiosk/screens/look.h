// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// One component after the other: where it is, what is right, what the camera thinks, the answer.
// After "does not conform": which defect, then its place on the picture.
class LookScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  enum class Ask { nothing, answer, defect, place, finding };  // what of the step at hand

  void draw_picture(Canvas& canvas, const Facts& facts, const Work& work, Requests& out);
  void draw_answer(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_name(Canvas& canvas, const text::Strings& say, Rect& zone, Type type);
  void draw_flags(Canvas& canvas, const Facts& facts, Rect& zone);
  void draw_samples_key(Canvas& canvas, const Facts& facts, const Rect& lies);
  void draw_samples(Canvas& canvas, const Facts& facts);
  void draw_answer_buttons(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out);
  void draw_ways_out(Canvas& canvas, const Facts& facts, const Rect& row, Requests& out);
  void draw_defects(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_place(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_findings(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_withdraw(Canvas& canvas, const Facts& facts, Requests& out);
  void draw_park(Canvas& canvas, const Facts& facts, Requests& out);
  void answer(domain::Answer answer, const Facts& facts, Requests& out) const;
  void add_finding(std::optional<domain::Place> place, Requests& out);

  // Prepared by update().
  std::size_t step_ = 0;
  Ask ask_ = Ask::nothing;
  domain::Step at_;
  std::string name_;
  domain::Answer answered_ = domain::Answer::not_answered;
  const domain::ComponentOpinion* opinion_ = nullptr;  // that may be shown
  bool first_ = false;                                 // it is not, before the answer
  bool differs_ = false;                               // one more look is asked for
  std::vector<std::size_t> samples_;                   // limit samples of the component
  domain::Box box_;

  // What the finger has done so far.
  std::string defect_;       // chosen, its place is asked next
  std::string withdrawing_;  // finding that is to be taken back, once it is said why
  bool another_ = false;     // one more finding at a component that has one
  bool parking_ = false;
  bool comparing_ = false;  // with the limit samples
  Pager pager_;
};

}  // namespace lastlook::screens
