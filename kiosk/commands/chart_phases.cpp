// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/chart_phases.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>
#include <optional>

#include "kiosk/domain/judged_change.h"
#include "kiosk/records/tables.h"
#include "kiosk/text/master_json.h"

namespace lastlook::commands {
namespace {

using records::ShiftConditions;
using Masters = std::map<std::int64_t, domain::Master>;

// Those that the shifts were worked under; one that is not on record any more is left out.
Result<Masters> masters_of(records::View view, const records::Period& period,
                           const std::vector<ShiftConditions>& shifts) {
  const auto rows = period.station.empty()
                        ? records::rows<records::MasterRow>(view.store, {})
                        : records::rows<records::MasterRow>(view.store, {period.station});
  if (!rows) return tl::unexpected(rows.error());
  Masters masters;
  for (const records::MasterRow& row : *rows) {
    const bool used = std::ranges::any_of(shifts, [&](const ShiftConditions& shift) {
      return std::ranges::any_of(shift.revisions,
                                 [&](const auto& of) { return of.second == row.revision; });
    });
    if (!used || masters.contains(row.revision)) continue;
    auto master = text::read_master(row.document);
    if (!master) return tl::unexpected(master.error());
    masters.emplace(row.revision, *std::move(master));
  }
  return masters;
}

class Phases {
 public:
  explicit Phases(const Masters& masters) : masters_(masters) {}

  // The phase that this shift belongs to.
  const std::string& take(const ShiftConditions& shift) {
    std::vector<std::string> reasons;
    if (const std::string changed = revised(shift); !changed.empty()) reasons.push_back(changed);
    const bool opinions = 2 * shift.with_opinion >= shift.first_looks;
    if (opinions_ != opinions)
      reasons.push_back(fmt::format("camera's opinions {}", opinions ? "on" : "off"));
    opinions_ = opinions;
    if (!reasons.empty()) phase_ = fmt::format("{}", fmt::join(reasons, ", "));
    return phase_;
  }

 private:
  // What other revisions than each variant was last judged under changed; at first which they are.
  std::string revised(const ShiftConditions& shift) {
    std::vector<std::string> changes;
    std::int64_t newest = 0;
    for (const auto& [variant, revision] : shift.revisions) {
      newest = std::max(newest, revision);
      const auto [known, is_new] = under_.try_emplace(variant, revision);
      if (is_new) continue;
      for (std::string& change : changes_of(known->second, revision, variant))
        if (std::ranges::count(changes, change) == 0) changes.push_back(std::move(change));
      known->second = revision;
    }
    const std::string name = fmt::format("revision {}", newest);
    if (phase_.empty()) return name;
    return changes.empty() ? "" : fmt::format("{}: {}", name, fmt::join(changes, "; "));
  }

  std::vector<std::string> changes_of(std::int64_t before, std::int64_t after,
                                      const std::string& variant) const {
    if (before == after) return {};
    const auto old = masters_.find(before);
    const auto now = masters_.find(after);
    if (old == masters_.end() || now == masters_.end()) return {"not on record what changed"};
    return domain::judged_changes(old->second, now->second, variant);
  }

  const Masters& masters_;
  std::map<std::string, std::int64_t> under_;  // by variant
  std::optional<bool> opinions_;
  std::string phase_;
};

}  // namespace

Status add_phases(records::View view, const records::Period& period,
                  std::vector<analytics::ChartSample>& samples) {
  const auto shifts = records::shift_conditions(view, period);
  if (!shifts) return tl::unexpected(shifts.error());
  const auto masters = masters_of(view, period, *shifts);
  if (!masters) return tl::unexpected(masters.error());
  Phases phases(*masters);
  std::string phase;
  for (analytics::ChartSample& sample : samples) {
    const auto found = std::ranges::find_if(*shifts, [&](const ShiftConditions& shift) {
      return shift.production_date + " " + shift.shift == sample.name;
    });
    if (found != shifts->end()) phase = phases.take(*found);
    sample.phase = phase;
  }
  return {};
}

}  // namespace lastlook::commands
