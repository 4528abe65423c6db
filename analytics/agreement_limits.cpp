// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement_limits.h"

#include "analytics/group_agreement.h"
#include "analytics/kappa.h"

namespace lastlook::analytics {
namespace {

using Times = std::vector<std::uint32_t>;

Result<Interval> limits_of_pairs(const Study& study, const std::vector<RatedPair>& pairs,
                                 const BootstrapOptions& options) {
  const std::size_t categories = study.categories.size();
  const Matrix weights = agreement_weights(categories, Weights::identity);
  return bca_interval(
      study.items.size(),
      [&](const Times& times) -> std::optional<double> {
        Matrix table(categories);
        for (const RatedPair& pair : pairs) table(pair.a, pair.b) += times[pair.item];
        const Result<double> k = kappa_value(table, weights);
        return k ? std::optional(*k) : std::nullopt;
      },
      options);
}

// The rows of a resample, each as often as it was drawn.
template <class Measure>
Result<Interval> limits_of_counts(const CategoryCounts& counts, const BootstrapOptions& options,
                                  Measure measure) {
  return bca_interval(
      counts.size(),
      [&](const Times& times) -> std::optional<double> {
        CategoryCounts drawn;
        drawn.reserve(counts.size());
        for (std::size_t i = 0; i < counts.size(); ++i)
          drawn.insert(drawn.end(), times[i], counts[i]);
        return measure(drawn);
      },
      options);
}

std::optional<double> value_of(const Result<GroupMeasure>& m) {
  return m ? std::optional(m->value) : std::nullopt;
}

}  // namespace

AgreementLimits resampled_limits(const Study& study, const BootstrapOptions& options) {
  AgreementLimits out;
  for (std::size_t a = 0; a < study.inspectors.size(); ++a) {
    for (std::size_t b = a + 1; b < study.inspectors.size(); ++b) {
      out.pairs.push_back(limits_of_pairs(study, paired_by_trial(study, a, b), options));
    }
    if (study.has_reference()) {
      out.with_reference.push_back(
          limits_of_pairs(study, paired_with_reference(study, a), options));
    }
  }
  if (study.inspectors.size() < 2) {
    out.fleiss = out.alpha = out.ac1 = fail(Category::refused, "one inspector only");
    return out;
  }
  const CategoryCounts counts = counts_by_item(study);
  out.fleiss =
      limits_of_counts(counts, options, [](const auto& c) { return value_of(fleiss_kappa(c)); });
  out.ac1 = limits_of_counts(counts, options, [](const auto& c) { return value_of(gwet_ac(c)); });
  out.alpha = limits_of_counts(counts, options, [](const auto& c) {
    const Result<double> alpha = krippendorff_alpha(c);
    return alpha ? std::optional(*alpha) : std::nullopt;
  });
  return out;
}

}  // namespace lastlook::analytics
