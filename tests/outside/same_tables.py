#!/usr/bin/env python3
"""Compare two folders of CSV tables number by number (relative tolerance 1e-9). Usage: same_tables.py A B

Lines that start with # are passed over: they name library versions, which may differ where the numbers must not.
"""

import csv
import math
import re
import sys
from pathlib import Path

TOLERANCE = 1e-9


def rows(path: Path) -> list[list[str]]:
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.reader(line for line in file if not line.startswith("#")))


def same_number(a: str, b: str) -> bool:
    try:
        return a == b or math.isclose(float(a), float(b), rel_tol=TOLERANCE)
    except ValueError:
        return False


def same(a: str, b: str) -> bool:
    """One cell; it may hold a list of numbers, whose last digits depend on the processor as those of a single one do."""
    parts_a, parts_b = (re.split(r"([ :;|=])", cell) for cell in (a, b))
    return len(parts_a) == len(parts_b) and all(map(same_number, parts_a, parts_b))


def differences(a: Path, b: Path) -> list[str]:
    names_a, names_b = ({path.name for path in folder.glob("*.csv")} for folder in (a, b))
    found = [f"{name}: in one folder only" for name in sorted(names_a ^ names_b)]
    if not names_a | names_b:
        found.append("no tables at all")
    for name in sorted(names_a & names_b):
        left, right = rows(a / name), rows(b / name)
        if [len(row) for row in left] != [len(row) for row in right]:
            found.append(f"{name}: rows or columns differ in number")
            continue
        for number, (x, y) in enumerate(zip(left, right, strict=True)):
            found += [f"{name}, row {number}: {p} is not {q}" for p, q in zip(x, y, strict=True) if not same(p, q)]
    return found


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: same_tables.py A B")
    problems = differences(Path(sys.argv[1]), Path(sys.argv[2]))
    print("\n".join(problems[:20]) or "the tables agree")
    sys.exit(1 if problems else 0)
