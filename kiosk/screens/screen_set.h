// SPDX-License-Identifier: Apache-2.0
// All screens; the one that the facts call for is in front.
#pragma once

#include "kiosk/screens/closed.h"
#include "kiosk/screens/containment.h"
#include "kiosk/screens/handover.h"
#include "kiosk/screens/help.h"
#include "kiosk/screens/judged.h"
#include "kiosk/screens/look.h"
#include "kiosk/screens/part.h"
#include "kiosk/screens/proofs.h"
#include "kiosk/screens/reaction.h"
#include "kiosk/screens/returned.h"
#include "kiosk/screens/review.h"
#include "kiosk/screens/review_behind.h"
#include "kiosk/screens/review_concessions.h"
#include "kiosk/screens/review_look.h"
#include "kiosk/screens/review_next.h"
#include "kiosk/screens/review_shifts.h"
#include "kiosk/screens/review_story.h"
#include "kiosk/screens/review_usual.h"
#include "kiosk/screens/review_waiting.h"
#include "kiosk/screens/sign_in.h"
#include "kiosk/screens/study_rate.h"
#include "kiosk/screens/study_results.h"
#include "kiosk/screens/teach_home.h"
#include "kiosk/screens/teach_learn.h"
#include "kiosk/screens/teach_mark.h"
#include "kiosk/screens/teach_reference.h"
#include "kiosk/screens/teach_sheet.h"
#include "kiosk/screens/teach_shoot.h"
#include "kiosk/screens/together.h"
#include "kiosk/screens/variant.h"
#include "kiosk/screens/verdict.h"
#include "kiosk/screens/viewing.h"
#include "kiosk/screens/waiting.h"
#include "kiosk/screens/wear.h"

namespace lastlook::screens {

class ScreenSet {
 public:
  // The facts have changed. True if another screen came to the front.
  bool update(const Facts& facts);
  void draw(Canvas& canvas, const Facts& facts, Requests& out);
  Which which() const { return which_; }

 private:
  Screen& screen(Which which);

  Which which_ = Which::sign_in;
  SignInScreen sign_in_;
  StartScreen start_;
  HandoverScreen handover_;
  ViewingScreen viewing_;
  HelpScreen help_;
  ReactionScreen reaction_;
  WaitingScreen waiting_;
  ReturnedScreen returned_;
  VariantScreen variant_;
  TogetherScreen together_;
  LookScreen look_;
  VerdictScreen verdict_;
  ClosedScreen closed_;
  ReviewScreen review_;
  ReviewBehindScreen review_behind_;
  ReviewStoryScreen review_story_;
  ReviewUsualScreen review_usual_;
  ReviewWaitingScreen review_waiting_;
  ReviewLookScreen review_look_;
  ReviewNextScreen review_next_;
  ReviewShiftsScreen review_shifts_;
  ReviewConcessionsScreen review_concessions_;
  PartScreen part_;
  JudgedScreen judged_;
  ProofsScreen proofs_;
  ContainmentScreen containment_;
  WearScreen wear_;
  StudyRateScreen study_rate_;
  StudyResultsScreen study_results_;
  TeachHomeScreen teach_home_;
  TeachReferenceScreen teach_reference_;
  TeachMarkScreen teach_mark_;
  TeachShootScreen teach_shoot_;
  TeachLearnScreen teach_learn_;
  TeachSheetScreen teach_sheet_;
};

}  // namespace lastlook::screens
