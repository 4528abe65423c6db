#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Compares the program's numbers with general-purpose libraries on seeded random data.

usage: cross_check.py PROGRAM

statsmodels, scikit-learn and scipy of Debian, to 1e-9 wherever the definition is the same. The seeds
are fixed; a failure prints the seed, the value's name and both numbers.
"""
import csv
import itertools
import json
import os
import subprocess
import sys
import tempfile

import numpy as np
from scipy import stats
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import aggregate_raters, cohens_kappa, fleiss_kappa
from statsmodels.stats.proportion import proportion_confint

PROGRAM = sys.argv[1]
TOLERANCE = 1e-9
checked = 0
failed = 0


def same(what, ours, theirs):
    global checked, failed
    checked += 1
    if ours is None or not np.isfinite(theirs) or abs(ours - theirs) > TOLERANCE * max(1, abs(theirs)):
        failed += 1
        print(f"{what}: {ours}, the library says {theirs}")


def run(arguments, header, rows):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "data.csv")
        with open(path, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(header)
            writer.writerows(rows)
        done = subprocess.run([PROGRAM, *arguments, path], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"{arguments}: exit {done.returncode}: {done.stderr}")
    return json.loads(done.stdout)


def study(seed, items, inspectors, trials, categories, skill):
    random = np.random.default_rng(seed)
    truth = random.integers(0, categories, items)
    ratings = np.where(random.random((items, inspectors, trials)) < skill, truth[:, None, None],
                       random.integers(0, categories, (items, inspectors, trials)))
    return truth, ratings


def check_pair(name, pair, a, b, labels, single_trial):
    table = np.zeros((len(labels), len(labels)))
    np.add.at(table, (a, b), 1)
    plain = cohens_kappa(table)
    same(f"{name} kappa", pair["kappa"], plain.kappa)
    same(f"{name} kappa by scikit-learn", pair["kappa"], cohen_kappa_score(a, b, labels=labels))
    same(f"{name} se", pair["se"], plain.std_kappa)
    if single_trial:  # with more, the limits count an item once and the library does not
        same(f"{name} low", pair["low"], plain.kappa_low)
        same(f"{name} high", pair["high"], plain.kappa_upp)
    for weights in ("linear", "quadratic"):
        theirs = cohen_kappa_score(a, b, labels=labels, weights=weights)
        same(f"{name} {weights}", pair[f"kappa_{weights}"], theirs)
        weighted = cohens_kappa(table, wt="linear" if weights == "linear" else "quadratic")
        same(f"{name} {weights} se", pair[f"se_{weights}"], weighted.std_kappa)


def check_agreement(seed, items, inspectors, trials, categories, skill):
    truth, ratings = study(seed, items, inspectors, trials, categories, skill)
    rows = [(f"i{i}", f"n{n}", t + 1, ratings[i, n, t], truth[i])
            for i, n, t in itertools.product(range(items), range(inspectors), range(trials))]
    out = run(["agreement", "--json"], ["item", "inspector", "trial", "rating", "reference"], rows)
    labels = list(range(categories))
    kappas = []
    for pair, (a, b) in zip(out["pairs"], itertools.combinations(range(inspectors), 2)):
        check_pair(f"seed {seed} {a} {b}", pair, ratings[:, a].ravel(), ratings[:, b].ravel(), labels,
                   trials == 1)
        kappas.append(cohen_kappa_score(ratings[:, a].ravel(), ratings[:, b].ravel()))
    same(f"seed {seed} light", out["group"]["light"], np.mean(kappas))
    counts, _ = aggregate_raters(ratings.reshape(items, -1), n_cat=categories)
    same(f"seed {seed} fleiss", out["group"]["fleiss"], fleiss_kappa(counts))
    for n, entry in enumerate(out["with_reference"]):
        decisions = ratings[:, n].ravel()
        table = np.zeros((categories, categories))
        np.add.at(table, (decisions, np.repeat(truth, trials)), 1)
        same(f"seed {seed} reference kappa", entry["kappa"], cohens_kappa(table).kappa)
        same(f"seed {seed} reference se", entry["se"], cohens_kappa(table).std_kappa)
        right = int((ratings[:, n] == truth[:, None]).all(axis=1).sum())
        same(f"seed {seed} effectiveness", entry["effectiveness"], right / items)
        low, high = proportion_confint(right, items, method="beta")
        same(f"seed {seed} effectiveness low", entry["effectiveness_low"], 0 if right == 0 else low)
        same(f"seed {seed} effectiveness high", entry["effectiveness_high"], 1 if right == items else high)
    for n, entry in enumerate(out["self"]):
        if trials == 1:
            continue
        agree = int((ratings[:, n] == ratings[:, n, :1]).all(axis=1).sum())
        same(f"seed {seed} self", entry["agree"], agree / items)
        low, high = proportion_confint(agree, items, method="beta")
        same(f"seed {seed} self low", entry["low"], 0 if agree == 0 else low)
        same(f"seed {seed} self high", entry["high"], 1 if agree == items else high)


def samples(seed, count, rate):
    random = np.random.default_rng(seed)
    sizes = random.integers(20, 400, count)
    return sizes, random.binomial(sizes, rate)


def check_charts(seed, rate):
    sizes, found = samples(seed, 40, rate)
    rows = [(f"s{i}", n, x) for i, (n, x) in enumerate(zip(sizes, found))]
    header = ["sample", "inspected", "nonconforming"]
    p = found.sum() / sizes.sum()
    sigma = np.sqrt(p * (1 - p) / sizes)
    tails = stats.norm.cdf([-3, 3])
    expected = {
        ("p", "sigma"): (np.maximum(0, p - 3 * sigma), np.minimum(1, p + 3 * sigma)),
        ("np", "sigma"): (np.maximum(0, sizes * (p - 3 * sigma)), np.minimum(sizes, sizes * (p + 3 * sigma))),
        ("p", "exact"): tuple(stats.binom.ppf(t, sizes, p) / sizes for t in tails),
        ("np", "exact"): tuple(stats.binom.ppf(t, sizes, p) for t in tails),
        ("u", "exact"): tuple(stats.poisson.ppf(t, sizes * p) / sizes for t in tails),
        ("c", "exact"): tuple(np.full(40, stats.poisson.ppf(t, found.mean())) for t in tails),
    }
    z = (found / sizes - p) / sigma
    spread = np.abs(np.diff(z)).mean() / 1.128
    expected["p-prime", "sigma"] = (np.maximum(0, p - 3 * sigma * spread), np.minimum(1, p + 3 * sigma * spread))
    for (kind, limits), (lower, upper) in expected.items():
        out = run(["pchart", "--json", "--kind", kind, "--limits", limits], header, rows)
        for i, point in enumerate(out["points"]):
            same(f"seed {seed} {kind} {limits} lower {i}", point["lower"], lower[i])
            same(f"seed {seed} {kind} {limits} upper {i}", point["upper"], upper[i])


def check_pareto(seed):
    random = np.random.default_rng(seed)
    kinds = [f"kind {k}" for k in random.permutation(30)]
    drawn = random.choice(kinds, 500, p=random.dirichlet(np.full(30, 0.4)))
    out = run(["pareto", "--json"], ["defect"], [(kind,) for kind in drawn])
    names, counts = np.unique(drawn, return_counts=True)
    order = sorted(zip(names, counts), key=lambda row: (-row[1], row[0]))
    running = np.cumsum([count for _, count in order]) / 5
    for row, (name, count), percent in zip(out["rows"], order, running):
        same(f"seed {seed} {name}", row["count"] if row["defect"] == name else None, count)
        same(f"seed {seed} {name} running", row["cumulative_percent"], percent)


for seed, shape in enumerate([(50, 3, 3, 2, 0.8), (30, 2, 1, 2, 0.7), (80, 4, 1, 5, 0.6), (25, 3, 2, 4, 0.5),
                              (200, 2, 1, 3, 0.9), (12, 5, 2, 3, 0.2)]):
    check_agreement(1000 + seed, *shape)
for seed, rate in enumerate([0.02, 0.15, 0.5]):
    check_charts(2000 + seed, rate)
check_pareto(3000)
print(f"{checked} numbers compared, {failed} differ")
sys.exit(1 if failed else 0)
