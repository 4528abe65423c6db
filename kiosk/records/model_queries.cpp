// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/model_queries.h"

#include <algorithm>
#include <iterator>
#include <sstream>

#include "kiosk/records/tables.h"

namespace lastlook::records {

Result<std::vector<domain::ApprovedModel>> approved_models(Records& records) {
  auto approvals = rows<ApprovedModelRow>(records.store(), {records.station()});
  if (!approvals) return tl::unexpected(approvals.error());
  std::vector<domain::ApprovedModel> all;
  for (const ApprovedModelRow& row : *approvals) {
    std::istringstream variants(row.variants);
    all.push_back({row.model,
                   row.file,
                   row.before,
                   row.before_file,
                   row.product,
                   {std::istream_iterator<std::string>(variants), {}},
                   row.pictures,
                   row.overlapping,
                   row.why,
                   row.approved_by,
                   row.approved_us});
  }
  std::ranges::reverse(all);
  return all;
}

}  // namespace lastlook::records
