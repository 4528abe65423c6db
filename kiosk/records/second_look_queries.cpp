// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/second_look_queries.h"

namespace lastlook::records {

Result<std::int64_t> second_looks_waiting(View view) {
  std::int64_t waiting = 0;
  const Status read = view.store.query("second_looks_waiting", {}, [&](const Row& row) {
    waiting = std::get<std::int64_t>(row.at(0));
  });
  if (!read) return tl::unexpected(read.error());
  return waiting;
}

Result<std::vector<SecondLookDone>> second_looks_done(View view, const Period& period) {
  std::vector<SecondLookDone> all;
  const Status read =
      view.store.query("second_looks_done", parameters(period), [&](const Row& row) {
        const auto text = [&](std::size_t column) { return std::get<std::string>(row.at(column)); };
        all.push_back({text(0), text(1), text(2), text(3), text(4), std::get<double>(row.at(5)),
                       text(6), text(7), text(8), text(9)});
      });
  if (!read) return tl::unexpected(read.error());
  return all;
}

Result<std::vector<SecondLooksDrawn>> second_looks_drawn(View view, const Period& period) {
  std::vector<SecondLooksDrawn> all;
  const Status read =
      view.store.query("second_looks_drawn", parameters(period), [&](const Row& row) {
        all.push_back({std::get<std::string>(row.at(0)), std::get<std::int64_t>(row.at(1)),
                       std::get<std::int64_t>(row.at(2))});
      });
  if (!read) return tl::unexpected(read.error());
  return all;
}

}  // namespace lastlook::records
