#!/usr/bin/python3
# SPDX-License-Identifier: CC0-1.0
"""Mixes the renders of one product into labelled photographs.

    python3 compose.py --plan plan.json --renders renders --out terminal-box

For each picture: choose a lighting set-up and a state for every component, cut each component's region from the
render of that state (soft Voronoi masks around the nominal boxes), print the label, move the unit (shift, turn,
scale), then light fall-off, colour temperature, smudges, dust, blur, sensor noise, tone curve, JPEG.
Everything is drawn from the seed in the plan, so a run can be repeated.
"""
import argparse
import csv
import json
import os

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

RW, RH, W, H = 1376, 1056, 1280, 960
OUT = 0.8                # delivered: 1024 x 768
OX, OY = (RW - W) // 2, (RH - H) // 2
EXPOSURE = 0.25
FONT = '/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf'
FONT2 = '/usr/share/fonts/truetype/dejavu/DejaVuSansMono.ttf'


# ------------------------------------------------------------------ renders

class Renders:
    """Linear float images of one render folder, cleaned lightly and cached."""

    def __init__(self, folder):
        self.dir, self.cache = folder, {}
        self.geo = json.load(open(f'{folder}/geometry.json'))
        self.boxes = self.geo['boxes']
        self.names = list(self.boxes)
        self.mask = self._masks()

    def has(self, setup, state):
        return os.path.exists(f'{self.dir}/{setup}__{state}.png')

    def get(self, setup, state):
        k = (setup, state)
        if k not in self.cache:
            f = f'{self.dir}/{setup}__{state}.png'
            im = cv2.imread(f, cv2.IMREAD_UNCHANGED).astype(np.float32) / (65535 * EXPOSURE)
            if im.shape[:2] != (RH, RW):                    # rendered smaller, to be quick
                im = np.maximum(cv2.resize(im, (RW, RH), interpolation=cv2.INTER_CUBIC), 0)
            # light non-local means on the square-root image takes the rest of the path-tracing noise away
            q = np.clip(np.sqrt(im / 1.5) * 255, 0, 255).astype(np.uint8)
            d = cv2.fastNlMeansDenoisingColored(q, None, 2, 5, 3, 9).astype(np.float32) / 255
            d = d * d * 1.5
            im = np.where(im > 1.3, im, d).astype(np.float32)
            if state != 'present' and self.geo.get('window'):
                x0, y0, x1, y1 = self.geo['window']
                full = self.get(setup, 'present').astype(np.float32)
                full[y0 + 2:y1 - 2, x0 + 2:x1 - 2] = im[y0 + 2:y1 - 2, x0 + 2:x1 - 2]
                im = full
            self.cache[k] = im.astype(np.float16)
        return self.cache[k].astype(np.float32)

    def corners(self, setup, state):
        return np.array(json.load(open(f'{self.dir}/{setup}__{state}.json'))['tag_corners'], np.float32)

    def _masks(self):
        """One soft mask per component: every pixel belongs to the component whose box is nearest."""
        yy, xx = np.mgrid[0:RH, 0:RW].astype(np.float32)
        d = []
        for n, (x, y, w, h) in self.boxes.items():
            x, y = x + OX, y + OY
            dx = np.maximum(np.maximum(x - xx, xx - (x + w)), 0)
            dy = np.maximum(np.maximum(y - yy, yy - (y + h)), 0)
            dist = np.sqrt(dx * dx + dy * dy)
            if n in self.geo.get('hollow', {}):             # a frame around other parts owns its edge, not its middle
                depth = np.minimum(np.minimum(xx - x, x + w - xx), np.minimum(yy - y, y + h - yy))
                dist = np.where(depth > 0, np.maximum(depth - self.geo['hollow'][n], 0), dist)
            d.append(dist)
        d = np.stack(d)
        e = np.exp(-(d - d.min(0)) / 4.0)
        e /= e.sum(0)
        return {n: e[i].astype(np.float16) for i, n in enumerate(self.boxes)}


# ------------------------------------------------------------------ label print

def label_art(model, serial, aspect):
    """Reflectance (0..1, RGB) of a printed label without a code; width 920 px, height from the aspect ratio."""
    w = 920
    h = int(w * aspect[1] / aspect[0])
    paper, ink = (255, 255, 255), (22, 22, 26)
    band = {'TB-6': None, 'TB-4': (40, 80, 160), 'TB-9': (200, 40, 30)}[model]
    im = Image.new('RGB', (w, h), paper)
    dr = ImageDraw.Draw(im)
    f = lambda s, n=FONT: ImageFont.truetype(n, int(h * s))
    if band:
        dr.rectangle((0, 0, w, int(h * .32)), fill=band)
    dr.text((34, int(h * .04)), model, font=f(.24), fill=paper if band else ink)
    dr.text((380, int(h * .10)), 'TERMINAL BOX', font=f(.13), fill=paper if band else ink)
    dr.text((34, int(h * .38)), {'TB-6': '690 V  16 A', 'TB-4': '400 V  10 A', 'TB-9': '1000 V  32 A'}[model], font=f(.16, FONT2), fill=ink)
    dr.text((34, int(h * .60)), 'No ' + serial, font=f(.15, FONT2), fill=ink)
    for k, c in enumerate(serial):                          # punched dots: another pattern on every unit
        for j in range(4):
            if ord(c) >> j & 1:
                x, y = 560 + 24 * k, int(h * .42) + 26 * j
                dr.ellipse((x, y, x + 14, y + 14), fill=ink)
    dr.text((34, int(h * .82)), 'Disconnect before opening', font=f(.10), fill=ink)
    dr.rectangle((6, 6, w - 7, h - 7), outline=ink, width=6)
    a = np.asarray(im).astype(np.float32)[:, :, ::-1] / 255
    return (0.035 + 0.965 * a ** 2.2).astype(np.float32)


def print_label(lin, art, corners):
    """Multiply the blank label in the linear picture by the print, seen in the label's perspective."""
    c = corners + np.float32([OX, OY])
    x0, y0 = np.floor(c.min(0)).astype(int) - 4
    x1, y1 = np.ceil(c.max(0)).astype(int) + 5
    s = 4
    h, w = art.shape[:2]
    src = np.float32([[0, 0], [w, 0], [w, h], [0, h]])
    m = cv2.getPerspectiveTransform(src, ((c - [x0, y0]) * s).astype(np.float32))
    big = cv2.warpPerspective(art, m, ((x1 - x0) * s, (y1 - y0) * s), flags=cv2.INTER_LINEAR, borderValue=(1, 1, 1))
    small = cv2.resize(big, (x1 - x0, y1 - y0), interpolation=cv2.INTER_AREA)
    lin[y0:y1, x0:x1] *= small


# ------------------------------------------------------------------ disturbances (all on linear light)

def blobs(rng, shape, n, size, soft):
    m = np.zeros(shape, np.float32)
    for _ in range(n):
        x, y = rng.uniform(0.08, 0.92) * shape[1], rng.uniform(0.12, 0.88) * shape[0]
        ax = (max(2, int(rng.uniform(.4, 1) * size)), max(2, int(rng.uniform(.3, .8) * size)))
        cv2.ellipse(m, (int(x), int(y)), ax, rng.uniform(0, 180), 0, 360, float(rng.uniform(.4, 1)), -1, cv2.LINE_AA)
    n1 = cv2.resize(rng.normal(1, .5, (shape[0] // 16, shape[1] // 16)).astype(np.float32), shape[::-1], interpolation=cv2.INTER_CUBIC)
    return cv2.GaussianBlur(m, (0, 0), soft) * np.clip(n1, 0, 2)


def dirt(lin, rng, d):
    """Oil smudges (darker or shiny), dust specks, fibres: on the unit, so they move with it."""
    k = rng.poisson(d['smudges'])
    if k:
        m = blobs(rng, lin.shape[:2], k, d.get('smudge_size', 45), 9)
        lin *= 1 - np.clip(m, 0, 1)[..., None] * np.float32([0.42, 0.36, 0.30]) * d.get('smudge_depth', 1.0)
    k = rng.poisson(d['smudges'] * .6)
    if k:
        m = blobs(rng, lin.shape[:2], k, 22, 5)
        lin += np.clip(m, 0, 1)[..., None] * 0.16 * d.get('smudge_depth', 1.0)
    m = np.zeros(lin.shape[:2], np.float32)
    for _ in range(rng.poisson(d['dust'])):
        p = (int(rng.uniform(0, RW)), int(rng.uniform(0, RH)))
        if rng.random() < .06:
            a = rng.uniform(0, 6.28)
            t = [(int(p[0] + i * 4 * np.cos(a + .2 * i)), int(p[1] + i * 4 * np.sin(a + .2 * i))) for i in range(5)]
            cv2.polylines(m, [np.int32(t)], False, .6, 1, cv2.LINE_AA)
        else:
            cv2.circle(m, p, int(rng.integers(0, 2)), float(rng.uniform(.2, .8)), -1, cv2.LINE_AA)
    m = cv2.GaussianBlur(m, (0, 0), .8)
    return lin * (1 - m[..., None] * .5) + m[..., None] * 0.18


def pose(lin, rng, d):
    ang, sc = rng.uniform(-1, 1) * d['rot'], 1 + rng.uniform(-1, 1) * d['scale']
    dx, dy = rng.uniform(-1, 1, 2) * d['shift']
    m = cv2.getRotationMatrix2D((RW / 2, RH / 2), ang, sc)
    m[:, 2] += (dx - OX, dy - OY)
    out = cv2.warpAffine(lin, m, (W, H), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT_101)
    return np.maximum(out, 0), m, dict(dx=round(float(dx * OUT), 2), dy=round(float(dy * OUT), 2), rot=round(float(ang), 3), scale=round(float(sc), 4))


def light(img, rng, d):
    yy, xx = np.mgrid[0:H, 0:W].astype(np.float32)
    a, g = rng.uniform(0, 2 * np.pi), rng.uniform(0, d['gradient'])
    t = ((xx / W - .5) * np.cos(a) + (yy / H - .5) * np.sin(a)) * 2
    f = 1 + g * t
    r2 = ((xx - W / 2) ** 2 + (yy - H / 2) ** 2) / (W / 2) ** 2
    f *= 1 - 0.09 * r2
    if rng.random() < d.get('shadow', 0):                   # soft shadow of somebody reaching over
        m = np.zeros((H, W), np.float32)
        b = rng.uniform(0, 2 * np.pi)
        p = np.array([W / 2 + 900 * np.cos(b), H / 2 + 900 * np.sin(b)])
        q = np.array([W * rng.uniform(.25, .75), H * rng.uniform(.25, .75)])
        cv2.line(m, tuple(int(v) for v in p), tuple(int(v) for v in q), 1, int(rng.uniform(110, 220)), cv2.LINE_AA)
        f *= 1 - cv2.GaussianBlur(m, (0, 0), rng.uniform(12, 30)) * rng.uniform(*d.get('shadow_depth', (.3, .5)))
    img *= f[..., None]
    ct = rng.uniform(-1, 1) * d['colour']
    img *= np.float32([1 - ct, 1 + rng.uniform(-.25, .25) * d['colour'], 1 + ct])
    ev = 1 + rng.uniform(-1, 1) * d['gain']
    return img * ev, ev


def optics(img, rng, d):
    s = abs(rng.normal(0, 1)) * d['defocus'] + 0.45         # a lens is never perfect
    img = cv2.GaussianBlur(img, (0, 0), s)
    mb = 0
    if rng.random() < d.get('motion_p', 0):
        mb = rng.uniform(1.5, d['motion'])
        n, a = int(np.ceil(mb)) * 2 + 1, rng.uniform(0, np.pi)
        k = np.zeros((n, n), np.float32)
        c = n // 2
        for t in np.linspace(-mb / 2, mb / 2, 33):
            k[int(round(c + t * np.sin(a))), int(round(c + t * np.cos(a)))] += 1
        img = cv2.filter2D(img, -1, k / k.sum())
    # veiling glare around highlights
    hi = cv2.GaussianBlur(np.maximum(img - 1, 0), (0, 0), 6)
    return img + 0.15 * hi, round(float(s), 2), round(float(mb), 2)


def develop(img, rng, d):
    n = d['noise'] * rng.uniform(.5, 1)
    img = img + rng.normal(0, 1, img.shape).astype(np.float32) * np.sqrt(np.maximum(img, 0) * n * n + (n * .25) ** 2)
    img = np.maximum(img, 0)
    x = np.where(img < .65, img, .65 + .35 * (1 - np.exp(-(img - .65) / .35)))      # soft shoulder
    y = np.where(x <= .0031308, 12.92 * x, 1.055 * np.power(np.maximum(x, 1e-6), 1 / 2.4) - .055)
    y8 = np.clip(y * 255 + .5, 0, 255).astype(np.uint8)
    return y8


# ------------------------------------------------------------------ choice of states

def choose(plan, s, rng):
    """States for every image of a set: a list of (variant, setup, {component: state})."""
    comps = plan['components']
    kinds = s.get('kinds', ['absent', 'wrong', 'misplaced'])
    turn = {c: int(rng.integers(0, 3)) for c in comps}
    load = {c: 0.0 for c in comps}
    vs = [v for v, k in s['variants'].items() for _ in range(k)]
    while len(vs) < s['count']:
        vs += vs
    vs = list(rng.permutation(vs[:s['count']]))
    out = []
    for i in range(s['count']):
        v = str(vs[i])
        off = plan['variants'][v]['without']
        st = {c: ('absent' if c in off else 'present') for c in comps}
        k = s['faults'][i % len(s['faults'])]
        for c in sorted(comps, key=lambda c: load[c] + rng.uniform(0, 2.5))[:k]:
            load[c] += 1
            if c in off:
                st[c] = 'present'                           # this variant must not have it
            else:
                st[c] = kinds[turn[c] % len(kinds)]
                turn[c] += 1
        out.append((v, s['setups'][i % len(s['setups'])], st))
    return out


def scaled(values):
    return [int(round(v * OUT)) for v in values]


def compose_one(R, plan, variant, setup, states, d, rng, golden=False):
    detail, src = {}, {}
    for c, st in states.items():
        opts = [st]
        if st == 'present' and not golden:
            opts = ['present', 'present2', 'present3']
        if st == 'misplaced':
            opts = ['misplaced', 'misplaced2']
        src[c] = str(rng.choice(opts))
        detail[c] = {'misplaced': 'a', 'misplaced2': 'b'}.get(src[c], '')
    base = R.get(setup, 'present')
    lin = base.copy()
    for c, r in src.items():
        if r != 'present':
            lin += R.mask[c].astype(np.float32)[..., None] * (R.get(setup, r) - base)
    np.maximum(lin, 0, out=lin)
    serial = ''
    pc = plan['print']['component']
    if states[pc] != 'absent':
        models = plan['print']['models']
        model = models[variant]['right']
        if states[pc] == 'wrong':
            model = str(rng.choice(models[variant]['wrong']))
            detail[pc] = model
        serial = f"{rng.integers(26300, 26366)}{rng.integers(1, 1000):04d}"
        if golden:
            serial = plan['print']['golden_serial']
        print_label(lin, label_art(model, serial, plan['print']['aspect']), R.corners(setup, src[pc]))
    # camera exposure is set once per lighting set-up, on an assembled unit
    x0, y0, x1, y1 = R.geo['window']
    lum = np.percentile(base[y0:y1, x0:x1].mean(2), 97)
    lin *= plan.get('level', {}).get(setup, plan.get('level', {}).get('default', 0.62)) / lum
    if not golden:
        lin = dirt(lin, rng, d)
    img, m, pz = pose(lin, rng, d)
    img, ev = light(img, rng, d)
    img, blur, mb = optics(img, rng, d)
    boxes = {}
    for c, (x, y, w, h) in R.boxes.items():
        p = np.float32([[x, y], [x + w, y], [x + w, y + h], [x, y + h]]) + [OX, OY]
        q = p @ m[:, :2].T + m[:, 2]
        # keep the nominal size (times scale), centred where the turn and shift put the box
        ctr, sc = q.mean(0), pz['scale']
        boxes[c] = scaled([ctr[0] - w * sc / 2, ctr[1] - h * sc / 2, w * sc, h * sc])
    info = dict(setup=setup, serial=serial, gain=round(float(ev), 3), blur=blur, motion=mb, **pz)
    small = cv2.resize(img, None, fx=OUT, fy=OUT, interpolation=cv2.INTER_AREA)
    return develop(small, rng, d), boxes, detail, info


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('--plan', required=True)
    ap.add_argument('--renders', required=True)
    ap.add_argument('--out', required=True)
    a = ap.parse_args()
    plan = json.load(open(a.plan))
    os.makedirs(a.out, exist_ok=True)
    R = Renders(a.renders)
    plan['components'] = R.names
    # reference pictures: no disturbance, nominal position
    still = dict(smudges=0, dust=0, rot=0, scale=0, shift=0, gradient=0, colour=0, gain=0, defocus=0, noise=0.004)
    for v, vv in (plan['variants'].items() if plan.get('reference_setup') else ()):
        rng = np.random.default_rng(1)
        st = {c: ('absent' if c in vv['without'] else 'present') for c in R.names}
        im, *_ = compose_one(R, plan, v, plan['reference_setup'], st, still, rng, golden=True)
        name = 'reference.jpg' if v == next(iter(plan['variants'])) else f'reference-{v}.jpg'
        cv2.imwrite(f'{a.out}/{name}', im, [cv2.IMWRITE_JPEG_QUALITY, 95])
    json.dump({'image': scaled([W, H]), 'reference': 'reference.jpg',
               'components': [dict(zip(('name', *'xywh'), (n, *scaled(b)))) for n, b in R.boxes.items()],
               'variants': {v: {'expected': {n: ('absent' if n in vv['without'] else 'present') for n in R.names}}
                            for v, vv in plan['variants'].items()}}, open(f'{a.out}/components.json', 'w'), indent=1)
    rows, irows = [], []
    for s in plan['sets']:
        rng = np.random.default_rng(s['seed'])
        items = choose(plan, s, rng)
        # one lighting set-up after the other keeps few renders in memory; the numbers stay as planned
        for i in sorted(range(len(items)), key=lambda i: items[i][1]):
            v, setup, st = items[i]
            if R.cache and next(iter(R.cache))[0] != setup:
                R.cache.clear()
            r2 = np.random.default_rng([s['seed'], i])
            lv = s['disturb'][i % len(s['disturb'])]
            im, boxes, detail, info = compose_one(R, plan, v, setup, st, plan['disturb'][lv], r2)
            f = f"{s['name']}-{i + 1:03d}.jpg"
            qual = int(r2.integers(plan['disturb'][lv].get('jpeg', [70, 96])[0], plan['disturb'][lv].get('jpeg', [70, 96])[1]))
            cv2.imwrite(f'{a.out}/{f}', im, [cv2.IMWRITE_JPEG_QUALITY, qual])
            for c in R.names:
                exp = 'absent' if c in plan['variants'][v]['without'] else 'present'
                row = dict(file=f, variant=v, component=c, state=st[c], **dict(zip('xywh', boxes[c])), expected=exp,
                           ok=int(st[c] == exp), detail=detail[c])
                if plan.get('difficulty'):
                    row['difficulty'] = lv
                rows.append(row)
            irows.append(dict(file=f, variant=v, set=s['name'], **info, jpeg=qual, disturbance=lv))
    for name, rr in (('labels.csv', rows), ('images.csv', irows)):
        rr.sort(key=lambda r: r['file'], reverse=False)
        with open(f'{a.out}/{name}', 'w', newline='') as fh:
            w = csv.DictWriter(fh, fieldnames=list(rr[0]), lineterminator='\n')
            w.writeheader()
            w.writerows(rr)
    print(len(irows), 'images')


if __name__ == '__main__':
    main()
