#!/usr/bin/env python3
"""Write the reference tables that the Rust tests read.

Every value comes from numpy, scipy or scikit-learn (or, for the posterior, from a direct sum over the whole grid), never from
the program's own code. Usage: make_tables.py [FOLDER]
"""

import csv
import itertools
import math
import sys
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import scipy
import sklearn
from scipy import optimize, special, stats
from sklearn.metrics import cohen_kappa_score

HERE = Path(__file__).resolve().parent
# One seed a table, so that changing one table leaves the others as they are.
SEED_ACUITY, SEED_THRESHOLD, SEED_LAW, SEED_SITES, SEED_AUDIOGRAM = 20261, 20262, 20263, 20264, 20265
SEED_EYES, SEED_NOISE, SEED_ANSWERS, SEED_RATERS = 20266, 20267, 20267, 20268

CHOICES, LAPSE = 8, 0.02


def write(folder: Path, name: str, source: str, columns: list[str], rows: Iterable[tuple]) -> None:
    """One CSV: where the values come from, the columns, then floats in the shortest form that reads back the same."""
    with open(folder / f"{name}.csv", "w", newline="", encoding="utf-8") as file:
        file.write(f"# tests/outside/make_tables.py, numpy {np.__version__}, scipy {scipy.__version__}\n")
        file.write(f"# source: {source}\n")
        out = csv.writer(file, lineterminator="\n")
        out.writerow(columns)
        out.writerows([repr(float(v)) if isinstance(v, (float, np.floating)) else v for v in row] for row in rows)


def binomial_interval() -> Iterable[tuple]:
    """Exact interval by beta quantiles, each also found by scipy's own root search on the binomial itself."""
    for n in [*range(1, 13), 20, 22, 30, 48, 60, 100, 200, 500]:
        some = {0, 1, 2, 3, 5, n // 10, n // 8, n // 4, n // 2, n - n // 8, n - 2, n - 1, n}
        ks = range(n + 1) if n <= 30 else sorted(some)
        for k in ks:
            low = special.betaincinv(k, n - k + 1, 0.025) if k > 0 else 0.0
            high = special.betaincinv(k + 1, n - k, 0.975) if k < n else 1.0
            searched = stats.binomtest(k, n).proportion_ci(0.95, method="exact")
            assert abs(low - searched.low) < 1e-9 and abs(high - searched.high) < 1e-9, (k, n)
            yield k, n, float(low), float(high)


def binomial_tail() -> Iterable[tuple]:
    for n in [1, 2, 5, 10, 20, 22, 48, 100, 500]:
        for p in [0.01, 0.03, 1 / 10, 1 / 8, 0.2, 1 / 4, 1 / 2, 0.9]:
            ks = {0, 1, 2, 3, n // 10, n // 8, n // 4, n // 2, n - n // 4, n - 1, n}
            for k in sorted(k for k in ks if 0 <= k <= n):
                law = stats.binom(n, p)
                yield k, n, p, float(law.cdf(k)), float(law.sf(k - 1))


def logistic() -> Iterable[tuple]:
    for x in np.linspace(-40.0, 40.0, 321):
        yield x, special.expit(x)


def normal() -> Iterable[tuple]:
    for x in np.linspace(-8.0, 8.0, 161):
        yield "cdf", x, stats.norm.cdf(x)
    tails = [1e-12, 1e-9, 1e-6, 1e-4, 1e-3, 0.005]
    for p in [*tails, *(i / 100 for i in range(1, 100)), 0.995, 0.999, 1 - 1e-4, 1 - 1e-6]:
        yield "ppf", p, stats.norm.ppf(p)


def mle_acuity() -> Iterable[tuple]:
    """p(right) = 1/k + (1 - 1/k - l) logistic((size - A) / s), s and l known; A by maximum likelihood."""
    rng = np.random.default_rng(SEED_ACUITY)
    floor = 1 / CHOICES
    span = 1 - floor - LAPSE
    grid = np.linspace(-1.5, 3.0, 4501)
    made = 0
    while made < 80:
        scale = float(rng.choice([0.03, 0.05, 0.08]))
        truth = rng.uniform(-0.2, 1.2)
        sizes = np.round(truth + rng.normal(0.0, 2.5 * scale, rng.integers(8, 49)), 2)
        right = rng.random(sizes.size) < floor + span * special.expit((sizes - truth) / scale)

        def chance(a: float | np.ndarray) -> np.ndarray:
            return floor + span * special.expit((sizes - np.asarray(a)[..., None]) / scale)

        def log_likelihood(a: float | np.ndarray) -> np.ndarray:
            return np.where(right, np.log(chance(a)), np.log1p(-chance(a))).sum(axis=-1)

        def slope(a: float) -> float:
            p, seen = chance(a), special.expit((sizes - a) / scale)
            rise = -span / scale * seen * (1 - seen)
            return float(np.where(right, rise / p, -rise / (1 - p)).sum())

        # The best of the whole grid first, since the likelihood may have several tops; then the root of its slope,
        # which fixes A to the last digits where a search for the flat top would not.
        best = int(np.argmax(log_likelihood(grid)))
        if not 0 < best < grid.size - 1 or slope(grid[best - 1]) <= 0 or slope(grid[best + 1]) >= 0:
            continue  # no top inside the grid: all right, all wrong, or all at one side
        a = optimize.brentq(slope, grid[best - 1], grid[best + 1], xtol=1e-15, rtol=8.9e-16)
        trials = " ".join(f"{size:.2f}{'+' if ok else '-'}" for size, ok in zip(sizes, right, strict=True))
        yield CHOICES, scale, LAPSE, a, float(log_likelihood(a)), trials
        made += 1


# What the program believes of an eye before the first answer, as its documentation states its own choices.
EYE_SCALES = [0.012, 0.02, 0.03, 0.045, 0.06, 0.08, 0.105, 0.13]
EYE_LAPSES = [0.01, 0.03, 0.06]
EYE_LAPSE_WEIGHTS = [8, 3, 1]


def acuity_posterior() -> Iterable[tuple]:
    """Posterior of A, s and l of an eye by summing the whole grid; and A, s by maximum likelihood where there is one.

    Answers come from 4, 8 and 10 choices, also mixed. The last lists are long: there the prior must not matter.
    """
    rng = np.random.default_rng(SEED_EYES)
    a, s, lapse = np.ix_(-0.9 + 0.02 * np.arange(166), EYE_SCALES, EYE_LAPSES)
    common, broad = stats.norm(0.1, 0.3).pdf(a), stats.norm(0.7, 0.7).pdf(a)
    prior = (0.8 * common + 0.2 * broad) * stats.norm.pdf(np.log(s / 0.08) / np.log(1.7)) * EYE_LAPSE_WEIGHTS
    for number in range(60):
        long = number >= 45
        truth = rng.uniform(-0.2, 1.4)
        scale = float(rng.choice([0.03, 0.05, 0.08]))
        count = 0 if number == 0 else 400 if long else int(rng.integers(1, 41))
        sizes = np.round(np.clip(truth + rng.normal(0, 0.12, count), -0.9, 2.3), 2)
        choices = rng.choice([4, 8, 10] if number % 2 else [8], count)
        right = rng.random(count) < 1 / choices + (1 - 1 / choices - 0.02) * special.expit((sizes - truth) / scale)
        log_p = np.log(prior)
        for size, k, ok in zip(sizes, choices, right, strict=True):
            p = 1 / k + (1 - 1 / k - lapse) * special.expit((size - a) / s)
            log_p = log_p + np.log(p if ok else 1 - p)
        weight = np.exp(log_p - special.logsumexp(log_p))
        mass = weight.sum(axis=(1, 2))
        mean = float(mass @ a.ravel())
        sd = float(np.sqrt(mass @ (a.ravel() - mean) ** 2))
        scale_mean = float((weight * s).sum())

        def cost(of: np.ndarray) -> float:
            p = 1 / choices + (1 - 1 / choices - 0.02) * special.expit((sizes - of[0]) / np.exp(of[1]))
            return -float(np.where(right, np.log(p), np.log1p(-p)).sum())

        def slope(of: np.ndarray) -> np.ndarray:
            over = (sizes - of[0]) / np.exp(of[1])
            seen = special.expit(over)
            p = 1 / choices + (1 - 1 / choices - 0.02) * seen
            rise = (1 - 1 / choices - 0.02) * seen * (1 - seen) * np.where(right, 1 / p, -1 / (1 - p))
            return np.array([-(rise / np.exp(of[1])).sum(), -(rise * over).sum()])

        fitted = float("nan")
        if long:
            # The search for the flat top gives the first digits, the root of the slope the last ones: a search alone
            # ends where the rounding of the processor lets it.
            near = optimize.minimize(cost, [mean, np.log(scale_mean)], method="Nelder-Mead", options={"xatol": 1e-8})
            fitted = float(optimize.root(slope, near.x, tol=1e-14).x[0])
        trials = " ".join(
            f"{k}:{size:.2f}{'+' if ok else '-'}" for k, size, ok in zip(choices, sizes, right, strict=True)
        )
        yield mean, sd, scale_mean, fitted, trials


def threshold_posterior() -> Iterable[tuple]:
    """Posterior of T, flat on -30..130 dB in 1 dB, over s and g equally likely, by summing the whole grid."""
    rng = np.random.default_rng(SEED_THRESHOLD)
    t, s, g = np.ix_(np.arange(-30.0, 131.0), [1.2, 2.0, 3.0, 4.0, 6.0], [0.01, 0.04, 0.12, 0.25])
    for number in range(60):
        truth, scale, alarm = rng.uniform(-5, 95), rng.choice([2.0, 3.0, 4.0]), rng.choice([0.01, 0.04, 0.12])
        # The first list is empty (the prior alone); every fifth is answered at random, far from any threshold.
        levels = np.round(truth + rng.normal(0, 10, 0 if number == 0 else rng.integers(1, 41)))
        p_yes = 0.5 if number % 5 == 4 else alarm + (1 - alarm - LAPSE) * special.expit((levels - truth) / scale)
        yes = rng.random(levels.size) < p_yes
        log_p = np.zeros(np.broadcast_shapes(t.shape, s.shape, g.shape))
        for level, heard in zip(levels, yes, strict=True):
            p = g + (1 - g - LAPSE) * special.expit((level - t) / s)
            log_p += np.log(p if heard else 1 - p)
        weight = np.exp(log_p - special.logsumexp(log_p)).sum(axis=(1, 2))
        mean = float((weight * t.ravel()).sum())
        sd = float(np.sqrt((weight * (t.ravel() - mean) ** 2).sum()))
        trials = " ".join(f"{level:.0f}{'+' if heard else '-'}" for level, heard in zip(levels, yes, strict=True))
        yield mean, sd, trials


def sited_normal() -> Iterable[tuple]:
    """A zero-mean normal prior with sites set one after the other, each from dense inverses; n, K, steps, results.

    Conventions of Rasmussen & Williams 2006, 3.6: cavity 3.56, site 3.59, posterior (K^-1 + S)^-1.
    """
    rng = np.random.default_rng(SEED_SITES)
    for number in range(40):
        side = int(rng.integers(1, 13))
        half = rng.normal(0, 8, (side, side))
        k = half @ half.T + 16 * np.eye(side)
        tau, nu, steps = np.zeros(side), np.zeros(side), []
        for _ in range(0 if number == 0 else int(rng.integers(1, 3 * side + 1))):
            at = int(rng.integers(side))
            sigma = np.linalg.inv(np.linalg.inv(k) + np.diag(tau))
            others = 1 / sigma[at, at] - tau[at]
            others_shift = (sigma @ nu)[at] / sigma[at, at] - nu[at]
            mean, variance = float(rng.normal(0, 15)), float(rng.uniform(0.05, 0.95) / others)
            tau[at] = 1 / variance - others
            nu[at] = mean / variance - others_shift
            steps.append(f"{at}:{mean!r}:{variance!r}")
        sigma = np.linalg.inv(np.linalg.inv(k) + np.diag(tau))
        log_det = np.linalg.slogdet(np.eye(side) + k @ np.diag(tau))[1]
        partition = 0.5 * nu @ sigma @ nu - 0.5 * log_det
        listed = (" ".join(repr(float(v)) for v in cells) for cells in (k.ravel(), sigma @ nu, np.diag(sigma)))
        cells, means, variances = listed
        yield side, float(partition), cells, means, variances, " ".join(steps)


# The prior and the ways of answering that the program believes possible, as the
# program's documentation states its own choices.
MEANS_DB = {250: 15, 500: 15, 1000: 17, 2000: 20, 4000: 27, 8000: 35}
SCALES = dict(zip([0.8, 1.8, 3.0, 4.5, 6.5], [0.3, 0.28, 0.25, 0.13, 0.04], strict=True))
ALARMS = dict(zip([0.01, 0.04, 0.12, 0.25], [0.3, 0.4, 0.2, 0.1], strict=True))
LAPSES = dict(zip([0.02, 0.10], [0.6, 0.4], strict=True))
GRID_DB = -30 + 1.5 * np.arange(108)
LEVELS_DB = np.arange(-10.0, 111.0, 5.0)


def shapes_of_hearing(places: list[tuple[str, int]]) -> Iterable[tuple[float, np.ndarray]]:
    """Share and covariance: all smooth; one ear poorer by SD 30 dB; SD 15 dB more from 2.5 kHz up."""
    ears = np.array([[1.0 if a[0] == b[0] else 0.8 for b in places] for a in places])
    octaves = np.abs(np.log2([[a[1] / b[1] for b in places] for a in places]))
    smooth = 18.0**2 * ears * 0.85**octaves + 4.0**2 * np.eye(len(places))
    high = np.array([[a[1] >= 2500 and a[1] == b[1] for b in places] for a in places])
    yield 0.7, smooth
    yield 0.15, smooth + 30.0**2 * (ears == 1)
    yield 0.15, smooth + 15.0**2 * high * ears


def audiogram_posterior() -> Iterable[tuple]:
    """Posterior of one to three midpoints together: every shape, way of answering and grid cell summed directly."""
    rng = np.random.default_rng(SEED_AUDIOGRAM)
    all_places = [(ear, hz) for ear in ("right", "left") for hz in MEANS_DB]
    for number in range(45):
        count = 1 + number % 3
        chosen = rng.choice(len(all_places), count, replace=False)
        places = [all_places[at] for at in chosen]
        truth = np.array([MEANS_DB[hz] for _, hz in places]) + rng.normal(0, 18) + rng.normal(0, 8, count)
        scale, alarm = rng.choice([1.8, 3.0, 4.5]), rng.choice([0.01, 0.04, 0.12])
        answers = []
        for _ in range(int(rng.integers(3, 9)) * count):
            at = int(rng.integers(count))
            level = float(np.clip(5 * np.round((truth[at] + rng.normal(0, 10)) / 5), -10, 110))
            p = alarm + (1 - alarm - LAPSE) * special.expit((level - truth[at]) / scale)
            answers.append((at, level, bool(rng.random() < p)))
        silent = rng.random(int(rng.integers(0, 6))) < alarm

        kinds = list(itertools.product(SCALES, ALARMS, LAPSES))
        likelihoods = np.ones((len(kinds), count, GRID_DB.size))
        shares = np.zeros(len(kinds))
        for kind, (s, g, lapse) in enumerate(kinds):
            shares[kind] = SCALES[s] * ALARMS[g] * LAPSES[lapse] * np.prod(np.where(silent, g, 1 - g))
            for at, level, heard in answers:
                p = g + (1 - g - lapse) * special.expit((level - GRID_DB) / s)
                likelihoods[kind, at] *= p if heard else 1 - p
        axes = np.meshgrid(*([GRID_DB] * count), indexing="ij")
        points = np.stack([axis.ravel() for axis in axes], axis=1)
        centre = np.array([MEANS_DB[hz] for _, hz in places])
        # Each shape is a normal distribution within the grid's bounds.
        prior = np.zeros(len(points))
        for share, covariance in shapes_of_hearing(places):
            density = stats.multivariate_normal(centre, covariance).pdf(points)
            prior += share * density / density.sum()
        prior = prior.reshape((GRID_DB.size,) * count)
        joint, by_kind = np.zeros_like(prior), np.zeros(len(kinds))
        gains = np.zeros((count, LEVELS_DB.size))
        answered = np.zeros((count, LEVELS_DB.size, count, 3))
        for kind in range(len(kinds)):
            cells = shares[kind] * prior
            for at in range(count):
                cells = cells * likelihoods[kind, at].reshape([-1 if axis == at else 1 for axis in range(count)])
            joint += cells
            by_kind[kind] = cells.sum()
            add_answered(answered, cells, kinds[kind])
        by_kind /= by_kind.sum()
        scale_mean = float(sum(w * s for w, (s, _, _) in zip(by_kind, kinds, strict=True)))
        alarm_mean = float(sum(w * g for w, (_, g, _) in zip(by_kind, kinds, strict=True)))
        # How much less the variances of all midpoints together are after the answer to each tone, on average.
        total = np.array([
            [mass.sum(), mass @ GRID_DB, mass @ GRID_DB**2]
            for mass in (joint.sum(axis=tuple(axis for axis in range(count) if axis != at)) for at in range(count))
        ])
        for at, level in itertools.product(range(count), range(LEVELS_DB.size)):
            yes = answered[at, level]
            after = sum(part[:, 2] - part[:, 1] ** 2 / part[:, 0] for part in (yes, total - yes))
            gains[at, level] = (total[:, 2] - total[:, 1] ** 2 / total[:, 0] - after).sum() / total[0, 0]
        moments = []
        for at in range(count):
            mass = joint.sum(axis=tuple(axis for axis in range(count) if axis != at)) / joint.sum()
            mean = float(mass @ GRID_DB)
            moments.append(f"{mean!r}:{float(np.sqrt(mass @ (GRID_DB - mean) ** 2))!r}")
        yield (
            count, scale_mean, alarm_mean, " ".join(f"{ear}:{hz}" for ear, hz in places), " ".join(moments),
            " ".join(f"{at}:{level:.0f}{'+' if heard else '-'}" for at, level, heard in answers),
            " ".join("+" if yes else "-" for yes in silent),
            " ".join(f"{max(gain, 0.0):.4g}" for gain in gains.ravel()),
        )


def add_answered(answered: np.ndarray, cells: np.ndarray, kind: tuple[float, float, float]) -> None:
    """Adds the moments of every midpoint together with an answer to a tone at each place and level."""
    s, g, lapse = kind
    places = range(cells.ndim)
    for at, other in itertools.product(places, places):
        rest = tuple(axis for axis in places if axis not in (at, other))
        both = cells.sum(axis=rest)
        for level, level_db in enumerate(LEVELS_DB):
            p = g + (1 - g - lapse) * special.expit((level_db - GRID_DB) / s)
            if at == other:
                mass = both * p
            else:
                mass = p @ both if at < other else both @ p
            answered[at, level, other] += mass.sum(), mass @ GRID_DB, mass @ GRID_DB**2


def beside_noise() -> Iterable[tuple]:
    """Posterior of midpoint and interaural attenuation beside noise: every grid cell and way of answering summed directly."""
    rng = np.random.default_rng(SEED_NOISE)
    kinds = list(itertools.product(SCALES, ALARMS, LAPSES))
    shares = np.array([SCALES[s] * ALARMS[g] * LAPSES[lapse] for s, g, lapse in kinds])
    attenuations = 40.0 + 5.0 * np.arange(9)

    def at_grid(db: float) -> int:
        return int(np.clip(np.round((db - GRID_DB[0]) / 1.5), 0, GRID_DB.size - 1))

    for number in range(40):
        other_db, attenuation = float(rng.uniform(-5, 30)), float(rng.uniform(40, 65))
        truth = 150.0 if number % 3 == 0 else float(other_db + rng.uniform(20, 80))
        unmasked = [min(truth, other_db + attenuation) + float(rng.normal(0, 3)), float(rng.uniform(2.5, 6))]
        others = [other_db + float(rng.normal(0, 3)), float(rng.uniform(2.5, 6))]
        own, other = (np.exp(-0.5 * ((GRID_DB - mean) / sd) ** 2) for mean, sd in (unmasked, others))
        own, other = own / own.sum(), other / other.sum()
        scale, alarm = rng.choice([1.8, 3.0, 4.5]), rng.choice([0.01, 0.04, 0.12])
        other_from = float(5 * np.ceil(others[0] / 5))
        tones, masker = [], other_from + 10.0
        for _ in range(int(rng.integers(0, 25))):
            here = max(truth, masker - attenuation)
            there = max(other_db, masker) + attenuation
            level = float(np.clip(5 * np.round((min(here, there) + rng.normal(0, 8)) / 5), -10, 110))
            chance = max(special.expit((level - here) / scale), special.expit((level - there) / scale))
            heard = bool(rng.random() < alarm + (1 - alarm - 0.02) * chance)
            tones.append((level, masker, heard))
            masker += 10.0 * (rng.random() < 0.2)

        prior = np.zeros((attenuations.size, GRID_DB.size))
        for row, crossing in enumerate(attenuations):
            shift = int(np.round(crossing / 1.5))
            for to, weight in enumerate(other):
                # The level at which either ear answers: this one's, or where the other one hears it.
                either = np.minimum(np.arange(GRID_DB.size), to + shift)
                prior[row] += weight * own[either]
        prior[:, -1] *= 1.0 + 30.0 / 1.5
        joint = np.zeros_like(prior)
        for kind, (s, g, lapse) in enumerate(kinds):
            cells = shares[kind] * prior
            for level, noise, heard in tones:
                for row, crossing in enumerate(attenuations):
                    here = special.expit((level - np.maximum(GRID_DB, noise - crossing)) / s)
                    there = special.expit((level - max(other_from, noise) - crossing) / s)
                    p = g + (1 - g - lapse) * np.maximum(here, there)
                    cells[row] *= p if heard else 1 - p
            joint += cells
        joint /= joint.sum()
        mass = joint.sum(0)
        mean = float(mass @ GRID_DB)
        sd = float(np.sqrt(mass @ (GRID_DB - mean) ** 2))
        at_most = np.cumsum(other)
        elsewhere = 0.0
        for row, crossing in enumerate(attenuations):
            if mean + 10.0 - crossing >= GRID_DB[0]:
                elsewhere += joint[row, at_grid(mean + 10.0) + 1 :].sum() * at_most[at_grid(mean + 10.0 - crossing)]
        above = float(mass[GRID_DB > 110.0].sum())
        yield (
            *unmasked, *others, other_from, mean, sd, float(elsewhere), above,
            " ".join(f"{level:.0f}:{noise:.0f}{'+' if heard else '-'}" for level, noise, heard in tones),
        )


def rows_read(chance: dict[int, float], first: int, needed: int) -> Iterable[tuple[int, int, float]]:
    """Every way to read rows of five (keys of chance, tenths of logMAR): score in fiftieths, letters shown, probability.

    With two or more wrong in the first row a larger one is read, as long as there is one; then downward until `needed`
    are wrong in a row. What is counted begins at the largest row and ends at the first with `needed` wrong.
    """
    wrong = {row: stats.binom(5, 1 - p).pmf(range(6)) for row, p in chance.items()}

    def up(row: int, read: list[tuple[int, int]]) -> Iterable[tuple[list[tuple[int, int]], float]]:
        for k in range(6):
            now = [(row, k), *read]
            if k > 1 and row < max(chance):
                yield from ((all_rows, wrong[row][k] * p) for all_rows, p in up(row + 1, now))
            else:
                yield now, wrong[row][k]

    def score(read: list[tuple[int, int]]) -> int:
        right = 0
        for _, k in read:
            right += 5 - k
            if k >= needed:
                break
        return 5 * (read[0][0] + 1) - right

    begun: dict[tuple, float] = {}
    for read, p in up(first, []):
        over = any(k >= needed for _, k in read)
        key = (score(read), 5 * len(read), over)
        begun[key] = begun.get(key, 0.0) + p
    for row in range(first - 1, min(chance) - 1, -1):
        going = {key: p for key, p in begun.items() if not key[2]}
        begun = {key: p for key, p in begun.items() if key[2]}
        for (at, letters, _), p in going.items():
            for k in range(6):
                key = (at - (5 - k), letters + 5, k >= needed)
                begun[key] = begun.get(key, 0.0) + p * wrong[row][k]
    yield from ((at, letters, p) for (at, letters, _), p in begun.items())


def rows_score() -> Iterable[tuple]:
    """Mean, SD and mean distance from the mean of the score of rows of five, and mean letters, by every way to read them."""
    for needed in [3, 4, 5]:
        for scale in [0.05, 0.08]:
            for midpoint, first in itertools.product([-0.33, -0.07, 0.15, 0.48], [1, 4, 8]):
                rows = range(-3, first + 3)
                chance = {
                    row: 0.1 + (1 - 0.1 - LAPSE) * float(special.expit((row / 10 - midpoint) / scale)) for row in rows
                }
                ways = list(rows_read(chance, first, needed))
                assert abs(math.fsum(p for _, _, p in ways) - 1) < 1e-12
                mean = math.fsum(at / 50 * p for at, _, p in ways)
                sd = math.sqrt(math.fsum((at / 50 - mean) ** 2 * p for at, _, p in ways))
                letters = math.fsum(shown * p for _, shown, p in ways)
                off = math.fsum(abs(at / 50 - mean) * p for at, _, p in ways)
                yield needed, scale, midpoint, first, mean, sd, off, letters


def acuity_sizes() -> Iterable[tuple]:
    """An optotype spans 5 gaps; at logMAR 0 that is 5 minutes of arc. Extended precision, tan of the half angle."""
    minute = np.longdouble("3.14159265358979323846264338328") / (180 * 60)
    for distance in [6000, 4000, 3000, 400]:
        for tenth in range(-3, 21):
            mar = np.longdouble(10) ** (np.longdouble(tenth) / 10)
            height = 2 * distance * np.tan(mar * 5 * minute / 2)
            yield float(tenth) / 10, distance, height, height / 5


def acuity_pass() -> Iterable[tuple]:
    """How often guessing names at least so many of so many rightly at one size."""
    for choices in [2, 4, 8, 10]:
        for needed, of in [(3, 5), (5, 8), (6, 10)]:
            yield choices, needed, of, float(stats.binom(of, 1 / choices).sf(needed - 1))


def bedside_chance() -> Iterable[tuple]:
    """From how many right answers on guessing gives as many in at most 5 % of series, and the same below."""
    for choices in [2, 3, 4, 5]:
        for n in [6, 8, 10, 12, 16, 18, 20, 24]:
            law = stats.binom(n, 1 / choices)
            above = next(k for k in range(n + 2) if law.sf(k - 1) <= 0.05)
            below = max((k for k in range(n + 1) if law.cdf(k) <= 0.05), default=-1)
            yield choices, n, above, float(law.sf(above - 1)), below, float(law.cdf(below)), float(law.pmf(0))


# A kind of series, the shares of its targets, and lengths whose lists can all be written down.
LAWS = [
    ("smell", [1 / 2] * 2, [6, 9, 12]),
    ("touch", [2 / 3, 1 / 3], [8, 12]),
    ("rub", [1 / 3] * 3, [6, 9]),
    ("field_fingers", [1 / 3] * 3, [7, 8]),
    ("field_sides", [1 / 4] * 4, [5, 7]),
    ("field_quadrants", [1 / 5] * 5, [6]),
]
FREE_AT_THE_END = 3


def bedside_law() -> Iterable[tuple]:
    """Every list of targets that is allowed, written down and weighed: how often answers are right by guessing.

    All but the last three are balanced: no target under half or over twice its expected count.
    """
    random = np.random.default_rng(SEED_LAW)
    for kind, shares, lengths in LAWS:
        for n in lengths:
            bound = n - FREE_AT_THE_END
            low = [math.floor(bound * share / 2) for share in shares]
            high = [math.ceil(bound * share * 2) for share in shares]
            allowed = []
            for targets in itertools.product(range(len(shares)), repeat=n):
                counts = [targets[:bound].count(target) for target in range(len(shares))]
                if all(a <= c <= b for a, c, b in zip(low, counts, high, strict=True)):
                    allowed.append((targets, math.prod(shares[target] for target in targets)))
            total = math.fsum(weight for _, weight in allowed)
            # Answers by several habits: always the same, at random, with some missing or never right.
            habits = ["0" * n, str(len(shares) - 1) * n]
            habits += ["".join(str(random.integers(len(shares))) for _ in range(n)) for _ in range(2)]
            habits.append("".join(random.choice([*map(str, range(len(shares))), "-", "x"]) for _ in range(n)))
            for answers in habits:
                rights = [0.0] * (n + 1)
                for targets, weight in allowed:
                    rights[sum(a == str(t) for a, t in zip(answers, targets, strict=True))] += weight
                yield kind, n, answers, " ".join(repr(right / total) for right in rights)


def fisher() -> Iterable[tuple]:
    for n1, n2 in [(3, 4), (8, 8), (6, 12), (16, 16), (9, 3), (40, 25)]:
        for k1 in sorted({0, 1, n1 // 2, n1 - 1, n1}):
            for k2 in sorted({0, 1, n2 // 2, n2}):
                table = [[k1, n1 - k1], [k2, n2 - k2]]
                yield k1, n1, k2, n2, float(stats.fisher_exact(table).pvalue)


def kappa() -> Iterable[tuple]:
    """Scores 0, 1, 2 of two raters, from alike to unlike; none of these where chance alone would agree always."""
    rng = np.random.default_rng(SEED_RATERS)
    for items in (4, 10, 30, 100):
        for alike in (0.0, 0.3, 0.6, 0.9, 1.0):
            for shares in ((1 / 3, 1 / 3, 1 / 3), (0.05, 0.15, 0.8), (0.5, 0.0, 0.5)):
                one = rng.choice(3, items, p=shares)
                other = np.where(rng.random(items) < alike, one, rng.choice(3, items, p=shares))
                if len({*one, *other}) > 1:
                    told = ("".join(map(str, scores)) for scores in (one, other))
                    yield *told, float(cohen_kappa_score(one, other))


# Answers to sounds under one way of answering (src/evidence/model/), written down again from its documentation.
ANSWERED_GRID_DB = np.arange(-20.0, 135.1, 2.5)
PARTS = ("measuring", "silent", "repeats", "sweeps", "both_ears", "forced_choice", "company")


def p_of_answer(way: dict, answer: dict, level: np.ndarray) -> np.ndarray:
    """Probability of a press, or of the right interval, at each level of the grid."""
    asked, by = answer["asked"], way["by"]
    rings = way["ring_hz"] > 0 and asked != "silent" and abs(math.log2(answer["hz"] / way["ring_hz"])) <= 0.5
    alarm = way["ring_rate"] if rings else way["alarm"]
    flat = np.ones_like(level)
    if by == "chance":
        if asked in ("silent", "interval"):
            return flat * (way["rate"] if asked == "silent" else 0.5)
        return flat * np.clip(way["rate"] + way["slope"] * (answer["level"] - 40) / 100, 0.01, 0.99)
    if by == "deaf":
        return flat * (0.5 if asked == "interval" else alarm)
    if asked == "silent":
        return flat * way["alarm"]
    shift = way["drift"] * answer["hundreds"] + way["learning"] * math.exp(-answer["hundreds"] / 0.4)
    step = lambda over: special.expit(over / way["scale"])
    bar = by == "bar" and way["ear"] in ("both", answer["ear"])
    pulled = way["pull"] * np.clip(answer["company"] - level, -40, 40) if bar else 0.0
    if asked == "interval":
        if not bar:
            return 0.5 + 0.5 * (1 - way["lapse"]) * step(answer["level"] - level - shift + 3 + way["hesitates"])
        hears = (1 - way["lapse"]) * step(answer["level"] - level + way["over"] + 3)
        over = step(3 * (answer["level"] - level - shift - pulled))
        return hears * (over + (1 - over) * way["choice"]) + (1 - hears) * 0.5
    if asked == "both" and by == "bar" and not bar and answer["other"] - answer["level"] - way["poorer"] > 5:
        return flat * way["both"]
    lapse = way["lapse"] + way["growth"] * answer["hundreds"]
    return alarm + max(1 - alarm - lapse, 0) * step(answer["level"] - level - shift - pulled)


def ln_of_answers(way: dict, answers: list[dict]) -> float:
    """ln likelihood of all answers: places summed over the grid, blocks of a place wandering apart."""
    places: dict[tuple, list[list[dict]]] = {}
    total = 0.0
    for answer in answers:
        if answer["asked"] == "silent":
            p = float(p_of_answer(way, answer, ANSWERED_GRID_DB)[0])
            total += math.log(p if answer["yes"] else 1 - p)
            continue
        blocks = places.setdefault((answer["ear"], answer["hz"]), [])
        last = blocks[-1] if blocks else None
        if last and last[0]["part"] == answer["part"] and answer["hundreds"] - last[0]["hundreds"] <= 0.12:
            last.append(answer)
        else:
            blocks.append([answer])
    for (ear, _), blocks in places.items():
        pull = way["pull"] if way["by"] == "bar" and way["ear"] in ("both", ear) else 0.0
        product = np.full(ANSWERED_GRID_DB.size, (1 - pull) / ANSWERED_GRID_DB.size)
        for block in blocks:
            own = np.ones(ANSWERED_GRID_DB.size)
            for answer in block:
                p = p_of_answer(way, answer, ANSWERED_GRID_DB)
                own *= p if answer["yes"] else 1 - p
            if len(blocks) > 1 and way["by"] in ("hearing", "bar") and way["wander"] >= 1.0:
                reach = math.ceil(3 * way["wander"] / 2.5) * 2.5
                off = ANSWERED_GRID_DB[:, None] - ANSWERED_GRID_DB[None, :]
                bell = np.where(np.abs(off) <= reach, np.exp(-0.5 * (off / way["wander"]) ** 2), 0.0)
                own = bell @ own / bell.sum(axis=1)
            product *= own
        total += math.log(product.sum())
    return total


def drawn_way(rng: np.random.Generator, by: str) -> dict:
    """Drift, learning and pull come in steps that keep the program's table exact or nearly so."""
    return {
        "scale": rng.uniform(1, 6), "alarm": rng.uniform(0.01, 0.3), "ring_hz": rng.choice([0.0, 2000.0]),
        "ring_rate": rng.uniform(0.1, 0.4), "lapse": rng.uniform(0.01, 0.2), "growth": rng.uniform(0, 0.05),
        "wander": rng.uniform(0, 4), "drift": rng.uniform(-6, 6), "learning": rng.choice([0.0, 6.0]),
        "hesitates": rng.choice([0.0, 4.0]), "by": by, "ear": rng.choice(["both", "right", "left"]),
        "pull": rng.uniform(0, 0.7), "both": rng.uniform(0, 0.9), "choice": rng.uniform(0.1, 0.6),
        "over": rng.uniform(5, 50), "poorer": rng.normal() * 8, "rate": rng.uniform(0.1, 0.5), "slope": rng.uniform(0, 0.4),
    }


def drawn_answers(rng: np.random.Generator) -> list[dict]:
    """A small journal: tones at three places, silence, a repeat, a sweep, both ears and choices."""
    answers, company = [], 40.0
    plan = [("tone", "measuring", "right", 1000.0)] * 6 + [("tone", "measuring", "left", 1000.0)] * 6
    plan += [("tone", "measuring", "right", 2000.0)] * 5 + [("silent", "silent", "right", 0.0)] * 3
    plan += [("tone", "repeats", "right", 1000.0)] * 4 + [("tone", "sweeps", "left", 1000.0)] * 6
    plan += [("both", "both_ears", "right", 1000.0)] * 2 + [("interval", "forced_choice", "left", 1000.0)] * 5
    for number, (asked, part, ear, hz) in enumerate(plan):
        level = float(rng.integers(0, 17) * 5)
        answers.append({
            "asked": asked, "part": part, "ear": ear, "hz": hz, "level": level, "other": float(rng.integers(4, 20) * 5),
            "company": round(company, 6), "hundreds": number * 0.05, "yes": bool(rng.random() < special.expit((level - 40) / 8)),
        })
        if asked != "silent":
            company += 0.2 * (level - company)
    return answers


def ln_mean(values: list[float]) -> float:
    return float(special.logsumexp(values) - math.log(len(values)))


def told_way(way: dict) -> str:
    return " ".join(f"{key}={value}" for key, value in way.items())


def told_answers(answers: list[dict]) -> str:
    return ";".join(" ".join(str(int(v) if isinstance(v, bool) else v) for v in answer.values()) for answer in answers)


def answers_likelihood() -> Iterable[tuple]:
    """Each row: three ways of either mixture, the ln likelihood under each, and the log10 ratio of the mixtures."""
    rng = np.random.default_rng(SEED_ANSWERS)
    for _ in range(24):
        answers = drawn_answers(rng)
        ways = [drawn_way(rng, by) for by in ("hearing", "hearing", "deaf", "bar", "bar", "chance")]
        logs = [ln_of_answers(way, answers) for way in ways]
        ratio = (ln_mean(logs[3:]) - ln_mean(logs[:3])) / math.log(10)
        yield ratio, " ".join(f"{log:.9f}" for log in logs), "|".join(told_way(way) for way in ways), told_answers(answers)


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE / "tables"
    folder.mkdir(parents=True, exist_ok=True)
    write(
        folder, "binomial_interval",
        "exact (Clopper-Pearson) 95 % interval, scipy.special.betaincinv, held against scipy.stats.binomtest",
        ["k", "n", "low", "high"], binomial_interval(),
    )
    write(
        folder, "binomial_tail", "scipy.stats.binom: P(X <= k) and P(X >= k)",
        ["k", "n", "p", "at_most", "at_least"], binomial_tail(),
    )
    write(folder, "logistic", "scipy.special.expit", ["x", "logistic"], logistic())
    write(folder, "normal", "scipy.stats.norm.cdf and .ppf", ["function", "argument", "value"], normal())
    write(
        folder, "mle_acuity",
        f"root of the likelihood's slope by scipy.optimize.brentq; trials are logMAR size and + right, - wrong; "
        f"made with numpy default_rng({SEED_ACUITY})",
        ["choices", "scale", "lapse", "midpoint", "log_likelihood", "trials"], mle_acuity(),
    )
    write(
        folder, "acuity_posterior",
        f"direct sum in numpy over A, s, l with the priors of the program's documentation; fitted: A of A and s by "
        f"scipy.optimize.minimize, l = .02, long lists only; trials are choices:logMAR and + or -; made with numpy "
        f"default_rng({SEED_EYES})",
        ["mean", "sd", "scale_mean", "fitted", "trials"], acuity_posterior(),
    )
    write(
        folder, "threshold_posterior",
        f"direct sum in numpy: T -30..130 step 1 flat, s in 1.2 2 3 4 6 and g in .01 .04 .12 .25 equally likely, "
        f"l = .02; trials are dB HL and + yes, - none; made with numpy default_rng({SEED_THRESHOLD})",
        ["mean", "sd", "trials"], threshold_posterior(),
    )
    write(
        folder, "sited_normal",
        f"numpy.linalg.inv and slogdet on dense matrices; steps are place:mean:variance in order; made with numpy "
        f"default_rng({SEED_SITES})",
        ["side", "log_partition", "prior", "means", "variances", "steps"], sited_normal(),
    )
    write(
        folder, "audiogram_posterior",
        f"direct sum in numpy over every grid cell of all midpoints, with scipy.stats.multivariate_normal; moments are "
        f"mean:SD, answers place:level and + or -; made with numpy default_rng({SEED_AUDIOGRAM})",
        ["count", "scale_mean", "alarm_mean", "places", "moments", "answers", "silent", "gains"], audiogram_posterior(),
    )
    write(
        folder, "beside_noise",
        f"direct sum in numpy over every midpoint, attenuation and way of answering; tones are level:noise and + or -; "
        f"made with numpy default_rng({SEED_NOISE})",
        ["own_mean", "own_sd", "other_mean", "other_sd", "other_from", "mean", "sd", "p_other_ear", "p_above_110", "tones"],
        beside_noise(),
    )
    write(
        folder, "rows_score",
        "every way to read rows of five, weighed by scipy.stats.binom; rows from -0.3 to two above the first, in tenths "
        "of logMAR; ended by so many wrong in a row; 10 letters, l = .02",
        ["wrong", "scale", "midpoint", "first", "mean", "sd", "mean_off", "letters"], rows_score(),
    )
    write(
        folder, "acuity_sizes",
        "numpy.tan of the half angle in long double; gap = height / 5 (5 x 5 construction)",
        ["log_mar", "distance_mm", "height_mm", "gap_mm"], acuity_sizes(),
    )
    write(
        folder, "acuity_pass", "scipy.stats.binom: P(X >= needed)",
        ["choices", "needed", "of", "p"], acuity_pass(),
    )
    write(
        folder, "bedside_chance", "scipy.stats.binom, one-sided 5 %",
        ["choices", "n", "above_from", "p_above", "below_at", "p_below", "p_none"], bedside_chance(),
    )
    write(
        folder, "bedside_law",
        f"all lists of targets that the law allows, written down with itertools and weighed; answers are places of "
        f"targets, - none, x never right; made with numpy default_rng({SEED_LAW})",
        ["kind", "n", "answers", "rights"], bedside_law(),
    )
    write(
        folder, "answers_likelihood",
        f"direct sum in numpy over levels -20..135 step 2.5, blocks and wander as documented in src/evidence/model; the "
        f"first three ways are of one mixture, the others of the other; made with numpy default_rng({SEED_ANSWERS})",
        ["log10_ratio", "logs", "ways", "answers"], answers_likelihood(),
    )
    write(folder, "fisher", "scipy.stats.fisher_exact, two-sided", ["k1", "n1", "k2", "n2", "p"], fisher())
    write(
        folder, "kappa", f"sklearn.metrics.cohen_kappa_score {sklearn.__version__}, not weighted; default_rng({SEED_RATERS})",
        ["one", "other", "kappa"], kappa(),
    )


if __name__ == "__main__":
    main()
