// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/proof_facts.h"

#include <algorithm>

#include "kiosk/app/wear.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/records/challenge_queries.h"

namespace lastlook::app {
namespace {

using screens::ProofFacts;

void tell_what_is_due(const flows::Inspection& state, const std::string& model,
                      const domain::Reading& now, ProofFacts& proof) {
  proof.proofs.clear();
  const auto due = flows::proofs_due(state, model, now);
  for (const domain::Variant& variant : state.master.variants) {
    const auto open = std::ranges::find(due, variant.id, &flows::Due::variant);
    if (open != due.end())
      proof.proofs.push_back(*open);
    else if (std::ranges::count(state.master.challenge_parts, variant.id,
                                &domain::ChallengePart::variant) > 0)
      proof.proofs.push_back({variant.id, flows::ProofState::held, {}});
  }
}

// What failed yesterday may not be found yet.
Status gather_containment(flows::Station& station, const domain::Reading& now, ProofFacts& proof) {
  domain::Reading day_before = now;
  day_before.wall_us -= 86'400'000'000;
  const domain::Master& master = station.state().master;
  auto units = records::contained(station.records(),
                                  {domain::shift_of(master, day_before).production_date,
                                   domain::shift_of(master, now).production_date, "", "", ""});
  if (!units) return tl::unexpected(units.error());
  proof.contained = std::move(*units);
  return {};
}

Status gather_wear(flows::Station& station, ProofFacts& proof) {
  if (!proof.wear) return {};
  const domain::Master& master = station.state().master;
  const domain::ChallengePart* part = master.challenge_part(proof.wear->part);
  const auto scores = records::part_scores(station.records(), proof.wear->part);
  if (!scores) return tl::unexpected(scores.error());
  proof.wear->points =
      part ? wear_of(master, *part, *scores) : std::vector<analytics::ScorePoint>{};
  return {};
}

}  // namespace

Status gather_proofs(flows::Station& station, const std::string& model, const domain::Reading& now,
                     ProofFacts& proof) {
  const flows::Inspection& state = station.state();
  proof.needed = state.master.assist_needs_proof;
  if (state.open) return {};
  tell_what_is_due(state, model, now, proof);
  return gather_containment(station, now, proof).and_then([&] {
    return gather_wear(station, proof);
  });
}

}  // namespace lastlook::app
