// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/challenge_queries.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <tuple>

#include "kiosk/records/projection.h"
#include "kiosk/records/tables.h"
#include "kiosk/records/values.h"

namespace lastlook::records {
namespace {

// FNV-1a: what decides who is drawn must be the same on every machine.
std::uint64_t lot_of(const std::string& showing, const std::string& look) {
  std::uint64_t lot = 0xcbf29ce484222325ULL;
  for (const char c : showing + "/" + look)
    lot = (lot ^ static_cast<unsigned char>(c)) * 0x100000001b3ULL;
  return lot;
}

std::vector<AcceptedUnit> sample_of(std::vector<AcceptedUnit> units, const std::string& showing) {
  constexpr std::size_t least = 5, one_in = 10;
  const std::size_t wanted = std::max(least, (units.size() + one_in - 1) / one_in);
  std::ranges::sort(units, {}, [&](const auto& unit) { return lot_of(showing, unit.look); });
  units.resize(std::min(wanted, units.size()));
  std::ranges::sort(units, {},
                    [](const auto& unit) { return std::tie(unit.closed_us, unit.look); });
  return units;
}

Result<std::int64_t> time_of(View view, std::string_view query, const Row& parameters) {
  std::int64_t us = 0;
  const Status done =
      view.store.query(query, parameters, [&](const Row& row) { us = whole(row[0]); });
  if (!done) return tl::unexpected(done.error());
  return us;
}

// How far back, and to when.
Status reach_back(View view, const ShowingRow& failed, Containment& into) {
  const auto held = time_of(view, "last_held_proof",
                            {failed.station, failed.variant, failed.model, failed.ended_us});
  if (!held) return tl::unexpected(held.error());
  into.since_us = *held;
  if (*held > 0) return {};
  const auto first =
      find<FirstOpinionRow>(view.store, {failed.station, failed.variant, failed.model});
  if (!first) return tl::unexpected(first.error());
  const bool any = *first && (*first)->given_us < failed.ended_us;
  into.reach = any ? Reach::first_opinion : Reach::no_opinion;
  into.since_us = any ? (*first)->given_us : failed.ended_us;
  return {};
}

}  // namespace

Result<std::vector<ProofOfShift>> proofs(View view, const Period& period) {
  std::vector<ProofOfShift> all;
  const auto take = [&](const Row& row) {
    const ProofOfShift key{
        text(row[0]), text(row[1]), text(row[2]), text(row[3]), text(row[4]), {}, 0, {}};
    auto found = std::ranges::find_if(all, [&](const ProofOfShift& it) {
      return it.production_date == key.production_date && it.shift == key.shift &&
             it.station == key.station && it.variant == key.variant && it.model == key.model;
    });
    if (found == all.end()) found = all.insert(found, key);
    ++found->parts;
    if (whole(row[7]) > 0) found->failures.push_back(text(row[5]));
    found->state = text(row[8]);
  };
  const Status done = view.store.query("judged_parts", parameters(period), take);
  if (!done) return tl::unexpected(done.error());
  return all;
}

Result<Containment> containment(View view, const std::string& showing) {
  const auto row = find<ShowingRow>(view.store, {showing});
  if (!row) return tl::unexpected(row.error());
  if (!*row) return fail(Category::not_found, fmt::format("there is no showing {}", showing));
  const ShowingRow& failed = **row;
  if (failed.unmet == 0)
    return fail(Category::refused, fmt::format("showing {} did not fail", showing));
  Containment result;
  result.showing = showing;
  result.part = failed.part;
  result.station = failed.station;
  result.variant = failed.variant;
  result.model = failed.model;
  result.until_us = failed.ended_us;
  const auto opinions = rows<ShowingOpinionRow>(view.store, {showing});
  if (!opinions) return tl::unexpected(opinions.error());
  for (const ShowingOpinionRow& one : *opinions)
    if (!one.met) result.components.push_back(one.component);
  if (Status reached = reach_back(view, failed, result); !reached)
    return tl::unexpected(reached.error());
  std::vector<AcceptedUnit> others;
  const Status done = view.store.query(
      "accepted_between",
      {failed.station, failed.variant, failed.model, result.since_us, failed.ended_us},
      [&](const Row& unit) {
        auto& into = whole(unit[3]) != 0 ? result.relied : others;
        into.push_back({text(unit[0]), text(unit[1]), whole(unit[2])});
      });
  if (!done) return tl::unexpected(done.error());
  result.others = static_cast<std::int64_t>(others.size());
  result.sample = sample_of(std::move(others), showing);
  return result;
}

std::vector<ContainedUnit> contained_units(const std::vector<Containment>& containments) {
  std::vector<ContainedUnit> units;
  const auto add = [&](const Containment& from, const AcceptedUnit& unit, bool relied) {
    auto known = std::ranges::find(units, unit.look, &ContainedUnit::look);
    if (known == units.end())
      known = units.insert(units.end(), {unit.look, unit.serial, from.variant, unit.closed_us,
                                         relied, from.station});
    for (const std::string& component : from.components)
      if (std::ranges::count(known->components, component) == 0)
        known->components.push_back(component);
    known->doubted_us = std::max(known->doubted_us, from.until_us);
  };
  for (const Containment& one : containments)
    for (const AcceptedUnit& unit : one.relied) add(one, unit, true);
  std::set<std::tuple<std::string, std::string, std::string, std::int64_t>> sampled;
  for (const Containment& one : containments) {
    if (!sampled.emplace(one.station, one.variant, one.model, one.since_us).second) continue;
    for (const AcceptedUnit& unit : one.sample) add(one, unit, false);
  }
  std::ranges::stable_sort(units, {}, [](const ContainedUnit& unit) {
    return std::tuple(!unit.relied, unit.closed_us);
  });
  return units;
}

Status find_looks_again(View view, std::vector<ContainedUnit>& units) {
  try {
    Rows rows(view.store);
    for (ContainedUnit& unit : units) {
      std::vector<LookRow> looks = looks_of(rows, unit.serial);
      for (const SecondLookRow& drawn : rows.all<SecondLookRow>({unit.serial}))
        if (drawn.state == "done") looks.push_back(look_row(rows, drawn.second_look));
      const LookRow* newest = nullptr;
      for (const LookRow& look : looks)
        if (look.disposition && look.state == "closed" && look.opened_us > unit.doubted_us &&
            (!newest || look.opened_us > newest->opened_us))
          newest = &look;
      if (newest)
        unit.again =
            LookedAgain{newest->look, newest->station, *newest->disposition, newest->closed_us};
    }
    return {};
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
}

Result<std::vector<Containment>> containments(View view, const Period& period) {
  const auto failed = proofs(view, period);
  if (!failed) return tl::unexpected(failed.error());
  std::vector<Containment> all;
  for (const ProofOfShift& proof : *failed)
    for (const std::string& showing : proof.failures) {
      auto one = containment(view, showing);
      if (!one) return tl::unexpected(one.error());
      all.push_back(*std::move(one));
    }
  return all;
}

Result<std::vector<ContainedUnit>> contained(View view, const Period& period) {
  return containments(view, period)
      .map(contained_units)
      .and_then([&](std::vector<ContainedUnit> units) -> Result<std::vector<ContainedUnit>> {
        if (const Status found = find_looks_again(view, units); !found)
          return tl::unexpected(found.error());
        return units;
      });
}

Result<std::vector<PartScore>> part_scores(View view, const std::string& part) {
  std::vector<PartScore> all;
  const Status done = view.store.query("part_scores", {part}, [&](const Row& row) {
    all.push_back({whole(row[0]), text(row[1]), text(row[2]), text(row[3]), text(row[4]),
                   text(row[5]), text(row[6]), number(row[7])});
  });
  if (!done) return tl::unexpected(done.error());
  return all;
}

}  // namespace lastlook::records
