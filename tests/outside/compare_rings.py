"""Compares rings on pictures of the screen with the rings that the journal asks for.

Usage: compare_rings.py JOURNAL FOLDER PROGRAM

FOLDER holds pictures of the whole screen, named by the number of a presentation. The ring in each
must be, pixel by pixel, the picture that the verb `optotype` writes for it, on white. A simulated
person answers whether or not the window has been painted, so on a busy machine a picture can come
too early (it shows the task, or the ring before) or too late; at least LEAST of them must be in time.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np


LEAST = 3


def colours(picture):
    """The pixels of a picture, rows by columns by red, green and blue."""
    size = subprocess.run(["identify", "-format", "%w %h", picture], capture_output=True, check=True)
    width, height = map(int, size.stdout.split())
    raw = subprocess.run(["convert", picture, "-depth", "8", "rgb:-"], capture_output=True, check=True)
    pixels = np.frombuffer(raw.stdout, np.uint8).reshape(height, width, 3)
    return pixels


def drawn(program, part, pixel_mm):
    """The pixels of the ring that `part` of a presentation asks for, with two around it."""
    with tempfile.TemporaryDirectory() as scratch:
        wanted = f"{scratch}/ring.png"
        subprocess.run(
            [program, "optotype", "--kind", "landolt", "--facing", part["facing"],
             "--log-mar", repr(part["log_mar"]), "--distance-mm", repr(part["distance_mm"]),
             "--pixel-mm", repr(pixel_mm), "--out", wanted],
            check=True, capture_output=True)
        ring = colours(wanted)
    dark = np.argwhere(np.any(ring < 128, axis=2))
    (top, left), (foot, right) = dark.min(axis=0) - 2, dark.max(axis=0) + 3
    return ring[top:foot, left:right]


def shows(field, ring):
    """Whether the ink in `field` is `ring` and nothing else."""
    ink = np.argwhere(np.any(field < 128, axis=2))
    (top, left), (foot, right) = ink.min(axis=0) - 2, ink.max(axis=0) + 3
    return np.array_equal(field[top:foot, left:right], ring)


def is_text(field):
    """Whether the ink in `field` is too thin for a ring, which fills 0.45 of its square."""
    ink = np.any(field < 128, axis=2)
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    return ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1].mean() < 0.3


def main():
    journal, folder, program = sys.argv[1:]
    planned, pixel_mm = {}, None
    for line in open(journal, encoding="utf-8"):
        event = json.loads(line)
        if event["kind"] == "opened":
            pixel_mm = event["body"]["set_up"]["screen"]["pixel_mm"]
        if event["kind"] == "planned":
            planned[event["body"]["n"]] = event["body"]["presentation"]
    found, before = 0, None
    for picture in sorted(pathlib.Path(folder).glob("*.png")):
        part = planned[int(picture.stem)]["parts"][0]
        if "facing" not in part:
            continue
        ring = drawn(program, part, pixel_mm)
        # The field of the person's window, as the test has placed it; its ground is white while
        # optotypes are shown.
        field = colours(str(picture))[45:560, 1095:1585]
        early = np.any(field[0, 0] != 255) or np.all(field >= 128)
        if not early and shows(field, ring):
            found += 1
        elif not early and not is_text(field) and (before is None or not shows(field, before)):
            sys.exit(f"presentation {picture.stem}: the ring on the screen differs from {part}")
        before = ring
    print(f"{found} rings on the screen, every pixel as computed")
    sys.exit(0 if found >= LEAST else 1)


main()
