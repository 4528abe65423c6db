// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/screen_set.h"

namespace lastlook::screens {

Screen& ScreenSet::screen(Which which) {
  switch (which) {
    case Which::sign_in:
      return sign_in_;
    case Which::start:
      return start_;
    case Which::handover:
      return handover_;
    case Which::viewing:
      return viewing_;
    case Which::help:
      return help_;
    case Which::reaction:
      return reaction_;
    case Which::waiting:
      return waiting_;
    case Which::returned:
      return returned_;
    case Which::variant:
      return variant_;
    case Which::together:
      return together_;
    case Which::look:
      return look_;
    case Which::verdict:
      return verdict_;
    case Which::closed:
      return closed_;
    case Which::review:
      return review_;
    case Which::review_behind:
      return review_behind_;
    case Which::review_story:
      return review_story_;
    case Which::review_usual:
      return review_usual_;
    case Which::review_waiting:
      return review_waiting_;
    case Which::review_look:
      return review_look_;
    case Which::review_next:
      return review_next_;
    case Which::review_shifts:
      return review_shifts_;
    case Which::review_concessions:
      return review_concessions_;
    case Which::part:
      return part_;
    case Which::judged:
      return judged_;
    case Which::proofs:
      return proofs_;
    case Which::containment:
      return containment_;
    case Which::wear:
      return wear_;
    case Which::study_rate:
      return study_rate_;
    case Which::study_results:
      return study_results_;
    case Which::teach_home:
      return teach_home_;
    case Which::teach_reference:
      return teach_reference_;
    case Which::teach_mark:
      return teach_mark_;
    case Which::teach_shoot:
      return teach_shoot_;
    case Which::teach_learn:
      return teach_learn_;
    case Which::teach_sheet:
      return teach_sheet_;
  }
  return waiting_;
}

bool ScreenSet::update(const Facts& facts) {
  const Which next = which_screen(facts);
  const bool another = next != which_;
  if (another) {
    screen(which_).leave();
    which_ = next;
    screen(which_).enter();
  }
  screen(which_).update(facts);
  return another;
}

void ScreenSet::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  canvas.left_handed = facts.left_handed;
  screen(which_).draw(canvas, facts, out);
}

}  // namespace lastlook::screens
