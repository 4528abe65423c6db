// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/challenge_queries.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <set>
#include <tuple>

#include "kiosk/records/tables.h"

namespace lastlook::records {
namespace {

std::string text(const Value& value) {
  const auto* is = std::get_if<std::string>(&value);
  return is ? *is : std::string();
}

std::int64_t whole(const Value& value) {
  const auto* is = std::get_if<std::int64_t>(&value);
  return is ? *is : 0;
}

double number(const Value& value) {
  const auto* is = std::get_if<double>(&value);
  return is ? *is : std::numeric_limits<double>::quiet_NaN();
}

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

Result<std::int64_t> last_held_us(Records& records, const ShowingRow& failed) {
  std::int64_t held_us = 0;
  const Status done = records.store().query(
      "last_held_proof", {failed.station, failed.variant, failed.model, failed.ended_us},
      [&](const Row& row) { held_us = whole(row[0]); });
  if (!done) return tl::unexpected(done.error());
  return held_us;
}

}  // namespace

Result<std::vector<ProofOfShift>> proofs(Records& records, const Period& period) {
  const std::string last = period.to.empty() ? "9999-12-31" : period.to;
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
  const Status done = records.store().query(
      "judged_parts", {period.from, last, period.shift, period.station, period.variant}, take);
  if (!done) return tl::unexpected(done.error());
  return all;
}

Result<Containment> containment(Records& records, const std::string& showing) {
  const auto row = find<ShowingRow>(records.store(), {showing});
  if (!row) return tl::unexpected(row.error());
  if (!*row) return fail(Category::not_found, fmt::format("there is no showing {}", showing));
  const ShowingRow& failed = **row;
  if (failed.unmet == 0)
    return fail(Category::refused, fmt::format("showing {} did not fail", showing));
  const auto since_us = last_held_us(records, failed);
  if (!since_us) return tl::unexpected(since_us.error());
  Containment result{failed.variant, failed.model, *since_us, failed.ended_us, {}, 0, {}};
  std::vector<AcceptedUnit> others;
  const Status done = records.store().query(
      "accepted_between",
      {failed.station, failed.variant, failed.model, *since_us, failed.ended_us},
      [&](const Row& unit) {
        auto& into = whole(unit[3]) != 0 ? result.relied : others;
        into.push_back({text(unit[0]), text(unit[1]), whole(unit[2])});
      });
  if (!done) return tl::unexpected(done.error());
  result.others = static_cast<std::int64_t>(others.size());
  result.sample = sample_of(std::move(others), showing);
  return result;
}

Result<std::vector<ContainedUnit>> contained(Records& records, const Period& period) {
  const auto failed = proofs(records, period);
  if (!failed) return tl::unexpected(failed.error());
  std::vector<ContainedUnit> units;
  std::set<std::tuple<std::string, std::string, std::int64_t>> sampled;
  const auto add = [&](const Containment& from, const std::vector<AcceptedUnit>& some,
                       bool relied) {
    for (const AcceptedUnit& unit : some)
      if (std::ranges::find(units, unit.look, &ContainedUnit::look) == units.end())
        units.push_back({unit.look, unit.serial, from.variant, unit.closed_us, relied});
  };
  std::vector<Containment> all;
  for (const ProofOfShift& proof : *failed)
    for (const std::string& showing : proof.failures) {
      auto one = containment(records, showing);
      if (!one) return tl::unexpected(one.error());
      all.push_back(std::move(*one));
    }
  for (const Containment& one : all) add(one, one.relied, true);
  for (const Containment& one : all)
    if (sampled.emplace(one.variant, one.model, one.since_us).second) add(one, one.sample, false);
  std::ranges::stable_sort(units, {}, [](const ContainedUnit& unit) {
    return std::tuple(!unit.relied, unit.closed_us);
  });
  return units;
}

Result<std::vector<PartScore>> part_scores(Records& records, const std::string& part) {
  std::vector<PartScore> all;
  const Status done = records.store().query("part_scores", {part}, [&](const Row& row) {
    all.push_back({whole(row[0]), text(row[1]), text(row[2]), text(row[3]), text(row[4]),
                   text(row[5]), text(row[6]), number(row[7])});
  });
  if (!done) return tl::unexpected(done.error());
  return all;
}

}  // namespace lastlook::records
