// SPDX-License-Identifier: Apache-2.0
// Limits of a study's kappas by resampling its items: no formula for any one of them, and all
// trials of an item stay together.
#pragma once

#include <vector>

#include "analytics/bootstrap.h"
#include "analytics/study.h"

namespace lastlook::analytics {

struct AgreementLimits {
  std::vector<Result<Interval>> pairs;           // as Agreement::pairs
  std::vector<Result<Interval>> with_reference;  // as Agreement::with_reference
  Result<Interval> fleiss;
  Result<Interval> alpha;
  Result<Interval> ac1;
};

// Definition: BCa limits of Cohen's kappa of each pair and against the reference, of Fleiss' kappa,
//   Krippendorff's nominal alpha and AC1; the items are the units, with all their trials.
// Divisor: as the statistic that is resampled.
// Least n: 3 items.
// Edges: perfect agreement, or a statistic that is not defined for more than one in twenty
//   resamples -> refused, with the reason; one inspector only -> no limits of the group.
// Interval method: BCa, see Resamples::bca().
// Source: Efron (1987) JASA 82:171.
AgreementLimits resampled_limits(const Study& study, const BootstrapOptions& options = {});

}  // namespace lastlook::analytics
