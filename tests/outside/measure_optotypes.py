#!/usr/bin/env python3
"""Measures optotypes in pictures, from their grey values alone.

Usage: measure_optotypes.py PROGRAM [COUNT [SEED]]

Writes COUNT optotypes (500 unless said) of random kind, size, distance, pixel and place with the verb `optotype` and
measures each: stroke by ink (area-equivalent width) and by second moment, gap of a ring by the ink that is missing and
along its axis, direction, place. What is expected comes from the tangent and from the shapes of our own letters
and ISO 8596:2017, clause 3, written here anew. Bars: 1 % of the angle and 0.05 pixel.
"""

import math
import pathlib
import subprocess
import sys
import tempfile

import numpy as np

FACINGS = ["right", "up_right", "up", "up_left", "left", "down_left", "down", "down_right"]
SLOAN, HOTV = "CDHKNORSVZ", "HOTV"
RELATIVE, PIXELS = 0.01, 0.05


def light(grey):
    """IEC 61966-2-1, from code to luminance re white."""
    v = np.asarray(grey, float) / 255
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def picture(path):
    """The grey of a picture without colours."""
    size = subprocess.run(["identify", "-format", "%w %h", path], capture_output=True, check=True)
    width, height = map(int, size.stdout.split())
    raw = subprocess.run(["convert", path, "-depth", "8", "rgb:-"], capture_output=True, check=True)
    pixels = np.frombuffer(raw.stdout, np.uint8).reshape(height, width, 3)
    if np.any(pixels != pixels[:, :, :1]):
        raise SystemExit(f"{path}: has colours")
    return pixels[:, :, 0]


def convex(x, y, points):
    sides = [
        (bx - ax) * (y - ay) > (by - ay) * (x - ax)
        for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1])
    ]
    return np.all(sides, axis=0) | ~np.any(sides, axis=0)


def within(name, x, y):
    """Whether points lie in a shape; strokes from the lower left corner of its box. E and ring open to the right."""
    r2 = math.sqrt(2)

    def bar(x0, y0, x1, y1):
        return (x0 <= x) & (x < x1) & (y0 <= y) & (y < y1)

    def band(cx, cy, r):
        far = np.hypot(x - cx, y - cy)
        return (r - 1 <= far) & (far < r)

    def over_30(dx, dy):
        return (dx > 0) & (dy > dx * math.tan(math.pi / 6))

    stem, right_stem = bar(0, 0, 1, 5), bar(4, 0, 5, 5)
    ring = band(2.5, 2.5, 2.5)
    if name == "O":
        return ring
    if name in ("C", "ring"):
        return ring & ~((x > 2.5) & (y >= 2) & (y < 3))
    if name == "D":
        return stem | bar(0, 0, 2.5, 1) | bar(0, 4, 2.5, 5) | (ring & (x >= 2.5))
    if name == "H":
        return stem | right_stem | bar(0, 2, 5, 3)
    if name == "N":
        return stem | right_stem | convex(x, y, [(0, 5), (1.25, 5), (5, 0), (3.75, 0)])
    if name == "Z":
        return bar(0, 0, 5, 1) | bar(0, 4, 5, 5) | convex(x, y, [(5, 5), (3.75, 5), (0, 0), (1.25, 0)])
    if name == "V":
        w = 1.0743
        left = [(0, 5), (w, 5), (2.5 + w / 2, 0), (2.5 - w / 2, 0)]
        return convex(x, y, left) | convex(x, y, [(5 - a, b) for a, b in left])
    if name == "K":
        half = r2 / 2
        arm = [(5 - r2, 5), (5, 5), (1, 1), (1, 1 + r2)]
        return stem | convex(x, y, arm) | convex(x, y, [(2.5 - half, 2.5 - half), (2.5, 2.5), (5, 0), (5 - r2, 0)])
    if name == "R":
        leg = [(3 - r2, 2), (3, 2), (5, 0), (5 - r2, 0)]
        return (
            stem | bar(0, 4, 3.5, 5) | bar(0, 2, 3.5, 3) | ((x >= 3.5) & band(3.5, 3.5, 1.5)) | convex(x, y, leg)
        )
    if name == "S":
        return (
            bar(1.5, 4, 3.5, 5) | bar(1.5, 2, 3.5, 3) | bar(1.5, 0, 3.5, 1)
            | ((x <= 1.5) & band(1.5, 3.5, 1.5)) | ((x >= 3.5) & band(3.5, 1.5, 1.5))
            | (over_30(x - 3.5, y - 3.5) & band(3.5, 3.5, 1.5)) | (over_30(1.5 - x, 1.5 - y) & band(1.5, 1.5, 1.5))
        )
    if name == "T":
        return bar(0, 4, 5, 5) | bar(2, 0, 3, 5)
    if name == "E":
        return stem | bar(0, 0, 5, 1) | bar(0, 2, 5, 3) | bar(0, 4, 5, 5)
    raise ValueError(name)


class Shape:
    """Ink, centre and second moment about the box's centre, in strokes, by counting points."""

    known: dict = {}

    def __init__(self, name, points=3000):
        at = (np.arange(points) + 0.5) * 5 / points
        x, y = np.meshgrid(at, at)
        inside, cell = within(name, x, y), (5 / points) ** 2
        x, y = x[inside] - 2.5, y[inside] - 2.5
        self.ink = x.size * cell
        self.centre = np.array([x.mean(), y.mean()])
        self.moment = float((x * x + y * y).sum()) * cell

    @classmethod
    def of(cls, name):
        if name not in cls.known:
            cls.known[name] = cls(name)
        return cls.known[name]


def gap_area():
    """Of a strip one stroke wide between the ring's circles, strokes² (circle geometry)."""

    def part(r):
        return r * r * math.asin(0.5 / r) + 0.5 * math.sqrt(r * r - 0.25)

    return part(2.5) - part(1.5)


def stroke_px(log_mar, distance_mm, pixel_mm):
    """ISO 8596: five times the detail by the tangent of the half angle."""
    half = 2.5 * 10**log_mar / 60 * math.pi / 180
    return 2 * distance_mm * math.tan(half) / 5 / pixel_mm


def measure(ink, centre, stroke, symbol):
    """Errors of one optotype: `ink` of each pixel, `centre` (column, row) where its box should be, in pixels.

    `symbol` is a letter, or (set, facing). Relative errors of widths, and pixels of place.
    """
    name, turn = (symbol, 0.0) if isinstance(symbol, str) else (
        "E" if symbol[0] == "tumbling_e" else "ring", math.pi / 4 * FACINGS.index(symbol[1]))
    shape = Shape.of(name)
    rows, columns = np.indices(ink.shape)
    x, y = columns + 0.5 - centre[0], centre[1] - rows - 0.5
    reach = 2.5 * stroke + 1.5
    near = (abs(x) < reach) & (abs(y) < reach)
    x, y, ink = x[near], y[near], ink[near]
    area = ink.sum()
    cos, sin = math.cos(turn), math.sin(turn)
    wanted = stroke * np.array([shape.centre[0] * cos - shape.centre[1] * sin,
                                shape.centre[0] * sin + shape.centre[1] * cos])
    found = np.array([(ink * x).sum(), (ink * y).sum()]) / area
    # Spreading ink evenly over whole pixels adds a pixel's own second moment.
    moment = float((ink * (x * x + y * y)).sum()) - area / 6
    told = {
        "stroke by ink": math.sqrt(area / shape.ink) / stroke - 1,
        "stroke by moment": (moment / shape.moment) ** 0.25 / stroke - 1,
        "place, px": float(np.hypot(*(found - wanted))),
    }
    if name == "ring":
        away = math.degrees(math.atan2(-found[1], -found[0]) - turn)
        told["direction, degrees"] = abs((away + 180) % 360 - 180)
        along, across = x * cos + y * sin, y * cos - x * sin
        # What the gap's side lacks of the ink of the other side, which is the same but for the gap.
        missing = -(ink * np.sign(np.round(along, 9))).sum()
        told["gap by missing ink"] = missing / (gap_area() * stroke**2) - 1
        # Across the gap, between the circles; only where whole pixels lie along it, upright.
        if turn % (math.pi / 2) < 1e-9:
            clear = (along - 0.5 >= 1.5 * stroke) & (along + 0.5 <= 2.29 * stroke)
            lines = np.unique(np.round(along[clear], 6))
            if lines.size:
                white = (1 - ink)[clear & (abs(across) < 0.9 * stroke)].sum()
                told["gap along its axis"] = white / lines.size / stroke - 1
    return told


def one(program, folder, rng):
    """A random optotype or row: what was asked, and the picture's ink."""
    kind = rng.choice(["landolt", "landolt", "landolt", "tumbling_e", "sloan", "sloan", "hotv"])
    distance_mm = float(rng.uniform(400, 6000))
    pixel_mm = float(rng.uniform(0.08, 0.3))
    # Small ones are the hard ones: evenly in the logarithm from 2 pixels a stroke.
    stroke = 2.0 * 15 ** float(rng.random())
    half = math.atan(5 * stroke * pixel_mm / 2 / distance_mm)
    log_mar = math.log10(half / math.pi * 180 * 60 / 2.5) + 1e-9
    out = pathlib.Path(folder) / "one.png"
    if kind in ("landolt", "tumbling_e"):
        facing = str(rng.choice(FACINGS if kind == "landolt" else FACINGS[::2]))
        what, symbols = ["--facing", facing], [(kind, facing)]
    else:
        letters = "".join(rng.choice(list(SLOAN if kind == "sloan" else HOTV), int(rng.integers(1, 6))))
        what, symbols = ["--letter", letters], list(letters)
    look = [flag for flag in ("--crowded", "--reverse") if rng.random() < 0.2]
    told = subprocess.run(
        [program, "optotype", "--kind", kind, *what, *look, "--log-mar", repr(log_mar),
         "--distance-mm", repr(distance_mm), "--pixel-mm", repr(pixel_mm), "--out", str(out)],
        capture_output=True, text=True)
    if told.returncode:
        raise SystemExit(told.stderr)
    ink = light(picture(out))
    ink = ink if "--reverse" in look else 1 - ink
    return symbols, stroke_px(log_mar, distance_mm, pixel_mm), ink


def worst_of(all_told):
    """The largest error of each kind, relative and in pixels."""
    worst = {}
    for stroke, told in all_told:
        for name, error in told.items():
            relative, pixels = abs(error), abs(error) * stroke
            was = worst.get(name, (0.0, 0.0))
            worst[name] = (max(was[0], relative), max(was[1], pixels))
    return worst


def report(all_told, what):
    """Prints the worst errors; tells whether all are within the bars."""
    holds = True
    print(f"{len(all_told)} optotypes {what}", flush=True)
    for name, (relative, pixels) in sorted(worst_of(all_told).items()):
        if name.endswith("px"):
            good, said = relative <= PIXELS, f"{relative:.4f} (bar {PIXELS})"
        elif name.endswith("degrees"):
            good, said = relative <= 1.0, f"{relative:.3f} (bar 1, our own)"
        else:
            good = relative <= RELATIVE and pixels <= PIXELS
            said = f"{100 * relative:.3f} % (bar {100 * RELATIVE:.0f} %), {pixels:.4f} px (bar {PIXELS})"
        holds &= good
        print(f"  {name}: at most {said}{'' if good else '  EXCEEDED'}")
    return holds


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 500
    rng = np.random.default_rng(int(sys.argv[3]) if len(sys.argv) > 3 else 4)
    all_told = []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(count):
            symbols, stroke, ink = one(program, folder, rng)
            height, width = ink.shape
            for place, symbol in enumerate(symbols):
                x = width / 2 + (place - (len(symbols) - 1) / 2) * 10 * stroke
                all_told.append((stroke, measure(ink, (x, height / 2), stroke, symbol)))
    sys.exit(0 if report(all_told, f"in {count} pictures of the verb") else 1)


if __name__ == "__main__":
    main()
