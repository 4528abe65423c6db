#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""The work of resampled_limits() by a general statistics library: prints its milliseconds.

50 items, 3 inspectors, 3 trials; 2,000 resamples of the items, each with the kappas of three pairs and
three references and Fleiss' kappa, by statsmodels.
"""
import itertools
import time

import numpy as np
from statsmodels.stats.inter_rater import cohens_kappa, fleiss_kappa

random = np.random.default_rng(5033)
truth = random.integers(0, 2, 50)
ratings = np.where(random.random((50, 3, 3)) < 0.9, truth[:, None, None], 1 - truth[:, None, None])


def table(a, b):
    return np.bincount(2 * a.ravel() + b.ravel(), minlength=4).reshape(2, 2)


start = time.perf_counter()
values = np.empty((2000, 7))
for resample in range(2000):
    drawn = random.integers(0, 50, 50)
    r = ratings[drawn]
    t = np.repeat(truth[drawn], 3).reshape(50, 3)
    pairs = [cohens_kappa(table(r[:, a], r[:, b]), return_results=False)
             for a, b in itertools.combinations(range(3), 2)]
    references = [cohens_kappa(table(r[:, a], t), return_results=False) for a in range(3)]
    good = r.reshape(50, 9).sum(axis=1)
    values[resample] = [*pairs, *references, fleiss_kappa(np.stack([9 - good, good], axis=1))]
np.percentile(values, [2.5, 97.5], axis=0)
print(1000 * (time.perf_counter() - start))
