// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/upstream.h"

#include <algorithm>

namespace lastlook::flows {
namespace {

using namespace domain;

bool voids(const Master& master, const PastLook& look, UpstreamTest test) {
  if (look.disposition != Disposition::rework) return false;
  return std::ranges::any_of(look.findings, [&](const FindingAdded& finding) {
    const Defect* defect = master.defect(finding.defect);
    return defect && std::ranges::count(defect->voids, test) > 0;
  });
}

}  // namespace

std::optional<std::int64_t> voided_until(const Master& master, const UnitRecord& unit,
                                         UpstreamTest test) {
  std::optional<std::int64_t> until;
  for (const PastLook& look : unit.looks)
    if (voids(master, look, test)) until = std::max(until.value_or(look.closed_us), look.closed_us);
  return until;
}

Standing standing_of(const Master& master, const UnitRecord& unit, UpstreamTest test) {
  const auto until = voided_until(master, unit, test);
  const UpstreamResult* newest = nullptr;
  for (const auto& [result, voided] : unit.results) {
    if (result.test != test || voided || (until && result.measured_us <= *until)) continue;
    if (!newest || result.measured_us >= newest->measured_us) newest = &result;
  }
  if (!newest) return Standing::missing;
  return newest->passed ? Standing::passed : Standing::failed;
}

}  // namespace lastlook::flows
