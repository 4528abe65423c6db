// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <utility>

#include "kiosk/flows/inspection.h"
#include "kiosk/text/master_json.h"

namespace lastlook::flows {
namespace {

using namespace domain;

struct Fold {
  Inspection& state;
  const Reading& at;

  OpenLook* open(const std::string& look) const {
    return state.open && state.open->opened.look == look ? &*state.open : nullptr;
  }

  auto parked(const std::string& look) const {
    return std::ranges::find(state.parked, look, [](const OpenLook& it) { return it.opened.look; });
  }

  // There is never a second open look; were there one in a journal, it would stay in sight.
  void set_aside() const {
    if (state.open) state.parked.push_back(std::move(*state.open));
    state.open.reset();
  }

  void take_variant(OpenLook& look, const std::string& variant) const {
    look.variant = variant;
    look.opinion.reset();
    look.unseen_opinion.reset();
    look.steps.clear();
    const Variant* known = look.master.variant(variant);
    if (!known) return;
    for (const Step& step : known->checklist) {
      const bool first = step.answer_first && !is_second_look(look);
      look.steps.push_back({step, {}, first ? AnswerFirst::due : AnswerFirst::no});
    }
  }

  void operator()(const MasterAdopted& it) const {
    if (auto master = text::read_master(it.document)) state.master = std::move(*master);
  }

  void operator()(const SignedIn& it) const {
    state.person = it.person;
    state.role = it.role;
    state.last.reset();
  }

  void operator()(const SignedOut&) const {
    state.person.clear();
    state.role = Role::inspector;
    state.last.reset();
  }

  void operator()(const LookOpened& it) const {
    set_aside();
    OpenLook look;
    look.opened = it;
    look.master = state.master;
    if (!it.variant.empty()) take_variant(look, it.variant);
    state.open = std::move(look);
  }

  void operator()(const VariantConfirmed& it) const {
    if (OpenLook* look = open(it.look)) take_variant(*look, it.variant);
  }

  void operator()(const StepAnswered& it) const {
    if (OpenLook* look = open(it.look))
      for (StepState& step : look->steps)
        if (step.step.component == it.component) answer(*look, step, it.answer);
  }

  // After one more look the answer stands, whatever it is.
  void answer(const OpenLook& look, StepState& step, Answer answer) const {
    step.answer = answer;
    if (step.first == AnswerFirst::differs)
      step.first = AnswerFirst::done;
    else
      hold_against(look, step);
  }

  // What was answered first, against the newest opinion; the first that can be held against it
  // does.
  void hold_against(const OpenLook& look, StepState& step) const {
    if (step.first != AnswerFirst::due || step.answer == Answer::not_answered || !look.opinion)
      return;
    const auto& given = look.opinion->components;
    const auto opinion =
        std::ranges::find(given, step.step.component, &ComponentOpinion::component);
    if (opinion == given.end()) return;
    const bool conforms = step.answer == Answer::conforming;
    const bool differs = opinion->conforming == (conforms ? "no" : "yes");
    step.first = differs ? AnswerFirst::differs : AnswerFirst::done;
  }

  void operator()(const AnswerFirstDrawn& it) const {
    if (OpenLook* look = open(it.look))
      for (StepState& step : look->steps)
        if (std::ranges::count(it.components, step.step.component) > 0)
          step.first = AnswerFirst::due;
  }

  void operator()(const AnsweredTogether& it) const {
    if (OpenLook* look = open(it.look))
      for (StepState& step : look->steps)
        if (std::ranges::count(it.components, step.step.component) > 0)
          step.answer = Answer::conforming;
  }

  void operator()(const OpinionGiven& it) const {
    OpenLook* look = open(it.look);
    if (!look) return;
    (is_second_look(*look) ? look->unseen_opinion : look->opinion) = it;
    for (StepState& step : look->steps) hold_against(*look, step);
  }

  void operator()(const FindingAdded& it) const {
    if (OpenLook* look = open(it.look)) look->findings.push_back(it);
  }

  void operator()(const FindingWithdrawn& it) const {
    if (OpenLook* look = open(it.look))
      std::erase_if(look->findings,
                    [&](const FindingAdded& finding) { return finding.finding == it.finding; });
  }

  void operator()(const LookParked& it) const {
    if (OpenLook* look = open(it.look)) {
      look->parked = it;
      look->opinion.reset();  // a unit may change while it lies aside
      look->unseen_opinion.reset();
      set_aside();
    }
  }

  void operator()(const LookResumed& it) const {
    const auto found = parked(it.look);
    if (found == state.parked.end()) return;
    OpenLook look = std::move(*found);
    state.parked.erase(found);
    set_aside();
    look.parked.reset();
    state.open = std::move(look);
  }

  void operator()(const LookClosed& it) const {
    const OpenLook* look = open(it.look);
    if (!look) return;
    state.last = ClosedLook{it.look,        look->opened.serial, look->opened.ticket,
                            it.disposition, at.wall_us,          it.why,
                            it.concession,  state.person,        is_second_look(*look)};
    state.open.reset();
  }

  void operator()(const SecondLookDrawn& it) const {
    if (state.last && state.last->look == it.look) state.last->held_back = true;
  }

  void operator()(const DispositionCorrected& it) const {
    if (!state.last || state.last->look != it.look) return;
    state.last->disposition = it.to;
    state.last->why = it.why;
  }

  void operator()(const SerialDisputed& it) const {
    const auto touches = [&](const OpenLook& look) {
      const LookOpened& opened = look.opened;
      return opened.look == it.look || opened.look == it.other_look || opened.serial == it.serial;
    };
    if (state.open && touches(*state.open)) state.open->disputed = true;
    for (OpenLook& look : state.parked)
      if (touches(look)) look.disputed = true;
  }

  void operator()(const PartShown& it) const {
    state.challenge.open = Showing{it.showing, it.part, it.variant};
    state.last.reset();
  }

  void operator()(const PartJudged& it) const { take(state.challenge, it); }

  void operator()(const PartLeft&) const { state.challenge.open.reset(); }

  void operator()(const CameraChanged& it) const {
    state.challenge.camera = it.camera;
    state.challenge.proofs.clear();
  }

  void operator()(const ModelApproved& it) const { state.model = it; }

  // Kept for the records; they do not change what the station is doing.
  void operator()(const JournalStarted&) const {}
  void operator()(const ClockJumped&) const {}
  void operator()(const UnitBuilt&) const {}
  void operator()(const ResultEntered&) const {}
  void operator()(const OtherScanSeen&) const {}
  void operator()(const SerialLinked&) const {}
  void operator()(const ConcessionGranted&) const {}
  void operator()(const StudyPlanned&) const {}
  void operator()(const StudyRated&) const {}
  void operator()(const StudyEnded&) const {}
  void operator()(const HandoverNoted&) const {}
  void operator()(const ClaimOpened&) const {}
  void operator()(const ClaimJudged&) const {}
  void operator()(const PicturesPruned&) const {}
  void operator()(const HoldReleased&) const {}
  void operator()(const PartsFitted&) const {}
  void operator()(const SignInAllowed&) const {}
  void operator()(const ReactionRaised&) const {}
  void operator()(const ReactionSettled&) const {}
  void operator()(const HelpCalled&) const {}
  void operator()(const HelpCame&) const {}
  void operator()(const ViewingChecked&) const {}
};

}  // namespace

void evolve(Inspection& state, const Happening& happening, const Reading& at) {
  std::visit(Fold{state, at}, happening);
}

}  // namespace lastlook::flows
