// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/opinion_queries.h"

#include "kiosk/records/values.h"

namespace lastlook::records {

Result<std::vector<OpinionCount>> opinion_counts(View view, const Period& period) {
  std::vector<OpinionCount> counts;
  const Status read = view.store.query("opinion_counts", parameters(period), [&](const Row& row) {
    counts.push_back({text(row.at(0)), whole(row.at(1)), whole(row.at(2)), whole(row.at(3)),
                      whole(row.at(4)), whole(row.at(5)), whole(row.at(6))});
  });
  if (!read) return tl::unexpected(read.error());
  return counts;
}

Result<std::int64_t> looks_with_opinion(View view, const Period& period) {
  std::int64_t looks = 0;
  const Status read = view.store.query("looks_with_opinion", parameters(period),
                                       [&](const Row& row) { looks = whole(row.at(0)); });
  if (!read) return tl::unexpected(read.error());
  return looks;
}

Result<std::vector<IndependentAnswer>> independent_answers(View view, const Period& period) {
  std::vector<IndependentAnswer> answers;
  const Status read =
      view.store.query("answers_and_opinions", parameters(period), [&](const Row& row) {
        answers.push_back({text(row.at(0)), text(row.at(1)), text(row.at(2)), text(row.at(3)),
                           text(row.at(4)), text(row.at(5)), number(row.at(6))});
      });
  if (!read) return tl::unexpected(read.error());
  return answers;
}

}  // namespace lastlook::records
