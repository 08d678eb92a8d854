"""Compares rings on pictures of the screen with the rings that the journal asks for.

Usage: compare_rings.py JOURNAL FOLDER PROGRAM

FOLDER holds pictures of the whole screen, named by the number of a presentation. The ring in each
must be, pixel by pixel, the picture that the verb `optotype` writes for it, on white.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np


def grey(picture):
    """The grey pixels of a picture, and whether it has colours where they differ."""
    size = subprocess.run(["identify", "-format", "%w %h", picture], capture_output=True, check=True)
    width, height = map(int, size.stdout.split())
    raw = subprocess.run(["convert", picture, "-depth", "8", "rgb:-"], capture_output=True, check=True)
    pixels = np.frombuffer(raw.stdout, np.uint8).reshape(height, width, 3)
    return pixels


def main():
    journal, folder, program = sys.argv[1:]
    planned, pixel_mm = {}, None
    for line in open(journal, encoding="utf-8"):
        event = json.loads(line)
        if event["kind"] == "opened":
            pixel_mm = event["body"]["set_up"]["screen"]["pixel_mm"]
        if event["kind"] == "planned":
            planned[event["body"]["n"]] = event["body"]["presentation"]
    found = 0
    for picture in sorted(pathlib.Path(folder).glob("*.png")):
        part = planned[int(picture.stem)]["parts"][0]
        if "facing" not in part:
            continue
        with tempfile.TemporaryDirectory() as scratch:
            wanted = f"{scratch}/ring.png"
            subprocess.run(
                [program, "optotype", "--kind", "landolt", "--facing", part["facing"],
                 "--log-mar", repr(part["log_mar"]), "--distance-mm", repr(part["distance_mm"]),
                 "--pixel-mm", repr(pixel_mm), "--out", wanted],
                check=True, capture_output=True)
            ring = grey(wanted)
            dark = np.argwhere(np.any(ring < 128, axis=2))
            (top, left), (foot, right) = dark.min(axis=0) - 2, dark.max(axis=0) + 3
            ring = ring[top:foot, left:right]
        # The field of the person's window, as the test has placed it.
        field = grey(str(picture))[45:560, 1095:1585]
        ink = np.argwhere(np.any(field < 128, axis=2))
        if ink.size == 0:
            continue  # answered before the picture was taken
        dark = np.argwhere(np.any(ring < 128, axis=2))
        top, left = ink.min(axis=0) - dark.min(axis=0)
        height, width = ring.shape[:2]
        shown = field[top : top + height, left : left + width]
        if shown.shape != ring.shape or not np.array_equal(shown, ring):
            differ = "size" if shown.shape != ring.shape else int(np.any(shown != ring, axis=2).sum())
            sys.exit(f"presentation {picture.stem}: differs ({differ})")
        found += 1
    print(f"{found} rings on the screen, every pixel as computed")
    sys.exit(0 if found else 1)


main()
