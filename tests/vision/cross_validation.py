#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Teaches and sees with the program, on pictures kept apart, and prints what it got wrong.

    cross_validation.py PROGRAM FOLDER TEACH SEE [-v]   teach on some sets of pictures, see others
    cross_validation.py PROGRAM FOLDER light [-v]       leave one lighting set-up out at a time: teach
                                                        on all pictures of the others, see all of it

TEACH and SEE: names of sets with commas between, each with '@' and a lighting set-up or without: "teach check",
"good,empty kept@window". -v lists what was not answered rightly. FOLDER holds components.json, labels.csv, images.csv (file, set, setup) and the pictures. Limits are
one-sided 95 % exact binomial (Clopper and Pearson, Biometrika 26, 1934). Prints a Markdown table.
"""
import csv
import math
import os
import subprocess
import sys
import tempfile
from collections import defaultdict


def upper_limit(k, n, confidence=0.95):
    """The largest rate under which k or fewer of n has at least 1 - confidence probability."""
    if n == 0 or k >= n:
        return 1.0
    low, high = k / n, 1.0
    for _ in range(60):
        p = (low + high) / 2
        at_most = sum(math.exp(math.lgamma(n + 1) - math.lgamma(i + 1) - math.lgamma(n - i + 1)
                               + i * math.log(p) + (n - i) * math.log1p(-p)) for i in range(k + 1))
        low, high = (p, high) if at_most > 1 - confidence else (low, p)
    return high


def read(path):
    with open(path, newline='') as f:
        return list(csv.DictReader(f))


class Pictures:
    def __init__(self, folder):
        self.folder = os.path.abspath(folder)
        self.labels = read(f'{folder}/labels.csv')
        self.images = {row['file']: row for row in read(f'{folder}/images.csv')}
        self.variant = {row['file']: row['variant'] for row in self.labels}

    def teaching_folder(self, into, files):
        os.makedirs(into)
        for name in ['components.json', 'reference.jpg', *files]:
            os.symlink(f'{self.folder}/{name}', f'{into}/{name}')
        with open(f'{into}/labels.csv', 'w', newline='') as f:
            out = csv.DictWriter(f, self.labels[0].keys(), lineterminator='\n')
            out.writeheader()
            out.writerows(row for row in self.labels if row['file'] in files)

    def teach_and_see(self, program, teach, see):
        """Rows of opinions on the files of 'see', by a model taught on the files of 'teach'."""
        with tempfile.TemporaryDirectory() as temp:
            self.teaching_folder(f'{temp}/teach', set(teach))
            subprocess.run([program, 'teach', f'{temp}/teach', '--out', f'{temp}/model'],
                           check=True, stdout=subprocess.DEVNULL)
            rows = []
            for variant in sorted({self.variant[file] for file in see}):
                files = [f'{self.folder}/{file}' for file in see if self.variant[file] == variant]
                subprocess.run([program, 'see', f'{temp}/model', *files, '--variant', variant,
                                '--csv', f'{temp}/out.csv'], check=True)
                rows += read(f'{temp}/out.csv')
            return rows


def splits(pictures, how):
    """Pairs of files to teach on and files to see."""
    of = lambda want: sorted(file for file, row in pictures.images.items() if want(row))
    if how == ['light']:
        for setup in sorted({row['setup'] for row in pictures.images.values()}):
            yield of(lambda r: r['setup'] != setup), of(lambda r: r['setup'] == setup)
        return
    named = lambda names: of(lambda r: bool({r['set'], f"{r['set']}@{r['setup']}"} & set(names.split(','))))
    yield named(how[0]), named(how[1])


class Tally:
    def __init__(self):
        self.good = self.bad = self.miss = self.stopped = self.unsure_good = self.unsure_bad = 0

    def add(self, ok, conforming):
        if ok:
            self.good += 1
            self.stopped += conforming == 'no'
            self.unsure_good += conforming == 'unsure'
        else:
            self.bad += 1
            self.miss += conforming == 'yes'
            self.unsure_bad += conforming == 'unsure'

    def row(self, name):
        def rate(k, n):
            return f'{k} of {n} (≤ {100 * upper_limit(k, n):.1f} %)' if n else '-'
        return (f'| {name} | {rate(self.miss, self.bad)} | {rate(self.stopped, self.good)} | '
                f'{self.unsure_good} of {self.good} | {self.unsure_bad} of {self.bad} |')


def unit_answer(answers):
    return 'no' if 'no' in answers else 'unsure' if 'unsure' in answers else 'yes'


def main():
    program, folder, *how = [a for a in sys.argv[1:] if a != '-v']
    verbose = '-v' in sys.argv
    pictures = Pictures(folder)
    truth = {(r['file'], r['component']): r for r in pictures.labels}
    by_component, by_light, units = defaultdict(Tally), defaultdict(Tally), Tally()
    opinions, opinions_right, ms = 0, 0, []
    for teach, see in splits(pictures, how):
        rows = pictures.teach_and_see(program, teach, see)
        of_unit = defaultdict(list)
        for row in rows:
            label = truth[row['file'], row['component']]
            ok = label['ok'] == '1'
            by_component[row['component']].add(ok, row['conforming'])
            of_unit[row['file']].append((ok, row['conforming']))
            state = label['state'] if label['state'] in ('present', 'absent') else 'not_right'
            opinions += row['opinion'] != 'unsure'
            opinions_right += row['opinion'] == state
            wrong = row['conforming'] != ('yes' if ok else 'no')
            if verbose and wrong:
                kind = 'MISS ' if row['conforming'] == 'yes' else 'STOP ' if ok and row['conforming'] == 'no' else 'unsure'
                print(f"{kind:6} {row['file']} {pictures.images[row['file']]['setup']:14} {row['component']:12} "
                      f"{label['state']:9} {label['detail']:8} ok {label['ok']} score {row['score']}")
        for file, all_of in of_unit.items():
            ok = all(good for good, _ in all_of)
            units.add(ok, unit_answer([answer for _, answer in all_of]))
            setup = pictures.images[file]['setup']
            by_light[setup].add(ok, unit_answer([answer for _, answer in all_of]))
            ms.append(sum(float(r['ms']) for r in rows if r['file'] == file))
    print('| component | misses (95 % limit) | good ones stopped (95 % limit) | unsure, good | unsure, bad |')
    print('| --- | --- | --- | --- | --- |')
    total = Tally()
    for name, tally in by_component.items():
        print(tally.row(name))
        for key in vars(tally):
            setattr(total, key, getattr(total, key) + getattr(tally, key))
    print(total.row('**all components**'))
    for name, tally in sorted(by_light.items()):
        print(tally.row(f'units, {name}'))
    print(units.row('**units**'))
    print(f'\nOf {opinions} opinions other than unsure {opinions_right} named the state. '
          f'Median {sorted(ms)[len(ms) // 2]:.1f} ms a picture.')


if __name__ == '__main__':
    main()
