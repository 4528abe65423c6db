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
//   Krippendorff's nominal alpha and AC1; the items are the units. See bca_interval() for divisor,
//   least n, edges (perfect agreement -> refused, with the reason) and source.
AgreementLimits resampled_limits(const Study& study, const BootstrapOptions& options = {});

}  // namespace lastlook::analytics
