"""Masked thresholds of a second simulated person, at the end of the pipe, against the truth and the built-in one.

The two people share no code. Both live by the masking function of the handbooks (Hood 1960, Studebaker 1964, from
memory): noise at an effective masking level of M lifts an ear to M, and tone and noise cross the head weakened.
Usage: compare_masked.py BINARY
"""

import json
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from simulated_person import Person, attend, read_case

VISITS = 20
CASES = {
    # The left ear would answer for the right one at 60; masked, the right one's own 75 must come out.
    "poor": ("right = [75]\nleft = [10]", "right", "measured"),
    # Nothing at all is heard there; the other ear answers at 65 without masking.
    "dead": ("right = [15]\nleft = [150]", "left", "no_response_at_maximum"),
}
PLAN = 'format = 1\nname = "one"\n[hearing]\nprocedure = "ascending"\nhz = [1000]\n'


def case_text(ears: str) -> str:
    return f'format = 1\ntitle = "invented: two ears"\n[hearing]\nhz = [1000]\n{ears}\ninteraural_attenuation_db = 50\n'


def found(binary: str, at: Path, case: Path, seed: int, piped: bool, ear: str) -> dict:
    out = at / f"{case.stem}-{seed}-{'pipe' if piped else 'built-in'}"
    shared = ["--seed", str(seed), "--plan", str(at / "plan.toml"), "--out", str(out)]
    if piped:
        person = Person(read_case(case), seed + 1_000_000)
        code, _ = attend(person, [binary, "visit", "--person", "-", *shared])
    else:
        code = subprocess.run([binary, "visit", "--case", str(case), *shared], stdout=subprocess.DEVNULL).returncode
    if code:
        sys.exit(f"the visit {out.name} ended with exit code {code}")
    return json.loads((out / "findings.json").read_text(encoding="utf-8"))["hearing"][ear][0]


def main() -> int:
    binary, fine = str(Path(sys.argv[1]).resolve()), True
    with tempfile.TemporaryDirectory() as temporary:
        at = Path(temporary)
        (at / "plan.toml").write_text(PLAN, encoding="utf-8")
        for name, (ears, ear, status) in CASES.items():
            case = at / f"{name}.toml"
            case.write_text(case_text(ears), encoding="utf-8")
            midpoints = {}
            for piped in (True, False):
                with ThreadPoolExecutor(2) as two:
                    all_found = list(two.map(lambda seed: found(binary, at, case, seed, piped, ear), range(VISITS)))
                right = sum(one["status"] == status and one["masking"] == "done" for one in all_found)
                # A misread series in a hundred is the method's own; one in ten would be an error.
                fine &= right >= 0.9 * VISITS
                midpoints[piped] = [one["midpoint_db_hl"] for one in all_found if "midpoint_db_hl" in one]
                print(f"{name:6} {'pipe' if piped else 'built in':9} {right} of {VISITS} {status}, masked", end="")
                print(f", midpoint {np.mean(midpoints[piped]):.1f} dB HL" if midpoints[piped] else "")
            if status == "measured":
                means = [np.mean(midpoints[piped]) for piped in (True, False)]
                errors = [np.std(midpoints[piped], ddof=1) / VISITS**0.5 for piped in (True, False)]
                # Four standard errors: once in some fifteen thousand by chance.
                fine &= bool(abs(means[0] - means[1]) < 4 * np.hypot(*errors))
                fine &= all(abs(mean - 75.0) < 2.5 for mean in means)
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())
