// SPDX-License-Identifier: Apache-2.0
// The proof that the camera's opinions can be relied on (rule 7, common practice: error-proofing
// verification with master parts). For each shift, variant and model every challenge part of that
// variant is put under the camera: a good one must be conforming at every component, a faulty one
// nonconforming at each of its faults. What the camera says elsewhere on a faulty one does not
// matter. One part that is not met fails the proof; then all are to be shown again.
//
// A passed proof says that the assist still works as it did. It is no estimate of how often it
// misses: the same few faults every shift say nothing of that.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/domain/master.h"

namespace lastlook::flows {

struct Inspection;

// A challenge part that lies under the camera and has no opinion yet.
struct Showing {
  std::string showing, part, variant;
  bool operator==(const Showing&) const = default;
};

// How far the proof of one shift, variant and model has come.
struct Proof {
  std::string production_date, shift, variant, model;
  std::vector<std::string> passed;  // parts, since the last failure
  bool failed = false;              // once in this shift
  bool operator==(const Proof&) const = default;
};

struct Challenge {
  std::string camera;
  std::optional<Showing> open;
  std::vector<Proof> proofs;  // of the newest shift, with this camera
  bool operator==(const Challenge&) const = default;
};

// missing: nothing shown in this shift yet; begun: some parts passed, others are to be shown.
enum class ProofState { missing, begun, held, failed };
std::string_view to_word(ProofState state);

// Of the shift at `now`. Where a variant has no challenge parts the proof is missing.
ProofState proof_state(const Inspection& state, const std::string& variant,
                       const std::string& model, const domain::Reading& now);

// What is left to do for the opinions of this model, variants in the master's order; those without
// challenge parts are left out, and so are those whose proof is held.
struct Due {
  std::string variant;
  ProofState state = ProofState::missing;
  std::vector<std::string> parts;  // still to be shown
  bool operator==(const Due&) const = default;
};
std::vector<Due> proofs_due(const Inspection& state, const std::string& model,
                            const domain::Reading& now);

// Components of the variant at which no challenge part has a fault: there a proof says nothing
// about misses.
std::vector<std::string> unchallenged(const domain::Master& master, const std::string& variant);

// Components whose opinion is not what this part must get; one without an opinion is among them.
std::vector<std::string> unmet(const domain::ChallengePart& part, const domain::Variant& variant,
                               const domain::OpinionGiven& opinion);

// The proof after one more part.
void take(Challenge& challenge, const domain::PartJudged& judged);

}  // namespace lastlook::flows
