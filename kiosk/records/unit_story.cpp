// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/unit_story.h"

#include <algorithm>
#include <tuple>
#include <utility>

#include "kiosk/records/projection.h"

namespace lastlook::records {
namespace {

Whereabouts whereabouts_of(const LookRow& newest, bool disputed) {
  Whereabouts now;
  now.station = newest.station;
  now.since_us = newest.closed_us;
  now.why = newest.why;
  if (newest.state == "parked") {
    now.state = "parked";
    now.since_us = newest.parked_us;
    now.why = newest.park_reason;
  } else if (newest.state == "open") {
    now.state = "being_looked_at";
    now.since_us = newest.opened_us;
    now.why.clear();
  } else if (disputed) {
    now.state = "on_hold";
    now.why = "two_with_one_serial";
  } else {
    switch (newest.disposition.value_or(domain::Disposition::hold)) {
      case domain::Disposition::accept:
        now.state = "accepted";
        break;
      case domain::Disposition::rework:
        now.state = "in_rework";
        break;
      case domain::Disposition::hold:
        now.state = "on_hold";
        break;
      case domain::Disposition::scrap:
        now.state = "scrapped";
        break;
    }
  }
  return now;
}

// Of a unit by its looks in order. One that is drawn for a second look is held back, or lies before
// whoever looks at it again.
Whereabouts where_now(Rows& rows, const std::vector<LookRow>& looks, bool disputed) {
  const LookRow& newest = looks.back();
  Whereabouts now = whereabouts_of(newest, disputed);
  if (disputed || newest.state != "closed") return now;
  if (const auto release = rows.find<HoldReleaseRow>({newest.look})) {
    now.why = "released";
    now.since_us = release->released_us;
  }
  const auto drawn = rows.find<SecondLookRow>({newest.serial, newest.look});
  if (!drawn) return now;
  if (drawn->state == "open") return whereabouts_of(look_row(rows, drawn->second_look), disputed);
  const auto waiting =
      rows.find<WaitingRow>({drawn->state == "done" ? drawn->second_look : newest.look});
  if (waiting && waiting->why != now.why) {  // a hold of its own is told as it is
    now.state = waiting->why == "second_look" ? "held_back" : "on_hold";
    now.why = waiting->why;
    now.since_us = waiting->since_us;
  }
  return now;
}

// A result that came to several stations is told once, as it came first.
std::vector<UpstreamResultRow> results_of(Rows& rows, const std::string& serial) {
  auto all = rows.all<UpstreamResultRow>({serial});
  std::ranges::stable_sort(all, {}, &UpstreamResultRow::arrived_us);
  std::vector<UpstreamResultRow> once;
  for (const UpstreamResultRow& row : all) {
    const auto same = [&](const UpstreamResultRow& other) {
      return row.measured_us != 0 &&
             std::tie(row.measured_us, row.test, row.passed, row.value) ==
                 std::tie(other.measured_us, other.test, other.passed, other.value);
    };
    if (std::ranges::none_of(once, same)) once.push_back(row);
  }
  return once;
}

// What several stations were told is told once; as replaced where one of them knows that.
std::vector<UnitPartRow> parts_of(Rows& rows, const std::string& serial) {
  std::vector<UnitPartRow> once;
  for (const UnitPartRow& row : rows.all<UnitPartRow>({serial})) {
    const auto known = std::ranges::find_if(once, [&](const UnitPartRow& other) {
      return row.part == other.part && row.lot == other.lot;
    });
    if (known == once.end()) {
      once.push_back(row);
      continue;
    }
    known->fitted_us = std::min(known->fitted_us, row.fitted_us);
    known->replaced_us = std::max(known->replaced_us, row.replaced_us);
  }
  std::ranges::sort(once, {}, [](const UnitPartRow& row) { return std::tie(row.part, row.lot); });
  return once;
}

// A claim that was entered at several stations is told once, as it was judged last.
std::vector<ClaimRow> claims_of(Rows& rows, const std::string& serial) {
  std::vector<ClaimRow> once;
  for (ClaimRow& row : rows.all<ClaimRow>({serial})) {
    const auto same = std::ranges::find(once, row.claim, &ClaimRow::claim);
    if (same == once.end())
      once.push_back(std::move(row));
    else if (same->judged_us < row.judged_us)
      *same = std::move(row);
  }
  std::ranges::stable_sort(once, {}, &ClaimRow::reported);
  return once;
}

LookStory story_of(Rows& rows, const LookRow& look) {
  LookStory story{look,
                  rows.all<StepAnswerRow>({look.look}),
                  rows.all<FindingRow>({look.look}),
                  rows.all<OpinionRow>({look.look}),
                  rows.all<CorrectionRow>({look.look}),
                  rows.find<HoldReleaseRow>({look.look})};
  std::ranges::stable_sort(story.answers, {}, &StepAnswerRow::answered_us);
  std::ranges::stable_sort(story.findings, {}, &FindingRow::found_us);
  return story;
}

}  // namespace

Result<std::optional<UnitStory>> unit_story(View view, const std::string& serial) {
  try {
    Rows rows(view.store);
    const auto unit = rows.find<UnitRow>({serial});
    if (!unit) return std::nullopt;
    UnitStory story;
    story.serial = serial;
    story.disputed = unit->disputed;
    story.builds = rows.all<UnitBuildRow>({serial});
    std::ranges::stable_sort(story.builds, {}, &UnitBuildRow::built_us);
    story.parts = parts_of(rows, serial);
    story.results = results_of(rows, serial);
    const std::vector<LookRow> looks = looks_of(rows, serial);
    for (const LookRow& look : looks) story.looks.push_back(story_of(rows, look));
    // While it goes on its answers are nobody else's.
    for (const SecondLookRow& drawn : rows.all<SecondLookRow>({serial}))
      if (drawn.state == "done")
        story.looks.push_back(story_of(rows, look_row(rows, drawn.second_look)));
    std::ranges::stable_sort(story.looks, {}, [](const LookStory& one) {
      return std::pair(one.look.number, one.look.opened_us);
    });
    story.claims = claims_of(rows, serial);
    if (!looks.empty()) story.now = where_now(rows, looks, unit->disputed);
    return story;
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
}

Result<UnitStory> story_of_look(View view, const std::string& look) {
  try {
    Rows rows(view.store);
    const auto row = rows.find<LookRow>({look});
    if (!row) return fail(Category::not_found, "no look " + look);
    if (row->serial.empty()) {
      UnitStory story;
      story.looks.push_back(story_of(rows, *row));
      story.now = whereabouts_of(*row, false);
      return story;
    }
    auto story = unit_story(view, row->serial);
    if (!story) return tl::unexpected(story.error());
    if (!*story) return fail(Category::not_found, "no unit " + row->serial);
    return **std::move(story);
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
}

Result<Whereabouts> where_is(View view, const std::string& look) {
  try {
    Rows rows(view.store);
    const LookRow row = look_row(rows, look);
    if (row.serial.empty()) return whereabouts_of(row, false);
    return where_now(rows, looks_of(rows, row.serial), unit_row(rows, row.serial).disputed);
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
}

}  // namespace lastlook::records
