// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/claim_queries.h"

#include <algorithm>
#include <map>
#include <utility>

namespace lastlook::records {
namespace {

Claim claim_from(const Row& row) {
  const auto text = [&](std::size_t column) { return std::get<std::string>(row.at(column)); };
  const auto time = [&](std::size_t column) { return std::get<std::int64_t>(row.at(column)); };
  Claim claim;
  claim.serial = text(0);
  claim.claim = text(1);
  claim.station = text(2);
  claim.reported = text(3);
  claim.complaint = text(4);
  claim.opened_us = time(5);
  claim.verdict = domain::from_word<domain::ClaimVerdict>(text(6));
  claim.component = text(7);
  claim.defect = text(8);
  claim.why = text(9);
  claim.judged_us = time(10);
  claim.look = text(11);
  claim.look_station = text(12);
  claim.variant = text(13);
  claim.production_date = text(14);
  claim.shift = text(15);
  claim.answer = text(16);
  claim.conforming = text(17);
  return claim;
}

}  // namespace

Result<std::vector<Claim>> claims(View view, const Period& period) {
  std::vector<Claim> all;
  const Status read = view.store.query("claims", parameters(period), [&](const Row& row) {
    Claim claim = claim_from(row);
    const auto same = std::ranges::find_if(all, [&](const Claim& other) {
      return other.serial == claim.serial && other.claim == claim.claim;
    });
    if (same == all.end())
      all.push_back(std::move(claim));
    else if (same->judged_us < claim.judged_us)
      *same = std::move(claim);
  });
  if (!read) return tl::unexpected(read.error());
  return all;
}

ClaimCounts counted(const std::vector<Claim>& claims) {
  // Rank by what weighs most for the unit.
  std::map<std::string, int> units;
  for (const Claim& claim : claims) {
    const int weight = !claim.verdict ? 1 : *claim.verdict == domain::ClaimVerdict::escaped ? 2 : 0;
    int& most = units.try_emplace(claim.serial, 0).first->second;
    most = std::max(most, weight);
  }
  ClaimCounts counts;
  for (const auto& [serial, weight] : units)
    ++(weight == 2 ? counts.escaped : weight == 1 ? counts.not_judged : counts.not_visible);
  return counts;
}

}  // namespace lastlook::records
