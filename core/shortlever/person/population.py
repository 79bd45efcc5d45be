"""What a body is likely to measure, given whatever of it was measured.

The joint distribution of the ANSUR II people, per sex, is conditioned on the tape by exact scalar updates
of a multivariate normal; where the sex is not given, both are kept and weighted by how well they explain
the tape. Lengths m, mass kg.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shortlever.person.population_data import COVARIANCE, MEAN, ORDER

INDEX = {name: i for i, name in enumerate(ORDER)}
Vector = list[float]
Matrix = list[list[float]]


@dataclass(frozen=True)
class Observation:
    """One tape number: a weighted sum of dimensions, its value and its standard deviation (SI)."""

    weights: Mapping[str, float]
    value: float
    sd: float


@dataclass(frozen=True)
class Estimate:
    """Expected dimensions and their covariance, in the order of ``population_data.ORDER`` (SI).

    ``male`` is the weight of the male component, 0 to 1.
    """

    mean: Vector
    covariance: Matrix
    male: float

    def sd(self, name: str) -> float:
        """Standard deviation of one dimension, SI."""
        i = INDEX[name]
        return math.sqrt(max(self.covariance[i][i], 0.0))

    def foretold(self, seen: Observation) -> tuple[float, float]:
        """What an observation not used yet will show: the value expected and its standard deviation, SI."""
        h = [(INDEX[name], weight) for name, weight in seen.weights.items()]
        variance = sum(a * b * self.covariance[i][j] for i, a in h for j, b in h)
        return sum(weight * self.mean[i] for i, weight in h), math.sqrt(max(variance, 0.0) + seen.sd**2)


def condition(
    mean: Sequence[float], covariance: Sequence[Sequence[float]], seen: Sequence[Observation]
) -> tuple[Vector, Matrix, float]:
    """A normal distribution conditioned on observations: mean, covariance, log-likelihood of what was seen.

    Each observation is a scalar with independent error, so they can be taken one after the other
    (Gelb 1974, Applied Optimal Estimation, section 4.2; the same as the textbook block formula).
    """
    m = list(mean)
    p = [list(row) for row in covariance]
    n = len(m)
    likelihood = 0.0
    for obs in seen:
        h = [(INDEX[name], weight) for name, weight in obs.weights.items()]
        ph = [sum(row[j] * w for j, w in h) for row in p]
        s = sum(ph[j] * w for j, w in h) + obs.sd**2
        miss = obs.value - sum(m[j] * w for j, w in h)
        likelihood -= 0.5 * (miss * miss / s + math.log(2 * math.pi * s))
        for i in range(n):
            gain = ph[i] / s
            m[i] += gain * miss
            row = p[i]
            for j in range(n):
                row[j] -= gain * ph[j]
    return m, p, likelihood


def estimate(seen: Sequence[Observation], sex: str | None = None) -> Estimate:
    """Dimensions of a person given the observations, for one sex or for a mixture of both."""
    if sex is not None:
        mean, covariance, _ = condition(MEAN[sex], COVARIANCE[sex], seen)
        return Estimate(mean, covariance, 1.0 if sex == "male" else 0.0)
    men = condition(MEAN["male"], COVARIANCE["male"], seen)
    women = condition(MEAN["female"], COVARIANCE["female"], seen)
    male = 1.0 / (1.0 + math.exp(min(700.0, max(-700.0, women[2] - men[2]))))
    mean = [male * a + (1 - male) * b for a, b in zip(men[0], women[0], strict=True)]
    gap = [a - b for a, b in zip(men[0], women[0], strict=True)]
    both = male * (1 - male)
    covariance = [
        [
            male * a + (1 - male) * b + both * gap[i] * gap[j]
            for j, (a, b) in enumerate(zip(ra, rb, strict=True))
        ]
        for i, (ra, rb) in enumerate(zip(men[1], women[1], strict=True))
    ]
    return Estimate(mean, covariance, male)
