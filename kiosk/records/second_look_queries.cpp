// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/second_look_queries.h"

#include "kiosk/records/values.h"

namespace lastlook::records {

Result<std::int64_t> second_looks_waiting(View view) {
  std::int64_t waiting = 0;
  const Status read = view.store.query("second_looks_waiting", {},
                                       [&](const Row& row) { waiting = whole(row.at(0)); });
  if (!read) return tl::unexpected(read.error());
  return waiting;
}

Result<std::vector<SecondLookDone>> second_looks_done(View view, const Period& period) {
  std::vector<SecondLookDone> all;
  const Status read =
      view.store.query("second_looks_done", parameters(period), [&](const Row& row) {
        all.push_back({text(row.at(0)), text(row.at(1)), text(row.at(2)), text(row.at(3)),
                       text(row.at(4)), number(row.at(5)), text(row.at(6)), text(row.at(7)),
                       text(row.at(8)), text(row.at(9))});
      });
  if (!read) return tl::unexpected(read.error());
  return all;
}

Result<std::vector<SecondLooksDrawn>> second_looks_drawn(View view, const Period& period) {
  std::vector<SecondLooksDrawn> all;
  const Status read =
      view.store.query("second_looks_drawn", parameters(period), [&](const Row& row) {
        all.push_back({text(row.at(0)), whole(row.at(1)), whole(row.at(2))});
      });
  if (!read) return tl::unexpected(read.error());
  return all;
}

}  // namespace lastlook::records
