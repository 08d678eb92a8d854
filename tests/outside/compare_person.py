#!/usr/bin/env python3
"""Hold the program's built-in simulated person against simulated_person.py, which was written apart from it.

Usage: compare_person.py BINARY [options]. For each case, the person of simulated_person.py does pipe visits and the
built-in one does a study; their errors against the case's truth must agree within 4 standard errors. Those of the
study are the pipe visits' own, scaled to its number of repeats: both would be alike if the two persons are.
"""

import argparse
import json
import math
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from scipy import stats

sys.dont_write_bytecode = True
from simulated_person import RANDOM_YES, Person, attend, midpoint_db, midpoint_log_mar, read_case  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
LIMIT = 4.0


class Pool:
    """Errors by visit (rows) and by ear and frequency, or eye (columns); NaN where nothing was measured."""

    def __init__(self, visits: list[dict]):
        columns = sorted({key for errors in visits for key in errors})
        self.errors = np.array([[errors.get(key, np.nan) for key in columns] for errors in visits])

    def measured(self) -> bool:
        return bool(np.isfinite(self.errors).any())

    def bias(self, errors: np.ndarray) -> float:
        return float(np.nanmean(errors))

    def spread(self, errors: np.ndarray) -> float:
        """Standard deviation within each column, pooled."""
        errors = errors[:, np.isfinite(errors).any(axis=0)]
        freedom = np.isfinite(errors).sum(axis=0) - 1
        return float(np.sqrt(np.nansum((errors - np.nanmean(errors, axis=0)) ** 2) / freedom.sum()))

    def figure(self, of) -> tuple[float, float]:
        """A figure and its standard error by leaving out one visit after another.

        Errors of one visit hang together (wander, drift, neighbouring frequencies), so the visit is the unit.
        """
        n = len(self.errors)
        without = np.array([of(np.delete(self.errors, i, axis=0)) for i in range(n)])
        return of(self.errors), float(np.sqrt((n - 1) / n * ((without - without.mean()) ** 2).sum()))


def visit(number: int, case: dict, out: Path, options: argparse.Namespace) -> dict:
    """One pipe visit: its errors in threshold, midpoint and acuity, and its silent presentations."""
    # The person's seeds lie far from the program's, so that no stream could be shared even by chance.
    person = Person(case, options.seed + 1_000_000 + number)
    folder = out / str(number)
    seed = str(options.seed + number)
    command = [options.binary, "visit", "--person", "-", "--seed", seed, "--out", str(folder), "--plan", options.plan]
    with open(out / f"{number}.stderr", "w+", encoding="utf-8") as said:
        code, _ = attend(person, command, cwd=ROOT, stderr=said)
        said.seek(0)
        if code:
            raise SystemExit(f"visit with seed {seed} ended with exit code {code}\n{said.read()}")
    findings = json.loads((folder / "findings.json").read_text(encoding="utf-8"))
    errors: dict = {"threshold": {}, "midpoint": {}, "sight": {}}
    # As in a study: against T as hesitation raises it and as drift has moved it by the middle of the visit.
    shift = case["manner"]["criterion_db"] + case["manner"]["drift_db"] * person.answered / 2 / 100
    for ear in ("right", "left") if case["hearing"] else ():
        for found in findings["hearing"].get(ear, []):
            if found["status"] == "measured":
                truth = midpoint_db(case, ear, found["hz"]) + shift
                errors["threshold"][ear, found["hz"]] = found["threshold_db_hl"] - truth
                errors["midpoint"][ear, found["hz"]] = found["midpoint_db_hl"] - truth
    for eye in ("right", "left", "both") if case["sight"] else ():
        found = findings["sight"].get(eye, {})
        if found.get("status") == "measured":
            truth = midpoint_log_mar(case, eye, found["distance_mm"], found.get("correction", "as_worn"))
            errors["sight"][eye] = found["midpoint_log_mar"] - truth
    silent = findings["consistency"].get("hearing", {}).get("silent", {"answered": 0, "of": 0})
    return {**errors, "silent": silent}


def study(cases: list[Path], out: Path, options: argparse.Namespace) -> dict:
    """What the built-in person gave, by case."""
    out.mkdir()
    for case in cases:
        shutil.copy(case, out)
    done = subprocess.run(
        [options.binary, "study", "--cases", str(out), "--repeats", str(options.repeats), "--seed", str(options.seed),
         "--plan", options.plan, "--threads", "2", "--json"],
        cwd=ROOT, stdout=subprocess.PIPE, check=True,
    )
    return {entry["case"]: entry for entry in json.loads(done.stdout)["cases"]}


def compare(name: str, case: dict, visits: list[dict], built_in: dict, repeats: int) -> bool:
    """Print one case's figures of both persons; whether all agree."""
    fine = True

    def row(figure: str, pipe: str, other: str, distance: str, agrees: bool) -> None:
        nonlocal fine
        fine &= agrees
        print(f"{name:24} {figure:22} {pipe:>18} {other:>10} {distance:>9}  {'agrees' if agrees else 'OFF'}")

    def told(*path: str) -> float | None:
        at = built_in
        for key in path:
            at = (at or {}).get(key)
        return at

    figures = [
        ("threshold bias, dB", "threshold", "bias", told("hearing", "threshold", "bias_db")),
        ("threshold sd, dB", "threshold", "spread", told("hearing", "threshold", "sd_db")),
        ("midpoint bias, dB", "midpoint", "bias", told("hearing", "midpoint", "bias_db")),
        ("acuity bias, logMAR", "sight", "bias", told("sight", "bias_log_mar")),
    ]
    for label, errors, kind, other in figures:
        pool = Pool([one[errors] for one in visits])
        if not pool.measured():
            row(label, "not measured", "-" if other is None else f"{other:.3f}", "", other is None)
            continue
        value, error = pool.figure(getattr(pool, kind))
        if other is None:
            row(label, f"{value:.3f} +- {error:.3f}", "missing", "", False)
            continue
        distance = abs(value - other) / (error * math.sqrt(1 + len(visits) / repeats) or math.inf)
        row(label, f"{value:.3f} +- {error:.3f}", f"{other:.3f}", f"{distance:.1f} se", distance <= LIMIT)

    manner = case["manner"]
    answered, of = (sum(one["silent"][key] for one in visits) for key in ("answered", "of"))
    if case["hearing"] and not manner["tinnitus_hz"]:  # with tinnitus the rate depends on the frequency
        alarm = RANDOM_YES if manner["kind"] == "random" else manner["false_alarm"]
        # The exact binomial in place of standard errors, at the same probability: expected counts may be small.
        p = stats.binomtest(answered, of, alarm).pvalue if of else 0.0
        row("silent ones answered", f"{answered} of {of}", f"case {alarm}", f"p {p:.2g}", p >= 2 * stats.norm.sf(LIMIT))
    return fine


def chosen(names: list[str]) -> list[Path]:
    """The named cases, or else the first genuine and the first other one."""
    folder = ROOT / "demo" / "cases"
    if names:
        return [folder / f"{name}.toml" for name in names]
    genuine, other = [], []
    for path in sorted(folder.glob("*.toml")):
        (genuine if read_case(path)["manner"]["kind"] == "genuine" else other).append(path)
    return genuine[:1] + other[:1]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("binary")
    parser.add_argument("--case", action="append", default=[], help="a name in demo/cases; may be given again")
    parser.add_argument("--visits", type=int, default=60)
    parser.add_argument("--repeats", type=int, default=200)
    parser.add_argument("--plan", default="quick")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    options.binary = str(Path(options.binary).resolve())
    paths = chosen(options.case)
    if not paths:
        sys.exit("no cases in demo/cases")
    fine = True
    with tempfile.TemporaryDirectory() as temporary:
        built_in = study(paths, Path(temporary) / "cases", options)
        print(f"{'case':24} {'figure':22} {'over the pipe':>18} {'built in':>10} {'apart':>9}")
        for path in paths:
            case = read_case(path)
            out = Path(temporary) / path.stem
            out.mkdir()
            with ThreadPoolExecutor(2) as two:
                visits = list(two.map(lambda i: visit(i, case, out, options), range(options.visits)))
            fine &= compare(path.stem, case, visits, built_in[path.stem], options.repeats)
    print(f"{options.visits} pipe visits and {options.repeats} study visits a case, seed {options.seed}; "
          "from simulated people, not measured on people")
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())
