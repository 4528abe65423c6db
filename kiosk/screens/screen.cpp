// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/screen.h"

#include <algorithm>

namespace lastlook::screens {

std::string_view to_word(Which which) {
  switch (which) {
    case Which::sign_in:
      return "sign_in";
    case Which::start:
      return "start";
    case Which::handover:
      return "handover";
    case Which::viewing:
      return "viewing";
    case Which::help:
      return "help";
    case Which::reaction:
      return "reaction";
    case Which::waiting:
      return "waiting";
    case Which::returned:
      return "returned";
    case Which::variant:
      return "variant";
    case Which::together:
      return "together";
    case Which::look:
      return "look";
    case Which::verdict:
      return "verdict";
    case Which::closed:
      return "closed";
    case Which::review:
      return "review";
    case Which::review_behind:
      return "review_behind";
    case Which::review_story:
      return "review_story";
    case Which::review_usual:
      return "review_usual";
    case Which::review_waiting:
      return "review_waiting";
    case Which::review_look:
      return "review_look";
    case Which::review_next:
      return "review_next";
    case Which::review_shifts:
      return "review_shifts";
    case Which::review_concessions:
      return "review_concessions";
    case Which::part:
      return "part";
    case Which::judged:
      return "judged";
    case Which::proofs:
      return "proofs";
    case Which::containment:
      return "containment";
    case Which::wear:
      return "wear";
    case Which::study_rate:
      return "study_rate";
    case Which::study_results:
      return "study_results";
    case Which::teach_home:
      return "teach_home";
    case Which::teach_reference:
      return "teach_reference";
    case Which::teach_mark:
      return "teach_mark";
    case Which::teach_shoot:
      return "teach_shoot";
    case Which::teach_learn:
      return "teach_learn";
    case Which::teach_sheet:
      return "teach_sheet";
  }
  return "?";
}

namespace {

Which which_of_teaching(flows::Teaching::Step step) {
  using Step = flows::Teaching::Step;
  switch (step) {
    case Step::reference:
      return Which::teach_reference;
    case Step::mark:
      return Which::teach_mark;
    case Step::shoot:
      return Which::teach_shoot;
    case Step::learn:
      return Which::teach_learn;
    case Step::sheet:
      return Which::teach_sheet;
    case Step::home:
      break;
  }
  return Which::teach_home;
}

Which which_of_review(const ReviewFacts& review) {
  if (review.choosing) return Which::review_shifts;
  if (review.story) return Which::review_story;
  if (review.behind) return Which::review_behind;
  if (review.concessions_open) return Which::review_concessions;
  switch (review.question) {
    case Question::usual:
      return Which::review_usual;
    case Question::waiting:
      return Which::review_waiting;
    case Question::look:
      return Which::review_look;
    case Question::next:
      return Which::review_next;
    case Question::most:
      break;
  }
  return Which::review;
}

// While the camera may still say something, and once it calls two or more of them right.
bool asks_together(const Facts& facts) {
  const flows::OpenLook& look = *facts.inspection->open;
  const auto steps = flows::together_steps(look);
  if (steps.empty() || facts.one_by_one || facts.revised_step) return false;
  if (flows::next_step(look) != steps.front() || facts.camera.texture == 0) return false;
  if (!look.opinion) return !facts.withheld;
  return std::ranges::count_if(steps, [&](std::size_t i) {
           const auto* opinion = flows::shown_opinion(look, look.steps[i].step.component);
           return opinion && opinion->conforming == "yes";
         }) >= 2;
}

Which which_of_step(const Facts& facts) {
  if (facts.deciding) return Which::verdict;
  return asks_together(facts) ? Which::together : Which::look;
}

}  // namespace

Which which_screen(const Facts& facts) {
  using flows::Stage;
  const Stage stage = flows::stage_of(*facts.inspection);
  if (stage == Stage::signed_out || facts.locked) return Which::sign_in;
  if (!facts.caution_seen) return Which::start;
  if (!facts.handover.empty()) return Which::handover;
  if (facts.help && facts.help_shown) return Which::help;
  if (facts.question) return Which::returned;
  switch (stage) {
    case Stage::confirm_variant:
      return Which::variant;
    case Stage::step:
      return which_of_step(facts);
    case Stage::challenge:
      return Which::part;
    case Stage::verdict:
      return facts.revised_step ? Which::look : Which::verdict;
    default:
      break;
  }
  if (facts.reaction_shown) return Which::reaction;
  if (facts.viewing_due && domain::may(facts.inspection->role, domain::Right::inspect))
    return Which::viewing;
  if (facts.proof.containment_open) return Which::containment;
  if (facts.proof.judged) return Which::judged;
  if (facts.proof.wear) return Which::wear;
  if (facts.proof.open) return Which::proofs;
  const bool closed = facts.closed_shown && facts.inspection->last;
  if (facts.teaching && facts.teaching->at.open)
    return closed ? Which::closed : which_of_teaching(facts.teaching->at.step);
  if (facts.review_open) return which_of_review(facts.review);
  if (closed) return Which::closed;
  if (facts.study.task()) return Which::study_rate;
  return facts.study.shown ? Which::study_results : Which::waiting;
}

}  // namespace lastlook::screens
