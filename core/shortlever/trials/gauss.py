"""Normal distributions of a few dimensions: learning from one number, chances, and the worth of a look.

Everything is exact but ``chance_all_positive`` in two and three dimensions, an adaptive Simpson integration
whose error is bounded below.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from shortlever.linear import cholesky

CHANCE_ERROR = 1e-4  # bound on the error of chance_all_positive
_OUTER, _INNER = 1e-5, 1e-6  # tolerances of the integrals
_FAR = 6.5  # standard deviations; what lies further out holds less than 1e-10
_SQRT_HALF = math.sqrt(0.5)
_SQRT_TWO_PI = math.sqrt(2 * math.pi)


def cumulative(z: float) -> float:
    """Chance that a standard normal number is below z."""
    return 0.5 * math.erfc(-z * _SQRT_HALF)


def quantile(chance: float) -> float:
    """The z with ``cumulative(z)`` = chance, for chances within 1e-9 of neither end; by halving, to 1e-9.

    >>> round(quantile(0.95), 6)
    1.644854
    """
    low, high = -6.5, 6.5
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (middle, high) if cumulative(middle) < chance else (low, middle)
    return (low + high) / 2


def density(z: float) -> float:
    """Density of the standard normal distribution at z."""
    return math.exp(-0.5 * z * z) / _SQRT_TWO_PI


@dataclass(frozen=True)
class Belief:
    """A normal distribution over some unknowns."""

    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]

    def contrast(self, weights: Mapping[int, float]) -> tuple[float, float]:
        """Mean and standard deviation of a weighted sum of the unknowns (index: weight)."""
        mean = sum(w * self.mean[i] for i, w in weights.items())
        variance = sum(a * b * self.covariance[i][j] for i, a in weights.items() for j, b in weights.items())
        return mean, math.sqrt(max(variance, 0.0))

    def pull(self, row: Mapping[int, float], noise: float) -> tuple[tuple[float, ...], float]:
        """How a number ``row`` @ unknowns + noise would move the mean, for one SD of surprise; and that SD.

        ``noise`` is a variance. The mean moves by the first times a standard normal number, and the
        covariance falls by its outer product with itself, whatever the number turns out to be.
        """
        covariance = self.covariance
        towards = [sum(w * line[i] for i, w in row.items()) for line in covariance]
        sd = math.sqrt(sum(w * towards[i] for i, w in row.items()) + noise)
        return tuple(t / sd for t in towards), sd

    def learn(self, row: Mapping[int, float], value: float, noise: float) -> tuple[Belief, float, float]:
        """The belief after one number ``value`` = ``row`` @ unknowns + noise; the surprise in SD, and that
        SD.

        This is conditioning of the joint normal distribution, one number at a time; the order does not
        matter.
        """
        pull, sd = self.pull(row, noise)
        surprise = (value - sum(w * self.mean[i] for i, w in row.items())) / sd
        return self.moved(pull, surprise), surprise, sd

    def moved(self, pull: Sequence[float], surprise: float) -> Belief:
        """The belief after a number with this pull came out ``surprise`` SD above what was expected."""
        mean = tuple(m + p * surprise for m, p in zip(self.mean, pull, strict=True))
        covariance = tuple(
            tuple(c - p * q for c, q in zip(line, pull, strict=True))
            for line, p in zip(self.covariance, pull, strict=True)
        )
        return Belief(mean, covariance)

    def keeping(self, unknowns: Sequence[int]) -> Belief:
        """The belief about some of the unknowns only."""
        return Belief(
            tuple(self.mean[i] for i in unknowns),
            tuple(tuple(self.covariance[i][j] for j in unknowns) for i in unknowns),
        )

    def extended(self, variance: float) -> Belief:
        """The belief with one more unknown of mean 0, independent of the others."""
        zeros = (0.0,) * len(self.mean)
        lines = (*((*line, 0.0) for line in self.covariance), (*zeros, variance))
        return Belief((*self.mean, 0.0), lines)


def mixed(parts: Sequence[tuple[float, Belief]]) -> Belief:
    """The normal distribution with mean and covariance of a mixture: (weight, belief), weights sum to 1."""
    size = range(len(parts[0][1].mean))
    mean = tuple(sum(w * b.mean[i] for w, b in parts) for i in size)
    away = [[b.mean[i] - mean[i] for i in size] for _, b in parts]
    lines = (
        tuple(
            sum(w * (b.covariance[i][j] + a[i] * a[j]) for (w, b), a in zip(parts, away, strict=True))
            for j in size
        )
        for i in size
    )
    return Belief(mean, tuple(lines))


def integral(f: Callable[[float], float], low: float, high: float, tolerance: float) -> float:
    """Integral of f by adaptive Simpson steps with Richardson's correction, from 8 panels (Lyness 1969)."""
    if high <= low:
        return 0.0
    width = (high - low) / 8
    total = 0.0
    for i in range(8):
        a = low + i * width
        b, middle = a + width, a + width / 2
        fa, fm, fb = f(a), f(middle), f(b)
        whole = width / 6 * (fa + 4 * fm + fb)
        total += _halved(f, (a, middle, b), (fa, fm, fb), whole, tolerance / 8, 20)
    return total


def _halved(
    f: Callable[[float], float],
    at: tuple[float, float, float],
    values: tuple[float, float, float],
    whole: float,
    tolerance: float,
    depth: int,
) -> float:
    a, middle, b = at
    fa, fm, fb = values
    left_at, right_at = (a + middle) / 2, (middle + b) / 2
    fl, fr = f(left_at), f(right_at)
    left, right = (middle - a) / 6 * (fa + 4 * fl + fm), (b - middle) / 6 * (fm + 4 * fr + fb)
    error = left + right - whole
    if depth == 0 or abs(error) <= 15 * tolerance:
        return left + right + error / 15
    return _halved(f, (a, left_at, middle), (fa, fl, fm), left, tolerance / 2, depth - 1) + _halved(
        f, (middle, right_at, b), (fm, fr, fb), right, tolerance / 2, depth - 1
    )


def chance_all_positive(mean: Sequence[float], covariance: Sequence[Sequence[float]]) -> float:
    """Chance that all of one to three normal numbers are above zero.

    One number: exact. Two or three: with covariance = L Lᵀ and numbers = mean + L z the last z is integrated
    in closed form and the others by adaptive Simpson steps, outer tolerance 1e-5, inner 1e-6 (weighed by a
    density, so it adds at most 1e-6), tails beyond 6.5 SD below 1e-10. Simpson's tolerance is an estimate of
    the error, so ten times as much is allowed for: CHANCE_ERROR = 1e-4.
    """
    return min(max(_all_positive(list(mean), cholesky(covariance), 0), 0.0), 1.0)


def _all_positive(mean: list[float], lower: list[list[float]], k: int) -> float:
    if k == len(lower) - 1:
        return cumulative(mean[k] / lower[k][k])

    def given(z: float) -> float:
        shifted = [m + line[k] * z for m, line in zip(mean, lower, strict=True)]
        return density(z) * _all_positive(shifted, lower, k + 1)

    return integral(given, max(-mean[k] / lower[k][k], -_FAR), _FAR, _INNER if k else _OUTER)


def chances_best(mean: Sequence[float], covariance: Sequence[Sequence[float]]) -> list[float]:
    """Chance of each of one to four normal numbers to be the largest; they sum to 1.

    >>> [round(c, 3) for c in chances_best([0.0, 0.0], [[1.0, 0.0], [0.0, 1.0]])]
    [0.5, 0.5]
    """
    n = len(mean)
    if n == 1:
        return [1.0]
    found = []
    for c in range(n):
        others = [j for j in range(n) if j != c]
        leads = [mean[c] - mean[j] for j in others]
        spread = [
            [covariance[c][c] - covariance[c][j] - covariance[c][i] + covariance[i][j] for j in others]
            for i in others
        ]
        found.append(chance_all_positive(leads, spread))
    total = sum(found)
    return [chance / total for chance in found]


def worth_of_look(mean: Sequence[float], pull: Sequence[float]) -> float:
    """Expected rise of the largest mean when all move by ``pull`` times one standard normal number; exact.

    The means are lines over that number, and the largest follows their upper envelope: each corner at z adds
    its change of slope times (density(z) - |z| (1 - cumulative(|z|))) (Frazier 2009, INFORMS J Comput 21:599,
    memory).

    >>> round(worth_of_look([0.0, 0.0], [0.0, 1.0]), 4)
    0.3989
    """
    highest: dict[float, float] = {}
    for slope, height in zip(pull, mean, strict=True):
        highest[slope] = max(height, highest.get(slope, -math.inf))
    hull: list[tuple[float, float]] = []  # slope, height
    corners: list[float] = []
    for slope, height in sorted(highest.items()):
        while hull:
            z = (hull[-1][1] - height) / (slope - hull[-1][0])
            if len(hull) > 1 and z <= corners[-1]:
                hull.pop()
                corners.pop()
                continue
            corners.append(z)
            break
        hull.append((slope, height))
    worth = 0.0
    for i, z in enumerate(corners):
        away = abs(z)
        worth += (hull[i + 1][0] - hull[i][0]) * max(density(away) - away * cumulative(-away), 0.0)
    return worth
