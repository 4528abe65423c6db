// SPDX-License-Identifier: Apache-2.0
// Agreement of many raters over one scale.
//
// Two shapes of data. Counts: for each item how many ratings fell in each category, where it does
// not matter who gave them (Fleiss, Krippendorff, Gwet). Columns: for each item one rating by each
// rater, or none (Light, Conger).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "analytics/interval.h"
#include "analytics/kappa.h"
#include "analytics/result.h"

namespace lastlook::analytics {

using CategoryCounts = std::vector<std::vector<double>>;                     // [item][category]
using RatingColumns = std::vector<std::vector<std::optional<std::size_t>>>;  // [item][rater]

CategoryCounts count_categories(const RatingColumns& ratings, std::size_t categories);

struct GroupMeasure {
  double value = 0;
  double observed = 0;
  double expected = 0;
  double se = 0;  // by linearising over items, divisor items (items - 1); for intervals
};

// Definition: (observed - expected) / (1 - expected); observed is the mean over items of the share
//   of their pairs of ratings that agree, expected the sum of squared shares of the categories.
// Divisor: items with two ratings or more for observed; all rated items for the shares, each item
//   counting once however many ratings it has.
// Least n: 2 items (for se), 2 ratings in one of them.
// Edges: no item rated twice, or one category only -> refused. Missing ratings: items weigh alike.
// Interval method: value +- z se.
// Source: Fleiss (1971) Psychol Bull 76:378; missing ratings and se as in Gwet (2014) Handbook of
//   Inter-Rater Reliability, 4th ed., ch. 5.
Result<GroupMeasure> fleiss_kappa(const CategoryCounts& counts);

// Definition: standard error of Fleiss' kappa under the hypothesis that it is 0 (no agreement
//   beyond chance): for a test, not for an interval.
// Divisor: items x m (m - 1), m ratings an item.
// Least n: 1 item, m >= 2.
// Edges: items with different numbers of ratings, or one category only -> refused.
// Interval method: none.
// Source: Fleiss, Nee & Landis (1979) Psychol Bull 86:974.
Result<double> fleiss_se_null(const CategoryCounts& counts);

struct CategoryKappa {
  double value = 0;
  double se_null = 0;
};

// Definition: Fleiss' kappa of one category against all others.
// Divisor: items x m (m - 1), m ratings an item.
// Least n: 1 item, m >= 2.
// Edges: a category that is never or always used, or items with different numbers of ratings ->
//   refused.
// Interval method: none; se_null is the error under no agreement beyond chance.
// Source: Fleiss (1971); error of Fleiss, Nee & Landis (1979).
Result<CategoryKappa> fleiss_kappa_of(const CategoryCounts& counts, std::size_t category);

// Definition: mean of the kappas of all pairs of raters.
// Divisor: pairs of raters.
// Least n: 2 raters.
// Edges: a pair whose kappa is not defined -> refused, for a mean without it would flatter.
// Interval method: none.
// Source: Light (1971) Psychol Bull 76:365.
Result<double> light_kappa(const RatingColumns& ratings, std::size_t categories);

// Definition: as Fleiss' kappa, with expected agreement from the raters' own shares: sum over
//   categories of mean^2 - variance / raters, over the raters (divisor raters - 1).
// Divisor: items rated twice or more for observed.
// Least n: 2 raters, 1 such item.
// Edges: one category only -> refused; a rater without ratings is left out.
// Interval method: none.
// Source: Conger (1980) Psychol Bull 88:322; missing ratings as in Gwet (2014).
Result<double> conger_kappa(const RatingColumns& ratings, std::size_t categories);

enum class Scale { nominal, ordinal };

// Definition: 1 - observed / expected disagreement over all pairable values.
// Divisor: pairable values; n (n - 1) for expected.
// Least n: 2 values in one item.
// Edges: items with fewer than two ratings do not count; one category only -> refused.
// Interval method: bootstrap over items.
// Source: Krippendorff (2011) Computing Krippendorff's Alpha-Reliability.
Result<double> krippendorff_alpha(const CategoryCounts& counts, Scale scale = Scale::nominal);

// Definition: (observed - expected) / (1 - expected) with expected = T sum of pi (1 - pi) / (q (q -
//   1)), T the sum of all weights, q the categories of the scale. Identity weights: AC1; others:
//   AC2.
// Divisor: as fleiss_kappa().
// Least n: 2 items (for se), 2 ratings in one of them.
// Edges: a scale of one category, no item rated twice -> refused; one category used of several ->
//   1. Missing ratings: items weigh alike.
// Interval method: value +- z se.
// Source: Gwet (2008) Br J Math Stat Psychol 61:29; Gwet (2014).
Result<GroupMeasure> gwet_ac(const CategoryCounts& counts, Weights weights = Weights::identity);

}  // namespace lastlook::analytics
