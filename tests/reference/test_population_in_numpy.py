"""The conditional normal against the block formula in numpy, and its calibration on drawn people."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from shortlever.person.population import Observation, condition, estimate
from shortlever.person.population_data import COVARIANCE, MEAN, ORDER
from tests.reference import draws

SEXES = ["male", "female"]


def random_observations(
    rng: np.random.Generator, sex: str
) -> tuple[list[Observation], np.ndarray, np.ndarray, np.ndarray]:
    """1 to 8 scalars, each a sum of one to three dimensions, around what a drawn person would show."""
    n = len(ORDER)
    person = draws.normal(rng, MEAN[sex], COVARIANCE[sex])
    h = np.zeros((int(rng.integers(1, 9)), n))
    for row in h:
        row[rng.choice(n, int(rng.integers(1, 4)), replace=False)] = rng.uniform(0.2, 1.5)
    sd = rng.uniform(1e-3, 2e-2, len(h))
    value = h @ person + sd * rng.standard_normal(len(h))
    seen = [
        Observation({ORDER[j]: row[j] for j in np.flatnonzero(row)}, float(v), float(s))
        for row, v, s in zip(h, value, sd, strict=True)
    ]
    return seen, h, value, sd


@pytest.mark.parametrize("sex", SEXES)
def test_against_the_block_formula(sex: str) -> None:
    """m + P H' (H P H' + R)^-1 (y - H m), P - P H' (H P H' + R)^-1 H P, and the density of y."""
    rng = np.random.default_rng(5)
    m, p = np.array(MEAN[sex]), np.array(COVARIANCE[sex])
    scale = np.sqrt(np.diag(p))
    for _ in range(200):
        seen, h, value, sd = random_observations(rng, sex)
        s = h @ p @ h.T + np.diag(sd**2)
        gain = np.linalg.solve(s, h @ p).T
        mean, covariance, likelihood = condition(MEAN[sex], COVARIANCE[sex], seen)
        assert np.max(np.abs(np.array(mean) - (m + gain @ (value - h @ m))) / scale) < 1e-7
        assert np.max(np.abs(np.array(covariance) - (p - gain @ h @ p)) / np.outer(scale, scale)) < 1e-7
        assert likelihood == pytest.approx(
            stats.multivariate_normal(h @ m, s).logpdf(value), rel=1e-7, abs=1e-7
        )


def test_mixture_against_numpy() -> None:
    rng = np.random.default_rng(6)
    for _ in range(50):
        seen, h, value, sd = random_observations(rng, str(rng.choice(SEXES)))
        parts = []
        for sex in SEXES:
            m, p = np.array(MEAN[sex]), np.array(COVARIANCE[sex])
            s = h @ p @ h.T + np.diag(sd**2)
            gain = np.linalg.solve(s, h @ p).T
            log = stats.multivariate_normal(h @ m, s).logpdf(value)
            parts.append((log, m + gain @ (value - h @ m), p - gain @ h @ p))
        logs = np.array([log for log, _, _ in parts])
        weight = np.exp(logs - np.logaddexp(*logs))
        mean = sum(w * m for w, (_, m, _) in zip(weight, parts, strict=True))
        second = sum(w * (p + np.outer(m, m)) for w, (_, m, p) in zip(weight, parts, strict=True))
        found = estimate(seen)
        assert found.male == pytest.approx(weight[0], abs=1e-9)
        assert np.array(found.mean) == pytest.approx(mean, rel=1e-7)
        scale = np.sqrt(np.diag(np.array(COVARIANCE["male"])))
        miss = np.array(found.covariance) - (second - np.outer(mean, mean))
        assert np.max(np.abs(miss) / np.outer(scale, scale)) < 1e-6


def test_ninety_percent_intervals_cover_ninety_percent_of_drawn_people() -> None:
    """People drawn from the table, tape error and all; the estimate's own spread is to be believed."""
    rng = np.random.default_rng(7)
    z = 1.6448536269514722
    keys = ("shoulder_breadth", "stature")
    hidden = ("upper_arm", "forearm_to_grip", "chest_depth", "chest_drop", "body_mass")
    inside = total = 0
    for _ in range(600):
        sex = str(rng.choice(SEXES))
        person = draws.normal(rng, MEAN[sex], COVARIANCE[sex])
        seen = [
            Observation({k: 1.0}, float(person[ORDER.index(k)] + 0.005 * rng.standard_normal()), 0.005)
            for k in keys
        ]
        found = estimate(seen, sex)
        for name in hidden:
            i = ORDER.index(name)
            inside += abs(person[i] - found.mean[i]) <= z * found.sd(name)
            total += 1
    assert 0.88 <= inside / total <= 0.92


@pytest.mark.parametrize("sex", SEXES)
def test_covariance_is_positive_definite(sex: str) -> None:
    assert np.min(np.linalg.eigvalsh(np.array(COVARIANCE[sex]))) > 0
