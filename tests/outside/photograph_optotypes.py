#!/usr/bin/env python3
"""Photographs optotypes in the real person's window and measures them, at several scales of the display.

Usage: photograph_optotypes.py PROGRAM [PICTURES [SEED]]

For each scale a visit is begun on a display of its own and answered by keys, as an examiner and a person would; every
optotype that the journal says has arrived is photographed. The picture must be, pixel for pixel, what the verb
`optotype` writes, and is measured by measure_optotypes.py. In between the keys that elsewhere zoom are pressed, which must change nothing.
"""

import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import time

import numpy as np
from measure_optotypes import light, measure, picture, report, stroke_px

SCALES = ["1", "1.25", "1.5", "2"]
SETS = ["landolt_8", "sloan", "tumbling_e", "hotv"]
KEYS = {"right": "l", "up_right": "o", "up": "i", "up_left": "u", "left": "j", "down_left": "m", "down": "comma",
        "down_right": "period"}
# Where the form has its fields, in points from the window's corner.
CODE, TAKE, DISTANCE, READ, NOWHERE = (341, 190), (476, 755), (417, 957), (788, 449), (900, 800)


def run(*command):
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()


def wait_for(what, seconds=20.0):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        try:
            if found := what():
                return found
        except subprocess.CalledProcessError:
            pass
        time.sleep(0.05)
    run("import", "-window", "root", "failed.png")
    raise SystemExit(f"gave up waiting; see {os.getcwd()}/failed.png")


def events(journal):
    if not journal.exists():
        return []
    lines = journal.read_text(encoding="utf-8").splitlines(keepends=True)
    return [json.loads(line) for line in lines if line.endswith("\n")]


def open_presentation(journal):
    """What has arrived and is not answered yet."""
    arrived = None
    for event in events(journal)[1:]:
        body = event["body"]
        if event["kind"] == "planned":
            planned = body
        elif event["kind"] == "arrived":
            arrived = planned
        elif event["kind"] in ("answered", "void"):
            arrived = None
    return arrived


class Visit:
    def __init__(self, program, scratch, scale, kind, pixel_mm, rng, pictures):
        self.program, self.scratch, self.scale, self.kind, self.rng = program, scratch, float(scale), kind, rng
        self.pixel_mm, folder = pixel_mm, scratch / f"{kind}-{scale}"
        self.journal = folder / "journal.jsonl"
        # Of each eye four practise.
        trials = max(1, -(-pictures // 3) - 4)
        plan = scratch / "plan.toml"
        plan.write_text(
            f'format = 1\nname = "photographs"\n[sight]\noptotype = "{kind}"\npractice_items = 4\n'
            f"stop_sd_log_mar = 0.0\nfewest_trials = {trials}\nmost_trials = {trials}\n", encoding="utf-8")
        log = open(scratch / "log", "ab")
        self.desk = subprocess.Popen(
            [program, "--folder", str(folder), "--plan", str(plan), "--seed", str(rng.randrange(10**6)),
             "--pixel-mm", str(pixel_mm)], stdout=log, stderr=log,
            env=os.environ | {"WINIT_X11_SCALE_FACTOR": scale})
        self.main = wait_for(lambda: run("xdotool", "search", "--name", "^Veridical$"))
        self.person = wait_for(lambda: run("xdotool", "search", "--name", "the person's window"))
        time.sleep(1)
        run("xdotool", "windowsize", self.main, *(str(int(side * self.scale)) for side in (1080, 1040)))
        run("xdotool", "windowmove", self.main, "0", "0")
        run("xdotool", "windowsize", self.person, "1001", "1100")
        run("xdotool", "windowmove", self.person, str(int(1100 * self.scale)), "0")
        time.sleep(1)

    def click(self, place, window=None):
        x, y = (str(round(side * self.scale)) for side in place)
        run("xdotool", "mousemove", "--window", window or self.main, x, y)
        time.sleep(0.15)
        run("xdotool", "click", "1")
        time.sleep(0.25)

    def key(self, *names):
        run("xdotool", "key", *names)

    def begin(self):
        self.click(CODE)
        run("xdotool", "type", "H7")
        self.click(TAKE)
        time.sleep(1)
        self.click(DISTANCE)
        run("xdotool", "type", "4 m")
        self.click(READ)
        self.key("ctrl+equal")
        self.click(NOWHERE)
        self.key("Return")
        wait_for(self.journal.exists)
        self.click((100, 100), self.person)

    def pictures(self):
        """Each optotype and its photograph, until the visit asks for no more."""
        self.begin()
        last, sees = 0, {eye: self.rng.uniform(-0.2, 0.7) for eye in ("right", "left", "both")}
        since, said = time.monotonic(), None
        while time.monotonic() - since < 15:
            planned = open_presentation(self.journal)
            if planned is None or planned["n"] == last:
                if time.monotonic() - since > 1.5:
                    # A step waits for the examiner, or a loaded display has lost a key.
                    self.key("Return" if planned is None else said)
                    time.sleep(0.7)
                time.sleep(0.03)
                continue
            last, since = planned["n"], time.monotonic()
            part = planned["presentation"]["parts"][0]
            photo = self.scratch / "photo.png"
            run("import", "-window", self.person, str(photo))
            if self.rng.random() < 0.1:
                self.key("ctrl+equal")
            assert open_presentation(self.journal)["n"] == last, "the optotype went by itself"
            symbol = part.get("letter", part.get("facing"))
            right = part["log_mar"] > sees[part["eye"]] or self.rng.random() < 0.1
            others = list(KEYS) if "facing" in part else list("CDHKNORSVZ")
            said = symbol if right else self.rng.choice(others)
            if said in KEYS and self.kind == "tumbling_e" and "_" in said:
                said = "up"
            yield part, photo
            said = KEYS.get(said, said.lower())
            self.key(said)
            since = time.monotonic()

    def close(self):
        self.desk.terminate()
        self.desk.wait()


def compare(visit, part, photo):
    """Measures a photograph; none if it is not the picture of the verb."""
    kind = "landolt" if part["optotype"].startswith("landolt") else part["optotype"]
    what = ["--facing", part["facing"]] if "facing" in part else ["--letter", part["letter"]]
    wanted = visit.scratch / "wanted.png"
    run(visit.program, "optotype", "--kind", kind, *what, "--log-mar", repr(part["log_mar"]),
        "--distance-mm", repr(part["distance_mm"]), "--pixel-mm", repr(visit.pixel_mm), "--out", str(wanted))
    expected, found = picture(str(wanted)), picture(str(photo))
    inked = [np.argwhere(grey < 250) for grey in (expected, found)]
    if not inked[1].size:
        return None
    top, left = (b - a for a, b in zip(inked[0].min(axis=0), inked[1].min(axis=0)))
    height, width = expected.shape
    whole = np.full_like(found, 255)
    if top < 0 or left < 0 or top + height > found.shape[0] or left + width > found.shape[1]:
        return None
    whole[top : top + height, left : left + width] = expected
    if not np.array_equal(whole, found):
        return None
    stroke = stroke_px(part["log_mar"], part["distance_mm"], visit.pixel_mm)
    symbol = part["letter"] if "letter" in part else (part["optotype"], part["facing"])
    return stroke, measure(1 - light(found), (left + width / 2, top + height / 2), stroke, symbol)


def main():
    program = os.path.abspath(sys.argv[1])
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 500
    rng = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 8)
    scratch = pathlib.Path(tempfile.mkdtemp())
    os.chdir(scratch)
    os.environ |= {"XDG_RUNTIME_DIR": str(scratch), "HOME": str(scratch), "LP_NUM_THREADS": "1"}
    read, write = os.pipe()
    display = subprocess.Popen(["Xvfb", "-displayfd", str(write), "-screen", "0", "3300x2150x24"], pass_fds=[write],
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.environ["DISPLAY"] = ":" + os.read(read, 16).decode().strip()
    manager = subprocess.Popen(["openbox"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    holds, all_told = True, []
    try:
        for scale in SCALES:
            at_scale = []
            for kind in SETS:
                pixel_mm = round(rng.uniform(0.17, 0.36), 4)
                visit = Visit(program, scratch, scale, kind, pixel_mm, rng, count // len(SCALES) // len(SETS))
                try:
                    for part, photo in visit.pictures():
                        told = compare(visit, part, photo)
                        if told is None:
                            photo.rename(scratch / f"differs-{kind}-{scale}.png")
                            raise SystemExit(f"{kind} at scale {scale}: not the picture of the verb: {part}; {scratch}")
                        at_scale.append(told)
                finally:
                    visit.close()
            holds &= report(at_scale, f"photographed in the window at scale {scale}")
            all_told += at_scale
    finally:
        manager.terminate()
        display.terminate()
    print(f"{len(all_told)} photographs, every pixel as the verb writes it")
    sys.exit(0 if holds and len(all_told) >= count else 1)


if __name__ == "__main__":
    main()
