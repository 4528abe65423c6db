// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/opinion_queries.h"

namespace lastlook::records {
namespace {

std::int64_t whole(const Row& row, std::size_t column) {
  const auto* value = std::get_if<std::int64_t>(&row.at(column));
  return value ? *value : 0;
}

}  // namespace

Result<std::vector<OpinionCount>> opinion_counts(View view, const Period& period) {
  std::vector<OpinionCount> counts;
  const Status read = view.store.query("opinion_counts", parameters(period), [&](const Row& row) {
    counts.push_back({std::get<std::string>(row.at(0)), whole(row, 1), whole(row, 2), whole(row, 3),
                      whole(row, 4), whole(row, 5), whole(row, 6)});
  });
  if (!read) return tl::unexpected(read.error());
  return counts;
}

Result<std::int64_t> looks_with_opinion(View view, const Period& period) {
  std::int64_t looks = 0;
  const Status read = view.store.query("looks_with_opinion", parameters(period),
                                       [&](const Row& row) { looks = whole(row, 0); });
  if (!read) return tl::unexpected(read.error());
  return looks;
}

Result<std::vector<IndependentAnswer>> independent_answers(View view, const Period& period) {
  std::vector<IndependentAnswer> answers;
  const Status read =
      view.store.query("answers_and_opinions", parameters(period), [&](const Row& row) {
        const auto text = [&](std::size_t column) { return std::get<std::string>(row.at(column)); };
        answers.push_back(
            {text(0), text(1), text(2), text(3), text(4), text(5), std::get<double>(row.at(6))});
      });
  if (!read) return tl::unexpected(read.error());
  return answers;
}

}  // namespace lastlook::records
