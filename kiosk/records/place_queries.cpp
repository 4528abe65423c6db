// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/place_queries.h"

namespace lastlook::records {

Result<std::vector<PlaceCount>> finding_places(View view, const Period& period) {
  std::vector<PlaceCount> all;
  const Status read = view.store.query("finding_places", parameters(period), [&](const Row& row) {
    PlaceCount count{std::get<std::string>(row[0]), std::get<std::string>(row[1]),
                     std::get<std::string>(row[2]), std::nullopt, std::get<std::int64_t>(row[5])};
    const auto* x = std::get_if<double>(&row[3]);
    const auto* y = std::get_if<double>(&row[4]);
    if (x && y) count.place = domain::Place{*x, *y};
    all.push_back(std::move(count));
  });
  if (!read) return tl::unexpected(read.error());
  return all;
}

}  // namespace lastlook::records
