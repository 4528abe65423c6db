// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/challenge.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/domain/calendar.h"
#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

namespace {

bool holds_for(const Proof& proof, const std::string& date, const std::string& shift) {
  return proof.production_date == date && proof.shift == shift;
}

const Proof* proof_of(const Challenge& challenge, const std::string& variant,
                      const std::string& model, const ShiftOfDay& shift) {
  const auto found = std::ranges::find_if(challenge.proofs, [&](const Proof& proof) {
    return proof.variant == variant && proof.model == model &&
           holds_for(proof, shift.production_date, shift.shift);
  });
  return found == challenge.proofs.end() ? nullptr : &*found;
}

std::vector<std::string> parts_of(const Master& master, const std::string& variant) {
  std::vector<std::string> parts;
  for (const ChallengePart& part : master.challenge_parts)
    if (part.variant == variant) parts.push_back(part.serial);
  return parts;
}

std::vector<std::string> parts_left(const Master& master, const std::string& variant,
                                    const Proof* proof) {
  std::vector<std::string> parts = parts_of(master, variant);
  if (proof)
    std::erase_if(parts, [&](const std::string& part) {
      return std::ranges::count(proof->passed, part) > 0;
    });
  return parts;
}

ProofState state_of(const Master& master, const std::string& variant, const Proof* proof) {
  if (!proof) return ProofState::missing;
  const bool has_parts = !parts_of(master, variant).empty();
  if (has_parts && parts_left(master, variant, proof).empty()) return ProofState::held;
  if (proof->failed) return ProofState::failed;
  return proof->passed.empty() ? ProofState::missing : ProofState::begun;
}

}  // namespace

std::string_view to_word(ProofState state) {
  switch (state) {
    case ProofState::missing:
      return "missing";
    case ProofState::begun:
      return "begun";
    case ProofState::held:
      return "held";
    case ProofState::failed:
      return "failed";
  }
  return "";
}

ProofState proof_state(const Inspection& state, const std::string& variant,
                       const std::string& model, const Reading& now) {
  const ShiftOfDay shift = shift_of(state.master, now);
  return state_of(state.master, variant, proof_of(state.challenge, variant, model, shift));
}

std::vector<Due> proofs_due(const Inspection& state, const std::string& model, const Reading& now) {
  const ShiftOfDay shift = shift_of(state.master, now);
  std::vector<Due> all;
  for (const Variant& variant : state.master.variants) {
    const Proof* proof = proof_of(state.challenge, variant.id, model, shift);
    Due due{variant.id, state_of(state.master, variant.id, proof),
            parts_left(state.master, variant.id, proof)};
    if (!due.parts.empty()) all.push_back(std::move(due));
  }
  return all;
}

std::vector<std::string> unchallenged(const Master& master, const std::string& variant) {
  std::vector<std::string> components;
  const Variant* known = master.variant(variant);
  if (!known) return components;
  for (const Step& step : known->checklist) {
    const auto challenges = [&](const ChallengePart& part) {
      return part.variant == variant && std::ranges::count(part.faults, step.component) > 0;
    };
    if (!std::ranges::any_of(master.challenge_parts, challenges))
      components.push_back(step.component);
  }
  return components;
}

std::vector<std::string> unmet(const ChallengePart& part, const Variant& variant,
                               const OpinionGiven& opinion) {
  std::vector<std::string> components;
  for (const Step& step : variant.checklist) {
    const bool faulty = std::ranges::count(part.faults, step.component) > 0;
    if (!faulty && !part.faults.empty()) continue;
    const auto given =
        std::ranges::find(opinion.components, step.component, &ComponentOpinion::component);
    const bool met =
        given != opinion.components.end() && given->conforming == (faulty ? "no" : "yes");
    if (!met) components.push_back(step.component);
  }
  return components;
}

void take(Challenge& challenge, const PartJudged& judged) {
  challenge.open.reset();
  std::erase_if(challenge.proofs, [&](const Proof& proof) {
    return !holds_for(proof, judged.production_date, judged.shift);
  });
  auto proof = std::ranges::find_if(challenge.proofs, [&](const Proof& known) {
    return known.variant == judged.variant && known.model == judged.model;
  });
  if (proof == challenge.proofs.end())
    proof = challenge.proofs.insert(
        proof, {judged.production_date, judged.shift, judged.variant, judged.model, {}, false});
  if (!judged.unmet.empty()) {
    proof->passed.clear();
    proof->failed = true;
  } else if (std::ranges::count(proof->passed, judged.part) == 0) {
    proof->passed.push_back(judged.part);
  }
}

// --- events ------------------------------------------------------------------------------------

Outcome show_part(const Case& at, const ChallengePart& part) {
  return happened(PartShown{at.lookups.new_look_id(), part.serial, part.variant});
}

Result<Outcome> scanned_while_shown(const Showing& open, const Result<TagCode>& read) {
  if (read && read->serial == open.part) return notice("double_scan", {open.part});
  return notice("part_open", {open.part});
}

Result<Outcome> judge_part(const Case& at, const OpinionArrived& event) {
  const Showing& open = *at.state.challenge.open;
  if (event.opinion.look != open.showing || event.tag_serial != open.part) return Outcome{};
  const ChallengePart* part = at.state.master.challenge_part(open.part);
  const Variant* variant = at.state.master.variant(open.variant);
  if (!part || !variant) return Outcome{};
  const ShiftOfDay shift = shift_of(at.state.master, at.now);
  PartJudged judged;
  judged.showing = open.showing;
  judged.part = open.part;
  judged.variant = open.variant;
  judged.production_date = shift.production_date;
  judged.shift = shift.shift;
  judged.frame = event.opinion.frame;
  judged.model = event.opinion.model;
  judged.picture = event.opinion.picture;
  judged.components = event.opinion.components;
  judged.overlay = event.opinion.overlay;
  judged.unmet = unmet(*part, *variant, event.opinion);
  Challenge after = at.state.challenge;
  take(after, judged);
  const ProofState state =
      state_of(at.state.master, open.variant, proof_of(after, open.variant, judged.model, shift));
  judged.proof = to_word(state);
  Outcome outcome;
  if (!judged.unmet.empty())
    outcome.notices.push_back(
        {"part_not_met", {open.part, fmt::format("{}", fmt::join(judged.unmet, " "))}});
  else if (state == ProofState::held)
    outcome.notices.push_back({"proof_held", {open.variant}});
  outcome.happenings.emplace_back(std::move(judged));
  return outcome;
}

// Whether this opinion may be shown; if not, the notice that says why.
std::optional<Outcome> without_proof(const Case& at, const std::string& variant,
                                     const std::string& model) {
  if (!at.state.master.assist_needs_proof) return std::nullopt;
  switch (proof_state(at.state, variant, model, at.now)) {
    case ProofState::held:
      return std::nullopt;
    case ProofState::failed:
      return notice("proof_failed", {variant});
    case ProofState::missing:
    case ProofState::begun:
      break;
  }
  return notice("proof_missing", {variant, shift_of(at.state.master, at.now).shift});
}

Result<Outcome> on(const Case& at, const LeavePart& event) {
  if (!at.state.challenge.open) return fail(Category::refused, "no challenge part is shown");
  if (is_blank(event.why))
    return fail(Category::bad_input, "a challenge part is not taken away without saying why");
  const Showing& open = *at.state.challenge.open;
  return happened(PartLeft{open.showing, open.part, event.why});
}

Result<Outcome> on(const Case& at, const UseCamera& event) {
  const Challenge& challenge = at.state.challenge;
  if (event.camera == challenge.camera) return Outcome{};
  Outcome outcome;
  if (challenge.open)
    outcome.happenings.emplace_back(
        PartLeft{challenge.open->showing, challenge.open->part, "camera_changed"});
  outcome.happenings.emplace_back(CameraChanged{event.camera});
  return outcome;
}

}  // namespace lastlook::flows
