// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/reaction_queries.h"

#include "kiosk/records/values.h"

namespace lastlook::records {
namespace {

using namespace domain;

Row without_variant(const Period& period) {
  Row asked = parameters(period);
  asked.pop_back();
  return asked;
}

Result<std::vector<Reaction>> reactions(View view, std::string_view query, const Row& asked) {
  std::vector<Reaction> all;
  const Status read = view.store.query(query, asked, [&](const Row& row) {
    all.push_back({text(row[0]), text(row[1]), text(row[2]), text(row[3]), text(row[4]),
                   whole(row[5]), whole(row[6]), whole(row[7]), whole(row[8]), text(row[9])});
  });
  if (!read) return tl::unexpected(read.error());
  return all;
}

Result<std::vector<HelpCall>> calls(View view, std::string_view query, const Row& asked) {
  std::vector<HelpCall> all;
  const Status read = view.store.query(query, asked, [&](const Row& row) {
    all.push_back({text(row[0]), text(row[1]), text(row[2]), whole(row[3]), whole(row[4])});
  });
  if (!read) return tl::unexpected(read.error());
  return all;
}

}  // namespace

Result<std::vector<ClosedWithFindings>> last_looks(View view, const std::string& station,
                                                   const std::string& from, std::int64_t at_most) {
  std::vector<ClosedWithFindings> looks;
  const auto take = [&](const Row& row) {  // one a finding, or one of a look without
    if (looks.empty() || looks.back().look != text(row[0]))
      looks.push_back({text(row[0]), whole(row[1]), {}});
    if (!text(row[3]).empty()) looks.back().found.push_back({text(row[2]), text(row[3])});
  };
  const Status read = view.store.query("last_looks", {station, from, at_most}, take);
  if (!read) return tl::unexpected(read.error());
  return looks;
}

Result<std::vector<Reaction>> reactions_since(View view, const std::string& station,
                                              std::int64_t from_us) {
  return reactions(view, "reactions_since", {station, from_us});
}

Result<std::vector<Reaction>> open_reactions(View view, const std::string& station) {
  return reactions(view, "reactions_open", {station});
}

Result<std::optional<HelpCall>> open_help(View view, const std::string& station) {
  const auto all = calls(view, "help_not_come", {station});
  if (!all) return tl::unexpected(all.error());
  return all->empty() ? std::nullopt : std::optional(all->front());
}

Result<std::vector<HelpCall>> help_calls(View view, const Period& period) {
  return calls(view, "help_calls", without_variant(period));
}

Result<std::vector<ViewingCheck>> viewing_checks(View view, const Period& period) {
  std::vector<ViewingCheck> all;
  const Status read =
      view.store.query("viewing_checks", without_variant(period), [&](const Row& row) {
        all.push_back({text(row[0]), whole(row[1]) != 0, whole(row[2]), whole(row[3]) != 0,
                       text(row[4]), whole(row[5])});
      });
  if (!read) return tl::unexpected(read.error());
  return all;
}

}  // namespace lastlook::records
