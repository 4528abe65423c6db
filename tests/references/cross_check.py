#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Compares the program's numbers with general-purpose libraries on seeded random data.

usage: cross_check.py PROGRAM

statsmodels, scikit-learn, scipy and R's vcd of Debian, to 1e-9 wherever the definition is the same. The seeds
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
from statsmodels.stats.contingency_tables import cochrans_q, mcnemar
from statsmodels.stats.inter_rater import aggregate_raters, cohens_kappa, fleiss_kappa
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

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


# Kappas and their errors by vcd: of each table unweighted, linear, quadratic.
VCD = """
suppressMessages(library(vcd))
for (line in readLines(file("stdin"))) {
  n <- as.numeric(strsplit(line, " ")[[1]])
  table <- matrix(n, sqrt(length(n)), byrow = TRUE)
  linear <- Kappa(table)
  quadratic <- Kappa(table, weights = "Fleiss-Cohen")
  cat(sprintf("%.15g", c(linear$Unweighted, linear$Weighted, quadratic$Weighted)), "\\n")
}
"""
tables = []


def check_tables_by_vcd():
    lines = "".join(" ".join(str(int(n)) for n in table.ravel()) + "\n" for _, _, table in tables)
    done = subprocess.run(["Rscript", "-e", VCD], input=lines, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"Rscript: exit {done.returncode}: {done.stderr}")
    keys = ["kappa", "se", "kappa_linear", "se_linear", "kappa_quadratic", "se_quadratic"]
    for (name, pair, _), line in zip(tables, done.stdout.splitlines(), strict=True):
        for key, theirs in zip(keys, line.split(), strict=True):
            same(f"{name} {key} by vcd", pair[key], float(theirs))


def check_pair(name, pair, a, b, labels, single_trial):
    table = np.zeros((len(labels), len(labels)))
    np.add.at(table, (a, b), 1)
    tables.append((name, pair, table))
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
    for pair, (a, b) in zip(out["pairs"], itertools.combinations(range(inspectors), 2)):
        same(f"seed {seed} {a} {b} tau", pair["kendall_tau"],
             stats.kendalltau(ratings[:, a, 0], ratings[:, b, 0]).statistic)
    if categories == 2:  # the rating 1 means conforming, 0 rejects
        first = ratings[:, :, 0] == 0
        for pair, (a, b) in zip(out["pairs"], itertools.combinations(range(inspectors), 2)):
            both = [[np.sum(first[:, a] & first[:, b]), np.sum(first[:, a] & ~first[:, b])],
                    [np.sum(~first[:, a] & first[:, b]), np.sum(~first[:, a] & ~first[:, b])]]
            same(f"seed {seed} {a} {b} McNemar", pair["mcnemar_p"], mcnemar(both, exact=True).pvalue)
        if inspectors > 2:
            theirs = cochrans_q(first.astype(int))
            same(f"seed {seed} Q", out["group"]["cochran_q"], theirs.statistic)
            same(f"seed {seed} Q p", out["group"]["cochran_q_p"], theirs.pvalue)
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
        ("u", "sigma"): (np.maximum(0, p - 3 * np.sqrt(p / sizes)), p + 3 * np.sqrt(p / sizes)),
        ("c", "sigma"): (np.full(40, max(0, found.mean() - 3 * np.sqrt(found.mean()))),
                         np.full(40, found.mean() + 3 * np.sqrt(found.mean()))),
        ("p", "exact"): tuple(stats.binom.ppf(t, sizes, p) / sizes for t in tails),
        ("np", "exact"): tuple(stats.binom.ppf(t, sizes, p) for t in tails),
        ("u", "exact"): tuple(stats.poisson.ppf(t, sizes * p) / sizes for t in tails),
        ("c", "exact"): tuple(np.full(40, stats.poisson.ppf(t, found.mean())) for t in tails),
    }
    z = (found / sizes - p) / sigma
    spread = np.abs(np.diff(z)).mean() / 1.128
    expected["p-prime", "sigma"] = (np.maximum(0, p - 3 * sigma * spread), np.minimum(1, p + 3 * sigma * spread))
    root = np.sqrt(p / sizes)
    spread = np.abs(np.diff((found / sizes - p) / root)).mean() / 1.128
    expected["u-prime", "sigma"] = (np.maximum(0, p - 3 * root * spread), p + 3 * root * spread)
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


def check_comparison(seed):
    random = np.random.default_rng(seed)
    kinds = [f"kind {k}" for k in range(6)]
    now, before = random.integers(0, 60, 6), random.integers(1, 60, 6)
    with tempfile.TemporaryDirectory() as folder:
        earlier = os.path.join(folder, "before.csv")
        with open(earlier, "w", encoding="utf-8") as file:
            file.write("defect,count\n" + "".join(f"{k},{n}\n" for k, n in zip(kinds, before)))
        against = ["pareto", "--json", "--against", earlier]
        out = run(against, ["defect", "count"], list(zip(kinds, now)))
        other = run([*against, "--correct", "benjamini-hochberg"], ["defect", "count"], list(zip(kinds, now)))
    rows = {row["defect"]: row for row in out["rows"]}
    p = []
    for kind, a, b in zip(kinds, now, before):
        p.append(stats.fisher_exact([[a, now.sum() - a], [b, before.sum() - b]])[1])
        same(f"seed {seed} {kind} p", rows[kind]["p"], p[-1])
        low, high = confint_proportions_2indep(a, now.sum(), b, before.sum(), method="newcomb", compare="diff")
        same(f"seed {seed} {kind} low", rows[kind]["low"], 100 * low)
        same(f"seed {seed} {kind} high", rows[kind]["high"], 100 * high)
    for kind, adjusted in zip(kinds, multipletests(p, method="holm")[1]):
        same(f"seed {seed} {kind} Holm", rows[kind]["p_adjusted"], adjusted)
    rows = {row["defect"]: row for row in other["rows"]}
    for kind, adjusted in zip(kinds, multipletests(p, method="fdr_bh")[1]):
        same(f"seed {seed} {kind} Benjamini-Hochberg", rows[kind]["p_adjusted"], adjusted)


def check_rare_events(seed):
    random = np.random.default_rng(seed)
    between = random.geometric(0.02, 30) - 1
    rows = [(f"e{i}", x) for i, x in enumerate(between)]
    mean = between.mean()
    g = run(["pchart", "--json", "--kind", "g"], ["event", "between"], rows)["points"][0]
    same(f"seed {seed} g upper", g["upper"], stats.geom.ppf(stats.norm.cdf(3), 1 / (mean + 1)) - 1)
    t = run(["pchart", "--json", "--kind", "t"], ["event", "between"], rows)["points"][0]
    same(f"seed {seed} t upper", t["upper"], stats.expon.isf(stats.norm.sf(3), scale=mean))
    same(f"seed {seed} t lower", t["lower"], stats.expon.ppf(stats.norm.cdf(-3), scale=mean))


def check_yield(seed):
    random = np.random.default_rng(seed)
    units, defects, each = (int(random.integers(*r)) for r in ((50, 900), (1, 60), (1, 20)))
    right = int(random.integers(1, units))
    step = run(["yield", "--json"], ["step", "units", "right", "defects", "opportunities"],
               [("body", units, right, defects, each)])["steps"][0]
    low, high = proportion_confint(right, units, method="wilson")
    same(f"seed {seed} yield low", step["low"], low)
    same(f"seed {seed} yield high", step["high"], high)
    same(f"seed {seed} DPU low", step["dpu_low"], stats.chi2.ppf(0.025, 2 * defects) / 2 / units)
    same(f"seed {seed} DPMO high", step["dpmo_high"],
         stats.chi2.ppf(0.975, 2 * defects + 2) / 2 / units / each * 1e6)


for seed, shape in enumerate([(50, 3, 3, 2, 0.8), (30, 2, 1, 2, 0.7), (80, 4, 1, 5, 0.6), (25, 3, 2, 4, 0.5),
                              (200, 2, 1, 3, 0.9), (12, 5, 2, 3, 0.2)]):
    check_agreement(1000 + seed, *shape)
for seed, rate in enumerate([0.02, 0.15, 0.5]):
    check_charts(2000 + seed, rate)
check_tables_by_vcd()
check_pareto(3000)
for seed in range(5):
    check_comparison(4000 + seed)
    check_rare_events(5000 + seed)
    check_yield(6000 + seed)
print(f"{checked} numbers compared, {failed} differ")
sys.exit(1 if failed else 0)
