// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/study_queries.h"

#include <algorithm>
#include <utility>

#include "kiosk/records/entry.h"
#include "kiosk/records/tables.h"
#include "kiosk/records/unit_queries.h"

namespace lastlook::records {
namespace {

using domain::StudyRecord;

Result<StudyRecord> with_ratings(View view, const StudyRow& row) {
  Entry planned;
  planned.kind = "study_planned";
  planned.version = newest_version(domain::StudyPlanned{});
  planned.body = row.plan;
  const auto plan = decode(planned);
  if (!plan) return tl::unexpected(plan.error());
  StudyRecord record;
  record.plan = std::get<domain::StudyPlanned>(*plan);
  record.planned_us = row.planned_us;
  record.ended = row.ended_us != 0;
  record.why_ended = row.why_ended;
  const auto ratings = rows<StudyRatingRow>(view.store, {row.study});
  if (!ratings) return tl::unexpected(ratings.error());
  for (const StudyRatingRow& one : *ratings)
    record.ratings.push_back({one.person, one.trial, one.item, one.rating, one.rated_us});
  return record;
}

}  // namespace

Result<std::optional<StudyRecord>> study(View view, const std::string& study) {
  const auto row = find<StudyRow>(view.store, {study});
  if (!row) return tl::unexpected(row.error());
  if (!*row) return std::nullopt;
  auto record = with_ratings(view, **row);
  if (!record) return tl::unexpected(record.error());
  return std::optional(*std::move(record));
}

Result<std::vector<StudyRecord>> studies(View view) {
  auto all = rows<StudyRow>(view.store, {});
  if (!all) return tl::unexpected(all.error());
  std::ranges::sort(*all, [](const StudyRow& a, const StudyRow& b) {
    return std::pair(b.planned_us, b.study) < std::pair(a.planned_us, a.study);
  });
  std::vector<StudyRecord> records;
  for (const StudyRow& row : *all) {
    auto record = with_ratings(view, row);
    if (!record) return tl::unexpected(record.error());
    records.push_back(*std::move(record));
  }
  return records;
}

Result<std::vector<StudyRecord>> studies_going_on(View view) {
  std::vector<std::string> ids;
  const Status read = view.store.query("studies_going_on", {}, [&](const Row& row) {
    ids.push_back(std::get<std::string>(row[0]));
  });
  if (!read) return tl::unexpected(read.error());
  std::vector<StudyRecord> records;
  for (const std::string& id : ids) {
    auto record = study(view, id);
    if (!record) return tl::unexpected(record.error());
    records.push_back(*std::move(*record));
  }
  return records;
}

std::string new_study_id() {
  return "s-" + new_look_id().substr(2);
}

}  // namespace lastlook::records
