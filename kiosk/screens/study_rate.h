// SPDX-License-Identifier: Apache-2.0
// A study's items, one after the other: take it, look at it, say what it is. No way back, no
// history, no opinion.
#pragma once

#include <string>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

class StudyRateScreen final : public Screen {
 public:
  void enter() override { taken_.clear(); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  bool is_taken(const StudyTask& task) const;
  static void draw_picture(Canvas& canvas, const Facts& facts, const StudyTask& task,
                           const Work& work);
  void draw_item(Canvas& canvas, const Facts& facts, const StudyTask& task, const Rect& area) const;
  void draw_take(Canvas& canvas, const Facts& facts, const StudyTask& task, Rect zone);
  static void draw_answers(Canvas& canvas, const Facts& facts, const StudyTask& task,
                           const Rect& zone, Requests& out);

  // The item that lies there, by study, trial and mark. It is asked for each, so that a second
  // touch meant for the item before does not rate the next one.
  std::string taken_;
};

// For the waiting screen: the first study that the person can go on with now; nullptr: none.
const StudyTask* study_to_rate(const Facts& facts);

}  // namespace lastlook::screens
