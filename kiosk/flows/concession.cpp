// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/concession.h"

#include <algorithm>

namespace lastlook::flows {
namespace {

using namespace domain;

// The narrowing goes on as long as something is left; what empties it is the reason.
std::optional<std::string_view> lacks_for(std::vector<Concession> left, const std::string& variant,
                                          const FindingAdded& finding, std::int64_t now_us) {
  const auto none_left = [&](auto fits) {
    std::erase_if(left, [&](const Concession& it) { return !fits(it); });
    return left.empty();
  };
  if (finding.defect == something_else) return "unclassified";
  if (none_left([&](const auto& it) { return it.grant.variant == variant; }))
    return "other_variant";
  if (none_left([&](const auto& it) {
        return it.grant.component == finding.component && it.grant.defect == finding.defect;
      }))
    return "other_finding";
  if (none_left([&](const auto& it) { return it.grant.expires_us > now_us; })) return "expired";
  if (none_left([&](const auto& it) { return it.used < it.grant.quantity; })) return "used_up";
  return std::nullopt;
}

}  // namespace

std::optional<std::string_view> lacks(const std::vector<Concession>& granted,
                                      const std::string& number, const std::string& variant,
                                      const std::vector<FindingAdded>& findings,
                                      std::int64_t now_us) {
  std::vector<Concession> of_number;
  std::ranges::copy_if(granted, std::back_inserter(of_number),
                       [&](const Concession& it) { return it.grant.number == number; });
  if (of_number.empty()) return "unknown";
  for (const FindingAdded& finding : findings)
    if (const auto reason = lacks_for(of_number, variant, finding, now_us)) return reason;
  return std::nullopt;
}

}  // namespace lastlook::flows
