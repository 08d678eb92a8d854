#!/usr/bin/env python3
"""A simulated person who answers a visit over a pipe: a second implementation, beside the program's own.

Written from the description of case files and of the pipe protocol alone, with numpy, so that one can be held
against the other (compare_person.py). Usage: simulated_person.py --case FILE --seed N -- COMMAND ...
Starts COMMAND, answers each presentation that it prints, and ends with its exit code.
"""

import argparse
import json
import math
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np

KINDS = ("genuine", "raised_bar", "raised_bar_one_side", "contrary", "random")
FACINGS = ("right", "up_right", "up", "up_left", "left", "down_left", "down", "down_right")
OPTOTYPES = {
    "landolt_8": FACINGS, "landolt_4": FACINGS[::2], "tumbling_e": FACINGS[::2],
    "sloan": tuple("CDHKNORSVZ"), "hotv": tuple("HOTV"),
}

# What a key means when the case does not say.
PERSON = {"format": 1, "title": "", "age_years": 52, "sex": None, "hearing": None, "sight": None, "manner": {}, "bedside": None}
HEARING = {
    "hz": [250, 500, 1000, 2000, 3000, 4000, 6000, 8000],
    "right": [10, 10, 10, 15, 20, 30, 35, 30],
    "left": [15, 10, 15, 20, 25, 40, 45, 40],
    "interaural_attenuation_db": 60.0,
}
SIGHT = {
    "right": 0.10, "left": 0.30, "both_eyes_gain": 0.04, "pinhole_gain": 0.0, "near_shift": 0.0, "uncorrected_shift": 0.0,
    "best_gain": 0.0,
}
MANNER = {
    "kind": "genuine", "scale_db": 3.0, "scale_log_mar": 0.05, "false_alarm": 0.03, "lapse": 0.02,
    "wander_db": 1.0, "drift_db": 0.0, "criterion_db": 0.0, "tinnitus_hz": 0, "false_alarm_tinnitus": 0.2,
    "latency_s": 0.45, "bar_of": "both", "bar_db_hl": 55.0, "bar_jitter_db": 6.0, "bar_wander_db": 2.5, "bar_drift_db": 0.0,
    "bar_pull": 0.4, "bar_both_ears_rate": 0.1, "bar_log_mar": 0.5, "bar_jitter_log_mar": 0.05,
    "bar_follows": "angle", "forced_choice": None, "ear": "left", "eye": "left",
}
RANDOM_YES = 0.3


def logistic(x: float) -> float:
    # math.exp overflows past 709; beyond 60 the other side is below the resolution of a float anyway.
    return 1 / (1 + math.exp(-min(max(x, -60.0), 60.0)))


def normal_cdf(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2))


def filled(given: dict, defaults: dict, where: str) -> dict:
    unknown = sorted(set(given) - set(defaults))
    if unknown:
        raise ValueError(f"{where}: unknown key {unknown[0]}")
    return defaults | given


def read_case(path: Path) -> dict:
    """A case file with every missing key filled in; `hearing` or `sight` is None where that sense is not tested."""
    with open(path, "rb") as file:
        case = filled(tomllib.load(file), PERSON, path.name)
    if case["format"] != 1:
        raise ValueError(f"{path.name}: format {case['format']}, expected 1")
    for sense, defaults in (("hearing", HEARING), ("sight", SIGHT)):
        if case[sense] is not None:
            case[sense] = filled(case[sense], defaults, f"{path.name}: {sense}")
    case["manner"] = manner = filled(case["manner"], MANNER, f"{path.name}: manner")
    if manner["kind"] not in KINDS:
        raise ValueError(f"{path.name}: manner.kind {manner['kind']}, expected one of {', '.join(KINDS)}")
    if manner["forced_choice"] is None:
        manner["forced_choice"] = "below_chance" if manner["kind"] == "contrary" else "chance"
    return case


def midpoint_db(case: dict, ear: str, hz: float) -> float:
    """T as the case file gives it: linear in log2 Hz between the listed frequencies, the end value beyond them."""
    hearing = case["hearing"]
    return float(np.interp(math.log2(hz), np.log2(hearing["hz"]), hearing[ear]))


def midpoint_log_mar(case: dict, eye: str, distance_mm: float, correction: str = "as_worn", pinhole: bool = False) -> float:
    sight = case["sight"]
    size = min(sight["right"], sight["left"]) - sight["both_eyes_gain"] if eye == "both" else sight[eye]
    if pinhole:
        size -= sight["pinhole_gain"]
    else:
        size += {"without": sight["uncorrected_shift"], "best": -sight["best_gain"]}.get(correction, 0.0)
    return size + (sight["near_shift"] if distance_mm <= 1000 and correction != "own_near" else 0.0)


class Wander:
    """A stationary first-order autoregression, started from its own spread."""

    def __init__(self, rng: np.random.Generator, sd: float, correlation: float):
        self.rng, self.sd, self.correlation = rng, sd, correlation
        self.value = sd * rng.standard_normal()

    def move(self) -> None:
        fresh = self.sd * math.sqrt(1 - self.correlation**2) * self.rng.standard_normal()
        self.value = self.correlation * self.value + fresh


class Person:
    def __init__(self, case: dict, seed: int):
        self.case, self.manner = case, case["manner"]
        self.rng = np.random.default_rng(seed)
        self.answered = 0
        self.wander = Wander(self.rng, self.manner["wander_db"], 0.95)
        self.bar_wander = Wander(self.rng, self.manner["bar_wander_db"], 0.98)
        self.company = 40.0
        self.last_hz: float | None = None
        kind, manner = self.manner["kind"], self.manner
        everywhere = kind in ("raised_bar", "contrary")
        one_side = kind == "raised_bar_one_side"
        self.barred_ears = {"right", "left"} if everywhere else {manner["ear"]} if one_side else set()
        self.barred_eyes = {"right", "left", "both"} if everywhere else {manner["eye"]} if one_side else set()
        if manner["bar_of"] == "sight":
            self.barred_ears = set()
        if manner["bar_of"] == "hearing":
            self.barred_eyes = set()

    def answer(self, asked: dict) -> dict:
        tasks = {
            "detect": self.detect, "interval": self.interval, "count": self.count,
            "facing": self.facing, "letters": self.letters, "sees": self.sees,
        }
        if asked["task"] not in tasks:
            raise ValueError(f"presentation {asked['n']}: unknown task {asked['task']}")
        reply = {"n": asked["n"], **tasks[asked["task"]](asked)}
        self.answered += 1
        self.wander.move()
        self.bar_wander.move()
        return reply

    # Hearing

    def detect(self, asked: dict) -> dict:
        tones, noises = self.sounds(asked)
        if self.manner["kind"] == "random":
            yes, heard = self.chance(RANDOM_YES), None
        elif not tones:
            yes, heard = self.chance(self.false_alarm()), None
        else:
            p, heard = self.hearing(tones, noises, self.false_alarm())
            yes = self.chance(p)
            self.keep_company(tones)
        if not yes:
            return {"yes_at_s": []}
        if heard is None:
            # Nothing led to this answer: any moment of the slot is as good as another.
            return {"yes_at_s": [self.rng.uniform(0.0, asked["window_s"])]}
        return {"yes_at_s": [min(part["start_s"] for part in tones) + self.latency(heard)]}

    def interval(self, asked: dict) -> dict:
        tones, noises = self.sounds(asked)
        if self.manner["kind"] == "random" or not tones:
            return {"interval": int(self.rng.integers(1, 3))}
        tone = max(tones, key=lambda part: part["level_db_hl"])
        # A forced choice needs no criterion, so hesitation does not count here.
        above = self.above(tone, tone["ear"], noises) + self.manner["criterion_db"] + 3
        if self.chance((1 - self.manner["lapse"]) * logistic(above / self.manner["scale_db"])):
            draw = self.manner["bar_jitter_db"] * self.rng.standard_normal()
            under = tone["ear"] in self.barred_ears and tone["level_db_hl"] < self.bar(tone) + draw
            right = self.chance(self.admitted(2) if under else 1.0)
        else:
            right = self.chance(0.5)
        self.keep_company(tones)
        return {"interval": tone["interval"] if right else 3 - tone["interval"]}

    def count(self, asked: dict) -> dict:
        tones, noises = self.sounds(asked)
        if self.manner["kind"] == "random":
            return {"count": int(self.rng.integers(0, len(tones) + 1))}
        heard = sum(self.chance(self.hearing([part], noises, alarm=0.0)[0]) for part in tones)
        self.keep_company(tones)
        return {"count": heard}

    def sounds(self, asked: dict) -> tuple[list[dict], list[dict]]:
        """The tones and the masking noises of a presentation."""
        noises = [part for part in asked["parts"] if "noise" in part["signal"]]
        tones = [part for part in asked["parts"] if "noise" not in part["signal"]]
        if tones:
            self.last_hz = tones[0]["hz"]
        return tones, noises

    def above(self, part: dict, ear: str, noises: list[dict]) -> float:
        """How far a part is over the midpoint in this ear, by crossing over if it was given to the other."""
        manner, attenuation = self.manner, self.case["hearing"]["interaural_attenuation_db"]

        def level(sound: dict) -> float:
            return sound["level_db_hl"] - (0.0 if sound["ear"] == ear else attenuation)

        shift = manner["criterion_db"] + self.wander.value + manner["drift_db"] * self.answered / 100
        # Noise at an effective masking level of M moves the midpoint of a tone in that ear to M.
        midpoint = max([midpoint_db(self.case, ear, part["hz"]), *map(level, noises)])
        return level(part) - midpoint - shift

    def bar(self, tone: dict) -> float:
        manner = self.manner
        pull = min(max(self.company - manner["bar_db_hl"], -40.0), 40.0)
        drift = manner["bar_drift_db"] * self.answered / 100
        bar = manner["bar_db_hl"] + self.bar_wander.value + drift + manner["bar_pull"] * pull
        return max(bar, midpoint_db(self.case, tone["ear"], tone["hz"]) + 3)

    def keep_company(self, tones: list[dict]) -> None:
        if tones:
            self.company += 0.2 * (max(part["level_db_hl"] for part in tones) - self.company)

    def side(self, tones: list[dict], noises: list[dict]) -> str | None:
        """The ear in which tones seem to be: the only one, or the one over 5 dB more above its midpoint."""
        louder_last = sorted(tones, key=lambda part: part["level_db_hl"])
        over = {part["ear"]: self.above(part, part["ear"], noises) for part in louder_last}
        if len(over) == 2 and abs(over["right"] - over["left"]) <= 5:
            return None
        return max(over, key=over.__getitem__)

    def hearing(self, tones: list[dict], noises: list[dict], alarm: float) -> tuple[float, float]:
        """Probability of a yes to these tones, and the share of it that is neither false alarm nor lapse."""
        side, barred, lapse = self.side(tones, noises), self.barred_ears, self.manner["lapse"]
        if side in barred and len(barred) == 1 and len({part["ear"] for part in tones}) == 2:
            rate = self.manner["bar_both_ears_rate"]
            return rate, rate
        if side in barred or (side is None and len(barred) == 2):
            tone = max((part for part in tones if side in (None, part["ear"])), key=lambda part: part["level_db_hl"])
            heard, lapse = normal_cdf((tone["level_db_hl"] - self.bar(tone)) / self.manner["bar_jitter_db"]), 0.01
        else:
            best = max(self.above(part, ear, noises) for part in tones for ear in ("right", "left"))
            heard = logistic(best / self.manner["scale_db"])
        return alarm + (1 - alarm - lapse) * heard, heard

    def false_alarm(self) -> float:
        """Of the present tone's frequency or, in a silent slot, of the latest tone's: all that the person knows."""
        tinnitus = self.manner["tinnitus_hz"]
        if tinnitus and self.last_hz and abs(math.log2(self.last_hz / tinnitus)) <= 0.5:
            return self.manner["false_alarm_tinnitus"]
        return self.manner["false_alarm"]

    def latency(self, heard: float) -> float:
        # 4 h (1 - h) is 1 at the midpoint and 0 far from it.
        quick = self.manner["latency_s"] * math.exp(0.25 * self.rng.standard_normal())
        return quick + 0.5 * 4 * heard * (1 - heard)

    # Sight

    def facing(self, asked: dict) -> dict:
        symbol, seen = self.look(asked["parts"][0])
        return {"facing": symbol, "after_s": self.latency(seen)}

    def sees(self, asked: dict) -> dict:
        """Fingers, a moving hand, a light: seen up to midway between the published means (see the case format)."""
        part = asked["parts"][0]
        far = midpoint_log_mar(self.case, part["eye"], math.inf, part.get("correction", "as_worn"))
        near = math.log10(300.0 / part["distance_mm"])
        return {"sees": far <= {"fingers": 2.13 + near, "motion": 2.49, "light": 2.85}[part["shows"]]}

    def letters(self, asked: dict) -> dict:
        return {"letters": "".join(self.look(part)[0] for part in asked["parts"])}

    def look(self, part: dict) -> tuple[str, float]:
        """What the person says this optotype is, and how surely it was seen."""
        manner, choices = self.manner, OPTOTYPES[part["optotype"]]
        k, truth = len(choices), part["facing" if "facing" in part else "letter"]
        others = [choice for choice in choices if choice != truth]
        if len(others) == k:
            raise ValueError(f"{truth} is no {part['optotype']}")
        if manner["kind"] == "random":
            return str(self.rng.choice(choices)), 0.0
        eye, size, distance = part["eye"], part["log_mar"], part["distance_mm"]
        midpoint = midpoint_log_mar(self.case, eye, distance, part.get("correction", "as_worn"), part.get("pinhole", False))
        seen = logistic((size - midpoint) / manner["scale_log_mar"])
        # Of those not seen 1 in k is guessed right; this share seen makes 1/k + (1 - 1/k - l) seen right in all.
        if self.chance((1 - manner["lapse"] * k / (k - 1)) * seen):
            bar = manner["bar_log_mar"] + manner["bar_jitter_log_mar"] * self.rng.standard_normal()
            if manner["bar_follows"] == "size":
                bar += math.log10(4000 / distance)
            right = self.chance(self.admitted(k) if eye in self.barred_eyes and size < bar else 1.0)
        else:
            right = self.chance(1 / k)
        return truth if right else str(self.rng.choice(others)), seen

    # Both

    def admitted(self, k: int) -> float:
        """How often one of k choices is right when it was perceived and lies under the bar."""
        said = self.manner["forced_choice"]
        return {"chance": 1 / k, "below_chance": 0.4 / k, "honest": 1.0}[said] if isinstance(said, str) else said

    def chance(self, p: float) -> bool:
        return bool(self.rng.random() < p)


def attend(person: Person, command: list[str], **options) -> tuple[int, str]:
    """Let the person answer everything that the command presents: its exit code and what it printed after the end.

    A command that stops before `{"done": true}` without an error of its own broke the protocol: exit code 1.
    """
    program = subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8", **options
    )
    done, rest = False, ""
    try:
        with program:
            try:
                for line in program.stdout:
                    said = json.loads(line)
                    if done := said.get("done", False):
                        break
                    program.stdin.write(json.dumps(person.answer(said)) + "\n")
                    program.stdin.flush()
                program.stdin.close()
                rest = program.stdout.read()
            except BrokenPipeError:
                raise
            except Exception:
                program.kill()
                raise
    except BrokenPipeError:
        pass  # it stopped reading; what it said and its exit code tell why
    return (program.returncode if done else program.returncode or 1), rest


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--case", type=Path, required=True)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("command", nargs="+", metavar="COMMAND")
    options = parser.parse_args()
    try:
        person = Person(read_case(options.case), options.seed)
    except (OSError, ValueError) as problem:
        print(problem, file=sys.stderr)
        return 2
    code, rest = attend(person, options.command)
    sys.stdout.write(rest)
    return code


if __name__ == "__main__":
    sys.exit(main())
