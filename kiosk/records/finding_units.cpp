// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/finding_units.h"

namespace lastlook::records {

Result<std::vector<FindingUnit>> finding_units(View view, const Period& period) {
  std::vector<FindingUnit> all;
  const Status read = view.store.query("finding_units", parameters(period), [&](const Row& row) {
    const auto text = [&](std::size_t i) {
      const auto* is = std::get_if<std::string>(&row[i]);
      return is ? *is : std::string();
    };
    const auto whole = [&](std::size_t i) { return std::get<std::int64_t>(row[i]); };
    FindingUnit one;
    one.look = text(0);
    one.station = text(1);
    one.serial = text(2);
    one.ticket = text(3);
    one.number = whole(4);
    one.variant = text(5);
    one.disposition =
        domain::from_word<domain::Disposition>(text(6)).value_or(domain::Disposition::hold);
    one.closed_us = whole(7);
    one.component = text(8);
    one.defect = text(9);
    one.severity = domain::from_word<domain::Severity>(text(10)).value_or(domain::Severity::major);
    one.held_back = whole(11) != 0;
    all.push_back(std::move(one));
  });
  if (!read) return tl::unexpected(read.error());
  return all;
}

}  // namespace lastlook::records
