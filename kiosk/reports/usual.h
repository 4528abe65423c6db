// SPDX-License-Identifier: Apache-2.0
// One shift against those before it: is it worse than usual, and what really changed. From the
// counts that the projector keeps, never from the raw answers.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/comparison.h"
#include "analytics/control_chart.h"
#include "analytics/result.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::reports {

struct WhichShift {
  std::string production_date;  // "2026-11-25"
  std::string shift;            // its id
  bool operator==(const WhichShift&) const = default;
};

// The day so many days before a date, as text; the date itself where it does not read.
std::string days_before(const std::string& date, int days);

records::Period period_of(const WhichShift& which);
// What "usual" is taken from: the four weeks before a day, and that day.
records::Period four_weeks_to(const std::string& date);

// This shift against those before it.
enum class Standing { no_units, too_few_shifts, as_usual, better, worse };
std::string_view to_word(Standing standing);
inline constexpr std::int64_t least_usual_shifts = 8;  // before this one, to call anything usual

struct Usual {
  // Shares of first looks that were not right at once, by shift in time order; this shift is the
  // last point and does not shape the limits. nullopt: no first looks in it.
  std::optional<analytics::AttributeChart> by_shift;
  std::int64_t shifts = 0;  // those before this one, of four weeks
  // How many times as much those differ among themselves as chance explains, where they do.
  std::optional<double> wanders;
  std::optional<records::ShiftRow> last;  // the shift before this one
  records::LookCounts weeks;              // of those before this one, summed
};
Standing standing_of(const Usual& usual);
Result<Usual> usual_before(records::View view, const WhichShift& which);

// A share of first looks in this shift and before it.
struct Change {
  enum class Since { last_shift, weeks };
  Since since = Since::weeks;
  std::string component, defect;  // both empty: not right at the first look, whatever was found
  analytics::Difference difference;
};

// Units with each kind of finding and units not right at all, against the four weeks before, the
// latter against the last shift too; corrected over all of these together (Holm). What changed
// first, each part by the size of its difference. Empty: no units in this shift or none before it.
Result<std::vector<Change>> changes_since(records::View view, const WhichShift& which,
                                          const Usual& usual);

}  // namespace lastlook::reports
