// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/model_queries.h"

#include <fmt/format.h>

#include <ranges>

#include "kiosk/records/tables.h"

namespace lastlook::records {
namespace {

Result<domain::ApprovedModel> approval_at(JournalStore& store, const ApprovedModelRow& place) {
  const auto damaged = [&] {
    return fail(Category::damaged, fmt::format("entry {} of journal {}: expected the approval of a "
                                               "model",
                                               place.seq, place.journal));
  };
  const auto entry = store.entry(place.journal, place.seq);
  if (!entry) return tl::unexpected(entry.error());
  if (!*entry) return damaged();
  const auto happening = decode(**entry);
  if (!happening) return tl::unexpected(happening.error());
  const auto stamp = read_stamp((*entry)->stamp);
  if (!stamp) return tl::unexpected(stamp.error());
  const auto* approval = std::get_if<domain::ModelApproved>(&*happening);
  if (approval == nullptr) return damaged();
  return domain::ApprovedModel{*approval, (*entry)->actor, stamp->reading.wall_us};
}

}  // namespace

Result<std::vector<domain::ApprovedModel>> approved_models(Records& records) {
  const auto places = rows<ApprovedModelRow>(records.store(), {records.station()});
  if (!places) return tl::unexpected(places.error());
  std::vector<domain::ApprovedModel> all;
  for (const ApprovedModelRow& place : std::views::reverse(*places)) {
    auto one = approval_at(records.store(), place);
    if (!one) return tl::unexpected(one.error());
    all.push_back(std::move(*one));
  }
  return all;
}

}  // namespace lastlook::records
