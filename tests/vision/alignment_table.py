#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""How well the unit is found: moves, turns, scales and covers known pictures and prints the errors.

    alignment_table.py PROGRAM FOLDER MODEL [PICTURES]

Needs python3-opencv and python3-numpy (Debian). FOLDER holds labelled pictures with images.csv (dx,
dy, rot, scale: where the unit lies); MODEL was taught on others of them. Each picture is moved on by up to 60 px, 8 degrees and 6 % (the corners of
that range more often than its middle), then partly covered by a sleeve or a deep shadow. The error is
that of a component's middle, against images.csv and the move. Three ways are compared: the program's
own; point features alone (ORB, RANSAC); those refined by maximising the enhanced correlation
coefficient over the whole picture (Evangelidis and Psarakis, IEEE TPAMI 30, 2008), as OpenCV has it.
"""
import csv
import json
import math
import os
import subprocess
import sys
import tempfile
from collections import defaultdict

import cv2
import numpy as np

COVERS = (0.0, 0.15, 0.3, 0.5, 0.7, 0.9)
BOUND_PX = 1.5


def pose(size, turn, scale, dx, dy):
    m = cv2.getRotationMatrix2D((size[0] / 2, size[1] / 2), turn, scale)
    m[:, 2] += (dx, dy)
    return np.vstack([m, [0, 0, 1]])


def cover(picture, share, rng):
    """A band across the picture: a sleeve (opaque, with folds) or a shadow (a quarter of the light left)."""
    if share == 0:
        return picture
    h, w = picture.shape[:2]
    yy, xx = np.mgrid[0:h, 0:w]
    a = rng.uniform(0, math.pi)
    t = xx * math.cos(a) + yy * math.sin(a)
    low, high = np.quantile(t, (1 - share) * rng.uniform(0, 1) + np.array([0, share]).clip(0, 1))
    band = ((t >= low) & (t <= high)).astype(np.float32)
    band = cv2.GaussianBlur(band, (0, 0), 3)[..., None]
    if rng.uniform() < 0.5:
        folds = 12 * np.sin(t / 23.0 + 2 * np.sin(t / 61.0))[..., None]
        return (picture * (1 - band) + band * (np.float32([88, 70, 58]) + folds)).clip(0, 255).astype(np.uint8)
    return (picture * (1 - 0.75 * band)).astype(np.uint8)


def features(reference, picture):
    """Reference -> picture by ORB and RANSAC at half size; None where too few agree."""
    orb = cv2.ORB_create(1200)
    half = lambda im: cv2.resize(im, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    ka, da = orb.detectAndCompute(half(reference), None)
    kb, db = orb.detectAndCompute(half(picture), None)
    if da is None or db is None:
        return None
    matches = sorted(cv2.BFMatcher(cv2.NORM_HAMMING, crossCheck=True).match(da, db), key=lambda m: m.distance)[:300]
    if len(matches) < 8:
        return None
    a = np.float32([ka[m.queryIdx].pt for m in matches]) * 2 + 0.5
    b = np.float32([kb[m.trainIdx].pt for m in matches]) * 2 + 0.5
    m, inliers = cv2.estimateAffinePartial2D(a, b, method=cv2.RANSAC, ransacReprojThreshold=5)
    return None if m is None or inliers.sum() < 12 else m


def refined(reference, picture, start):
    if start is None:
        return None
    try:
        _, m = cv2.findTransformECC(reference, picture, start.astype(np.float32), cv2.MOTION_AFFINE,
                                    (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 40, 1e-5), None, 5)
        return m
    except cv2.error:
        return None


def main():
    program, folder, model = sys.argv[1:4]
    count = int(sys.argv[4]) if len(sys.argv) > 4 else 60
    plan = json.load(open(f'{folder}/components.json'))
    size = plan['image']
    middles = np.array([[c['x'] + c['w'] / 2, c['y'] + c['h'] / 2, 1] for c in plan['components']])
    names = [c['name'] for c in plan['components']]
    images = [r for r in csv.DictReader(open(f'{folder}/images.csv')) if r['set'] in ('check', 'kept', 'third', 'fourth', 'fifth')]
    labels = {r['file']: r['variant'] for r in csv.DictReader(open(f'{folder}/labels.csv'))}
    grey_reference = cv2.imread(f'{folder}/{plan["reference"]}', cv2.IMREAD_GRAYSCALE)
    rng = np.random.default_rng(5)
    errors = defaultdict(list)                       # (way, cover) -> errors, nan where not found
    with tempfile.TemporaryDirectory() as temp:
        truth, by_variant = {}, defaultdict(list)
        for i in range(count):
            row = images[i * len(images) // count]
            picture = cv2.imread(f'{folder}/{row["file"]}')
            side = lambda: rng.choice([-1, 1]) * rng.uniform(0.4, 1)
            a = rng.uniform(0, 2 * math.pi)
            d = 60 * rng.uniform(0.4, 1)
            more = pose(size, 8 * side(), 1 + 0.06 * side(), d * math.cos(a), d * math.sin(a))
            share = COVERS[i % len(COVERS)]
            moved = cv2.warpAffine(picture, more[:2], tuple(size), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT_101)
            moved = cover(moved, share, rng)
            own = pose(size, float(row['rot']), float(row['scale']), float(row['dx']), float(row['dy']))
            at = (more @ own @ middles.T).T[:, :2]
            file = f'{i:03d}.png'
            cv2.imwrite(f'{temp}/{file}', moved)
            truth[file] = (at, share)
            by_variant[labels[row['file']]].append(f'{temp}/{file}')
            grey = cv2.cvtColor(moved, cv2.COLOR_BGR2GRAY)
            start = features(grey_reference, grey)
            for way, m in (('point features', start), ('features, then ECC', refined(grey_reference, grey, start))):
                found = np.full(len(at), np.nan) if m is None else np.linalg.norm((m @ middles.T).T - at, axis=1)
                errors[way, share].append(found.max())
        for variant, files in by_variant.items():
            subprocess.run([program, 'see', model, *files, '--variant', variant, '--csv', f'{temp}/out.csv'], check=True)
            seen = defaultdict(dict)
            for r in csv.DictReader(open(f'{temp}/out.csv')):
                seen[r['file']][r['component']] = r
            for file, rows in seen.items():
                at, share = truth[file]
                boxes = np.array([[float(rows[n][k]) for k in 'xywh'] for n in names])
                nominal = np.array([[c[k] for k in 'xywh'] for c in plan['components']])
                lost = all(r['conforming'] == 'unsure' and float(r['score']) == 0.5 for r in rows.values()) and np.abs(boxes - nominal).max() < 0.1
                miss = np.linalg.norm(boxes[:, :2] + boxes[:, 2:] / 2 - at, axis=1).max()
                errors['anchors (this program)', share].append(np.nan if lost else miss)
    print('| covered | way | found | median error, px | worst | found, but 1.5 px or more off |')
    print('| --- | --- | --- | --- | --- | --- |')
    for share in COVERS:
        for way in ('anchors (this program)', 'point features', 'features, then ECC'):
            e = np.array(errors[way, share])
            ok = e[~np.isnan(e)]
            if len(e):
                print(f'| {share:.0%} | {way} | {len(ok)} of {len(e)} | '
                      + (f'{np.median(ok):.2f} | {ok.max():.2f} | {(ok >= BOUND_PX).sum()} |' if len(ok) else '- | - | 0 |'))


if __name__ == '__main__':
    main()
