# SPDX-License-Identifier: CC0-1.0
"""A motor terminal box, invented for Lastlook's tests: one render per (light, state).

    blender -b -P scene.py -- --lights lights.json --out renders [--only bench,ring] [--samples 16]

Every component of a render is in the same state; compose.py mixes the regions. Parts that turn freely
(screws, cap, gland) stand at another turn in each render.
"""
import argparse
import json
import math
import os
import random
import sys

import bpy

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from blkit import *                                                     # noqa: E402,F403

STATES = ['present', 'present2', 'present3', 'absent', 'wrong', 'misplaced', 'misplaced2']
RIM, FLOOR = 5.0, 1.2
SCREWS = [(-8.25, 5.2), (8.25, 5.2), (8.25, -5.2), (-8.25, -5.2)]
STUDS = [(4.7, -1.9), (4.7, 1.3)]
CAP = (11.9, -1.2, 3.2)
GLAND = (-9.4, 0.6, 3.0)
LABEL = (-4.4, 3.2, -9.6, -7.0)
LABEL_Z = 2.43


def materials():
    m = {}
    m['table'] = mat('table', (0.42, 0.40, 0.36), rough=0.6, bump=0.1, bump_scale=4, var=0.25, var_scale=0.2)
    m['rail'] = mat('rail', (0.62, 0.62, 0.64), metallic=0.9, rough=0.4, bump=0.1, bump_scale=4, stretch=(1, 18, 1))
    m['paint'] = mat('paint', (0.055, 0.13, 0.17), rough=0.45, bump=0.25, bump_scale=18, var=0.12, var_scale=0.5)
    m['inside'] = mat('inside', (0.16, 0.19, 0.20), rough=0.6, bump=0.2, bump_scale=12, var=0.2, var_scale=0.8)
    m['steel'] = mat('steel', (0.66, 0.66, 0.67), metallic=1.0, rough=0.25)
    m['zinc'] = mat('zinc', (0.64, 0.62, 0.55), metallic=0.95, rough=0.32)
    m['black'] = mat('black', (0.014, 0.014, 0.015), rough=0.45, bump=0.06, bump_scale=25)
    m['hole'] = mat('hole', (0.006, 0.006, 0.006), rough=0.8)
    m['silicone'] = mat('silicone', (0.42, 0.43, 0.42), rough=0.55)
    m['rubber'] = mat('rubber', (0.02, 0.02, 0.02), rough=0.6)
    m['beige'] = mat('beige', (0.62, 0.50, 0.33), rough=0.45, bump=0.04, bump_scale=25)
    m['grey'] = mat('grey', (0.22, 0.23, 0.25), rough=0.45)
    m['brass'] = mat('brass', (0.76, 0.55, 0.24), metallic=1.0, rough=0.28)
    m['green'] = mat('green', (0.10, 0.42, 0.06), rough=0.4)
    m['blue'] = mat('blue', (0.03, 0.10, 0.55), rough=0.4)
    m['yellow'] = mat('yellow', (0.78, 0.52, 0.02), rough=0.4, bump=0.03, bump_scale=20)
    m['white'] = mat('white', (0.70, 0.70, 0.68), rough=0.4)
    m['paper'] = mat('paper', (0.80, 0.80, 0.785), rough=0.55, spec=0.25)
    return m


def disc(x, y, z, r, m):
    return lathe([(0, 0), (r, 0)], m, (x, y, z), n=28)


def body(m):
    box(-26, 26, -22, 22, -2, 0, m['table'])
    for y in (-10.8, 10.2):
        box(-24, 24, y - 0.9, y + 0.9, 0, 1.1, m['rail'], bevel=0.12)
        for i in range(-4, 5):
            disc(i * 5.1 + 1, y, 1.105, 0.35, m['hole'])
    for x in (-10.6, 10.6):
        box(x - 0.8, x + 0.8, 5.4, 8.6, 0, 3.4, m['black'], bevel=0.15)
        lathe([(0.5, 0), (0.5, 0.5), (0.3, 0.7), (0, 0.7)], m['steel'], (x, 6.6, 3.4))
    shell = box(-9.2, 9.2, -6.1, 6.1, 0.3, RIM, m['paint'], bevel=0.2, r=1.1)
    cut(shell, box(-6.8, 6.8, -4.1, 4.1, FLOOR - 0.2, RIM + 1, m['paint'], bevel=0, r=0.6))
    box(-6.85, 6.85, -4.15, 4.15, FLOOR - 0.35, FLOOR, m['inside'], bevel=0.02, r=0.6)
    for x, y in SCREWS:
        lathe([(0.3, 0.004), (0.62, 0.004)], m['steel'], (x, y, RIM), n=28)
        disc(x, y, RIM + 0.006, 0.3, m['hole'])
    box(-6.0, 2.2, -1.1, 0.9, FLOOR, FLOOR + 0.25, m['rail'], bevel=0.05)     # mounting rail of the terminals
    for i in range(7):
        box(-5.6 + 1.15 * i, -5.3 + 1.15 * i, -0.3, 0.1, FLOOR + 0.24, FLOOR + 0.26, m['hole'], bevel=0)
    for x, y in STUDS:
        lathe([(0.85, 0), (0.85, 0.5), (0, 0.5)], m['black'], (x, y, FLOOR))
        lathe([(0.22, 0), (0.22, 1.7), (0.12, 1.8), (0, 1.8)], m['steel'], (x, y, FLOOR))
    for x, y in ((-5.4, 2.7), (1.6, 2.9)):                                   # posts of the lead
        lathe([(0.5, 0), (0.5, 0.3), (0, 0.3)], m['steel'], (x, y, FLOOR))
        screw(x, y, FLOOR + 0.3, 0.3, m['steel'], h=0.3)
    for i in range(5):                                                       # ribs on the floor
        box(-5.5 + 1.7 * i, -5.3 + 1.7 * i, -3.6, -2.2, FLOOR, FLOOR + 0.35, m['inside'], bevel=0.05)
    box(9.0, 14.0, -3.4, 1.0, 0.4, CAP[2], m['paint'], bevel=0.3, r=0.9)      # boss under the cap
    lathe([(1.0, 0.004), (1.5, 0.004)], m['steel'], CAP, n=48)
    disc(CAP[0], CAP[1], CAP[2] + 0.006, 1.0, m['hole'])
    lathe([(1.75, -0.4), (1.75, 0.25), (1.6, 0.35)], m['paint'], GLAND, (-1, 0, 0))   # entry of the gland
    lathe([(0, 0.3), (1.2, 0.3)], m['hole'], GLAND, (-1, 0, 0))
    lathe([(1.2, 0.34), (1.6, 0.34)], m['steel'], GLAND, (-1, 0, 0))
    box(-5.6, 4.4, -10.0, -5.9, 0.3, LABEL_Z - 0.03, m['paint'], bevel=0.12, r=0.4)
    for x in (-5.1, 3.9):
        screw(x, -9.4, LABEL_Z - 0.03, 0.25, m['zinc'], h=0.25)
    cu = bpy.data.curves.new('t', 'FONT')
    cu.body, cu.size, cu.extrude = 'TOP', 0.7, 0.03
    cu.materials.append(m['paint'])
    o = bpy.data.objects.new('t', cu)
    o.location = (-0.8, 4.95, RIM)
    bpy.context.scene.collection.objects.link(o)
    take_new()


# ------------------------------------------------------------------ components

def gasket(m, st):
    if st == 'absent':
        return
    o = frame(0, 0, 14.9, 9.5, 0.9, 0.5, RIM - 0.02, RIM + 0.3, m['rubber' if st == 'wrong' else 'silicone'], bevel=0.12)
    if st == 'misplaced':
        transform([o], (0, 0, RIM), rot=(0, 0, 2.2), move=(0.35, 0.3, 0.05))
    if st == 'misplaced2':
        transform([o], (7.4, 0, RIM), rot=(0, 3, -2.6), move=(-0.3, -0.2, 0.1))


def terminals(m, st):
    if st == 'absent':
        return
    n, c = (4, 'grey') if st == 'wrong' else (6, 'beige')
    z, w = FLOOR + 0.25, 7.0 / n
    o = []
    for i in range(n):
        x = -5.4 + w * i
        o.append(box(x + 0.03, x + w - 0.03, -1.0, 0.8, z, z + 1.7, m[c], bevel=0.1))
        for y in (-0.62, 0.42):
            o.append(lathe([(0.3, 0.012), (0.24, 0.012), (0.24, -0.0), (0, 0.0)], m['zinc'], (x + w / 2, y, z + 1.71), n=24))
            o.append(box(x + w / 2 - 0.22, x + w / 2 + 0.22, y - 0.045, y + 0.045, z + 1.7, z + 1.725, m['hole'], bevel=0))
    if st == 'misplaced':
        transform(o, (-1.9, 0, z), rot=(0, 0, 7), move=(0.1, 0.1, 0.1))
    if st == 'misplaced2':
        transform(o, (1.6, 0, z), rot=(0, 8, -2), move=(0.2, 0.25, 0.05))


def link(m, st):
    if st == 'absent':
        return
    (ax, ay), (bx, by) = STUDS
    z = FLOOR + 0.52
    o = [box(ax - 0.5, ax + 0.5, ay - 0.6, by + 0.6, z, z + 0.22, m['white' if st == 'wrong' else 'brass'], bevel=0.05, r=0.45)]
    for x, y in STUDS if not st.startswith('mis') else STUDS[:1]:
        o.append(lathe([(0, 0), (0.55, 0), (0.5, 0.4), (0, 0.4)], m['zinc'], (x, y, z + 0.22), n=6, smooth=False))
    if st == 'misplaced':
        transform(o, (ax, ay, z), rot=(0, 0, 24), move=(0, 0, 0.05))
    if st == 'misplaced2':
        transform(o, (ax, ay, z), rot=(9, 0, -15), move=(0.05, 0.25, 0.15))


def lead(m, st, sag=0.0):
    if st == 'absent':
        return
    z = FLOOR + 0.65
    pts = [(-5.4, 2.7, z), (-4.4, 2.75, z + 0.4), (-2.8, 2.3 + sag, z + 0.9), (-1.0, 2.5 - sag, z + 0.9), (0.6, 3.0 + sag, z + 0.5), (1.6, 2.9, z)]
    if st == 'misplaced':
        pts[-2:] = [(0.3, 2.0, z + 0.7), (0.9, 1.3, z + 0.9)]
    if st == 'misplaced2':
        pts[:2] = [(-4.9, 1.4, z + 0.7), (-4.2, 1.9, z + 0.9)]
    wire(pts, 0.21, m['blue' if st == 'wrong' else 'green'])
    for p in (pts[0], pts[-1]):
        lathe([(0.2, 0), (0.48, 0), (0.48, 0.1), (0.2, 0.1)], m['steel'], (p[0], p[1], p[2] - 0.05), closed=True, n=28)


def cap(m, st):
    if st == 'absent':
        return
    c = m['white' if st == 'wrong' else 'yellow']
    x, y, z = CAP
    o = [lathe([(1.55, 0), (1.55, 0.3), (1.42, 0.42), (1.1, 0.46), (1.05, 0.4), (0, 0.4)], c, CAP)]
    o.append(box(x - 0.95, x + 0.95, y - 0.16, y + 0.16, z + 0.38, z + 0.62, c, bevel=0.06))       # grip bar
    for k in range(3):
        a = math.radians(60 + 120 * k)
        o.append(disc(x + 1.25 * math.cos(a), y + 1.25 * math.sin(a), z + 0.455, 0.09, m['hole']))
    if st == 'misplaced':
        transform(o, CAP, rot=(13, 8, 0), move=(0.1, -0.15, 0.35))
    if st == 'misplaced2':
        transform(o, CAP, rot=(-5, -15, 0), move=(-0.35, 0.1, 0.4))


def gland(m, st):
    if st == 'absent':
        return
    c = m['brass' if st == 'wrong' else 'black']
    o = [lathe([(1.55, 0.35), (1.55, 1.0), (1.3, 1.0)], c, GLAND, (-1, 0, 0), n=6, smooth=False),
         lathe([(1.25, 0.9), (1.25, 1.5), (1.4, 1.6), (1.4, 2.4), (0.85, 2.9), (0.75, 2.9), (0.7, 2.5), (0, 2.5)], c, GLAND, (-1, 0, 0), n=40)]
    for k in range(14):
        a = 2 * math.pi * k / 14
        p = Vector(GLAND) + Vector((0, 1.38 * math.cos(a), 1.38 * math.sin(a)))
        o.append(wire([p + Vector((-1.65, 0, 0)), p + Vector((-2.4, 0, 0))], 0.07, c, bezier=False))
    if st == 'misplaced':
        transform(o, GLAND, rot=(0, 0, 10), move=(-0.35, -0.1, 0))
    if st == 'misplaced2':
        transform(o, GLAND, rot=(0, 8, -7), move=(-0.6, 0.05, 0.1))


def label_pose(st):
    x0, x1, y0, y1 = LABEL
    c = [Vector(p) for p in ((x0, y1, LABEL_Z), (x1, y1, LABEL_Z), (x1, y0, LABEL_Z), (x0, y0, LABEL_Z))]
    mid = Vector(((x0 + x1) / 2, (y0 + y1) / 2, LABEL_Z))
    if st == 'misplaced':
        c = [mid + Matrix.Rotation(math.radians(-6), 3, 'Z') @ (p - mid) + Vector((0.1, 0.1, 0)) for p in c]
    if st == 'misplaced2':
        c = [p + Vector((0.6, -0.15, 0)) for p in c]
    return c


def label(m, st):
    if st == 'absent':
        return
    c = label_pose(st)
    loft([[Vector((p.x, p.y, LABEL_Z - 0.03)) for p in c], c], m['paper'], smooth=False)


def corner_screw(i):
    def make(m, st):
        if st == 'absent':
            return
        x, y = SCREWS[i]
        at = (x, y, RIM)
        c = m['black' if st == 'wrong' else 'zinc']
        if st == 'wrong':
            o = screw(x, y, RIM, 0.42, c, h=0.5)
        else:
            o = [lathe([(0, 0), (0.56, 0), (0.56, 0.1), (0.42, 0.24), (0.2, 0.3), (0, 0.3)], c, at, n=32)]
            for t in (0, 90):
                bar = box(x - 0.36, x + 0.36, y - 0.07, y + 0.07, RIM + 0.2, RIM + 0.312, m['hole'], bevel=0)
                o += transform([bar], at, rot=(0, 0, t))
        s = 1 if i % 2 else -1
        if st == 'misplaced':
            transform(o, at, rot=(10 * s, 14, 20), move=(0.12, 0.06 * s, 0.55))
        if st == 'misplaced2':
            transform(o, at, rot=(-13, 7 * s, 50), move=(-0.1 * s, 0.12, 0.7))
    return make


COMPONENTS = {'gasket': gasket, 'terminals': terminals, 'link': link, 'lead': lead, 'cap': cap, 'gland': gland, 'label': label,
              **{f'screw_{i + 1}': corner_screw(i) for i in range(4)}}
# Where a good part may sit: pivot, largest turn (degrees), largest move (cm).
PLAY = {'gasket': ((0, 0, RIM), (0, 0, 0.25), (0.04, 0.04, 0)), 'terminals': ((-1.9, 0, FLOOR), (0, 0, 0.5), (0.05, 0.03, 0)),
        'link': ((4.7, -0.3, FLOOR), (0, 0, 1.0), (0.03, 0.04, 0)), 'lead': ((-2, 2.7, FLOOR), (0, 0, 0.5), (0.03, 0.03, 0)),
        'cap': (CAP, (0.6, 0.6, 180), (0.03, 0.03, 0.02)), 'gland': (GLAND, (180, 0.6, 0.6), (0.04, 0.02, 0.02)),
        'label': ((-0.6, -8.3, LABEL_Z), (0, 0, 0.9), (0.06, 0.06, 0)),
        **{f'screw_{i + 1}': ((x, y, RIM), (0.8, 0.8, 180), (0.02, 0.02, 0.02)) for i, (x, y) in enumerate(SCREWS)}}


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('--lights', required=True)
    ap.add_argument('--out', required=True)
    ap.add_argument('--only')
    ap.add_argument('--samples', type=int, default=10)
    ap.add_argument('--scale', type=float, default=0.7)
    a = ap.parse_args(sys.argv[sys.argv.index('--') + 1:])
    os.makedirs(a.out, exist_ok=True)
    reset()
    m = materials()
    camera(target=(0.3, -1.2, 2.5), elevation=74, distance=58, width=30.0)
    body(m)
    boxes = {}
    for n, build in COMPONENTS.items():
        build(m, 'present')
        parts = take_new()
        boxes[n] = bbox(parts)
        remove(parts)
    window = union_window(list(boxes.values()), 60)
    json.dump({'window': window, 'boxes': boxes, 'hollow': {'gasket': 30}}, open(f'{a.out}/geometry.json', 'w'), indent=1)
    for name, cfg in json.load(open(a.lights)).items():
        if a.only and name not in a.only.split(','):
            continue
        lamps = lighting(cfg)
        for st in STATES:
            path = f'{a.out}/{name}__{st}.png'
            if os.path.exists(path):
                continue
            parts = []
            for n, build in COMPONENTS.items():
                chance = random.Random(f'{name}/{st}/{n}')
                kind = 'present' if st.startswith('present') else st
                if n == 'lead':
                    build(m, kind, chance.uniform(-0.15, 0.15))
                else:
                    build(m, kind)
                pivot, turn, move = PLAY[n]
                pose = motion(pivot, [chance.uniform(-1, 1) * v for v in turn], [chance.uniform(-1, 1) * v for v in move])
                new = take_new()
                for x in new:
                    x.matrix_world = pose @ x.matrix_world
                parts += new
                if n == 'label':
                    json.dump({'tag_corners': project([pose @ c for c in label_pose(kind)]).tolist()}, open(path.replace('.png', '.json'), 'w'))
            render(path, a.samples, a.scale, None if st == 'present' else window)
            remove(parts)
        for o in lamps:
            bpy.data.objects.remove(o, do_unlink=True)


if __name__ == '__main__':
    main()
