// SPDX-License-Identifier: Apache-2.0
// What the records know of a unit, and of permissions that may concern it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "kiosk/domain/happening.h"

namespace lastlook::domain {

struct PastLook {
  std::string look, station;
  std::int64_t number = 0;
  std::int64_t opened_us = 0, closed_us = 0;  // closed_us 0: still open or parked
  std::optional<Disposition> disposition;
  bool parked = false;
  std::vector<FindingAdded> findings;  // not the withdrawn ones
  std::string serial, ticket;          // ticket: of a look without a readable tag, also once linked
  std::int64_t closed_seq = 0;         // the entry that closed it, or corrected it last
  std::string closed_by;               // who closed it; empty: not closed
  std::vector<std::string> people{};   // who answered in it, found something or closed it; by id
  std::string second_of{};             // a second look: the one that it repeats
  bool released = false;               // its hold was, since it was closed or corrected last
  bool operator==(const PastLook&) const = default;
};

struct KnownResult {
  UpstreamResult result;
  bool voided = false;  // a rework since then named it
  bool operator==(const KnownResult&) const = default;
};

// A unit that was drawn for a blind second look and is held back for it.
struct SecondLookDue {
  std::string look;                 // the one to be repeated
  std::vector<std::string> people;  // who had a hand in it, and so does not repeat it
  std::int64_t number = 0;
  bool operator==(const SecondLookDue&) const = default;
};

struct ClaimRecord {
  ClaimOpened opened;
  std::optional<ClaimJudged> judged;
  bool operator==(const ClaimRecord&) const = default;
};

struct UnitRecord {
  std::string serial;
  std::string variant;  // by the build record; empty: none at hand
  std::vector<KnownResult> results;
  std::vector<PastLook> looks;  // by number
  bool disputed = false;
  std::optional<SecondLookDue> second_look{};  // not opened yet
  // Accepted, and rejected at the second look: held until a supervisor or quality engineer has
  // looked at it.
  bool looks_differ = false;
  std::vector<ClaimRecord> claims{};  // that were opened at this station
  std::string made{};                 // the day, by the build record
  std::vector<FittedPart> parts{};    // inside it, by type and lot
  bool operator==(const UnitRecord&) const = default;
};

struct Concession {
  ConcessionGranted grant;
  std::int64_t used = 0;
  ConcessionState state(std::int64_t now_us) const {
    if (grant.expires_us <= now_us) return ConcessionState::expired;
    return used >= grant.quantity ? ConcessionState::used_up : ConcessionState::valid;
  }
  bool operator==(const Concession&) const = default;
};

}  // namespace lastlook::domain
