"""The joint belief of the estimating procedure once more, in numpy.

Reads {"hz": [...], "levels_db": [...], "answers": [[place, level_db, heard], ...]} and prints the mean time of
one update and one choice, and the mean and standard deviation of each place at the end. The formulas are those of
expectation propagation (Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006, 3.6); the tables of
priors are copied from the program, since it is the same mathematics that is timed and compared.
"""

import json
import sys
import time

import numpy as np

T = -30.0 + 1.5 * np.arange(108)
SCALES = np.array([0.8, 1.8, 3.0, 4.5, 6.5])
SCALE_SHARES = np.array([0.3, 0.28, 0.25, 0.13, 0.04])
FALSE_ALARMS = np.array([0.01, 0.04, 0.12, 0.25])
FALSE_ALARM_SHARES = np.array([0.3, 0.4, 0.2, 0.1])
LAPSES = np.array([0.02, 0.10])
LAPSE_SHARES = np.array([0.6, 0.4])
S, G, L = (grid.ravel() for grid in np.meshgrid(SCALES, FALSE_ALARMS, LAPSES, indexing="ij"))
LOG_KINDS = np.log(
    (SCALE_SHARES[:, None, None] * FALSE_ALARM_SHARES[None, :, None] * LAPSE_SHARES[None, None, :]).ravel()
)
MEAN_DB = {250: 15.0, 500: 15.0, 1000: 17.0, 2000: 20.0, 4000: 27.0, 8000: 35.0}
IN_TURN = 4


def shapes(hz):
    places = [(ear, one) for ear in (0, 1) for one in hz]
    n = len(places)
    ear = np.array([place[0] for place in places])
    octave = np.log2([place[1] for place in places])
    same_ear = ear[:, None] == ear[None, :]
    ears = np.where(same_ear, 1.0, 0.8)
    apart = np.abs(octave[:, None] - octave[None, :])
    smooth = 18.0**2 * ears * 0.85**apart + 4.0**2 * np.eye(n)
    one_ear = smooth + 30.0**2 * same_ear
    stands_out = (apart == 0) & (2.0**octave >= 2500.0)[:, None]
    rough = smooth + 15.0**2 * ears * stands_out
    means = np.array([MEAN_DB[int(place[1])] for place in places])
    return means, [(0.7, smooth), (0.15, one_ear), (0.15, rough)]


class Shape:
    def __init__(self, share, prior):
        self.log_share, self.prior, n = np.log(share), prior, len(prior)
        self.tau, self.nu = np.zeros(n), np.zeros(n)
        self.cov, self.mean, self.log_det = prior.copy(), np.zeros(n), 0.0
        self.fits = [None] * n

    def refresh(self):
        root = np.sqrt(self.tau)
        lower = np.linalg.cholesky(np.eye(len(root)) + root[:, None] * self.prior * root[None, :])
        solved = np.linalg.solve(lower, root[:, None] * self.prior)
        self.cov = self.prior - solved.T @ solved
        self.mean = self.cov @ self.nu
        self.log_det = 2.0 * np.log(np.diag(lower)).sum()

    def cavity(self, at):
        precision = 1.0 / self.cov[at, at] - self.tau[at]
        return (self.mean[at] / self.cov[at, at] - self.nu[at]) / precision, 1.0 / precision

    def kinds(self, log_kinds, but):
        logs = log_kinds + sum(fit for at, fit in enumerate(self.fits) if fit is not None and at != but)
        weights = np.exp(logs - logs.max())
        return weights / weights.sum()

    def tilted(self, at, means, log_kinds):
        mean, variance = self.cavity(at)
        bell = np.exp(-0.5 * (T - mean - means[at]) ** 2 / variance)
        return bell / bell.sum(), self.kinds(log_kinds, at)

    def fit(self, at, likelihood, means, log_kinds):
        bell, kinds = self.tilted(at, means, log_kinds)
        weights = bell * (kinds @ likelihood)
        self.fits[at] = np.log(np.maximum(likelihood @ bell, np.finfo(float).tiny))
        off = T - means[at]
        total = weights.sum()
        mean = weights @ off / total
        variance = max(weights @ off**2 / total - mean * mean, 1.5**2 / 12.0)
        cavity_mean, cavity_variance = self.cavity(at)
        tau = max(1.0 / variance - 1.0 / cavity_variance, 1e-6)
        nu = mean * (tau + 1.0 / cavity_variance) - cavity_mean / cavity_variance
        more, moved = tau - self.tau[at], nu - self.nu[at]
        self.tau[at], self.nu[at] = tau, nu
        column = self.cov[at].copy()
        self.log_det += np.log(1.0 + more * column[at])
        below = 1.0 + more * column[at]
        step = (moved - more * self.mean[at]) / below
        self.cov -= more / below * np.outer(column, column)
        self.mean = self.mean + step * column

    def evidence(self, log_kinds):
        def log_norm(mean, variance):
            return 0.5 * mean * mean / variance + 0.5 * np.log(variance)

        logs, total = log_kinds.copy(), 0.5 * self.nu @ self.mean - 0.5 * self.log_det
        for at, fit in enumerate(self.fits):
            if fit is not None:
                logs += fit
                total += log_norm(*self.cavity(at)) - log_norm(self.mean[at], self.cov[at, at])
        return total + logs.max() + np.log(np.exp(logs - logs.max()).sum())


class Belief:
    def __init__(self, hz):
        self.means, made = shapes(hz)
        self.shapes = [Shape(share, prior) for share, prior in made]
        self.likelihoods = [None] * len(self.means)
        self.weights = np.array([share for share, _ in made])
        self.taken = 0

    def observe(self, at, level, heard):
        if self.likelihoods[at] is None:
            self.likelihoods[at] = np.ones((len(S), len(T)))
        p = G[:, None] + (1.0 - G - L)[:, None] / (1.0 + np.exp(-(level - T[None, :]) / S[:, None]))
        self.likelihoods[at] *= p if heard else 1.0 - p
        self.likelihoods[at] /= self.likelihoods[at].max()
        others = [one for one, rows in enumerate(self.likelihoods) if rows is not None and one != at]
        turns = [others[(self.taken * IN_TURN + turn) % len(others)] for turn in range(min(IN_TURN, len(others)))]
        self.taken += 1
        logs = []
        for shape in self.shapes:
            shape.refresh()
            for one in [at, *turns]:
                shape.fit(one, self.likelihoods[one], self.means, LOG_KINDS)
            logs.append(shape.log_share + shape.evidence(LOG_KINDS))
        weights = np.exp(np.array(logs) - max(logs))
        self.weights = weights / weights.sum()

    def moments(self):
        means = np.array([shape.mean for shape in self.shapes])
        variances = np.array([np.diag(shape.cov) for shape in self.shapes])
        first = self.weights @ means
        second = self.weights @ (variances + means**2)
        return first + self.means, np.sqrt(second - first**2)

    def slopes(self):
        """Squared slopes of all midpoints on each, summed: what an answer there says of all."""
        means = np.array([shape.mean for shape in self.shapes])
        first = self.weights @ means
        both = sum(
            weight * (shape.cov + np.outer(shape.mean, shape.mean)) for weight, shape in zip(self.weights, self.shapes)
        )
        covariance = both - np.outer(first, first)
        return ((covariance / np.diag(covariance)[:, None]) ** 2).sum(1)

    def choose(self, levels, heard_at):
        """The place and level whose answer lessens the sum of the variances most."""
        mean, sd = self.moments()
        slopes, best = self.slopes(), (-1.0, 0, 0)
        for at in range(len(mean)):
            rises, floors, everything = np.zeros((len(SCALES), len(T))), np.zeros(len(T)), np.zeros(len(T))
            rows = self.likelihoods[at] if self.likelihoods[at] is not None else np.ones((len(S), len(T)))
            for shape, weight in zip(self.shapes, self.weights):
                bell, kinds = shape.tilted(at, self.means, LOG_KINDS)
                joint = kinds[:, None] * rows * bell[None, :]
                joint *= weight / joint.sum()
                everything += joint.sum(0)
                floors += G @ joint
                rises += ((1.0 - G - L)[:, None] * joint).reshape(len(SCALES), -1, len(T)).sum(1)
            near = np.flatnonzero(np.abs(levels - mean[at]) <= 2.5 * sd[at] + 10.0)
            yes = floors + np.einsum("lst,st->lt", heard_at[near], rises)
            off = T - mean[at]
            powers = np.stack([np.ones_like(off), off, off**2])
            of_yes, of_all = yes @ powers.T, everything @ powers.T
            of_no = of_all - of_yes
            after = sum(part[:, 2] - part[:, 1] ** 2 / part[:, 0] for part in (of_yes, of_no))
            gains = (of_all[2] - of_all[1] ** 2 / of_all[0] - after) * slopes[at]
            most = int(np.argmax(gains))
            best = max(best, (gains[most], at, near[most]))
        return best[1], best[2]


def main():
    told = json.load(sys.stdin)
    levels = np.array(told["levels_db"])
    heard_at = 1.0 / (1.0 + np.exp(-(levels[:, None, None] - T[None, None, :]) / SCALES[None, :, None]))
    belief = Belief(told["hz"])
    seconds = 0.0
    for at, level, heard in told["answers"]:
        began = time.perf_counter()
        belief.observe(at, level, heard)
        belief.choose(levels, heard_at)
        seconds += time.perf_counter() - began
    mean, sd = belief.moments()
    print(json.dumps({"mean_ms": 1e3 * seconds / len(told["answers"]), "moments": list(zip(mean, sd))}))


if __name__ == "__main__":
    main()
