"""Names moved apart beside an upright: the least squares that an independent routine finds."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import isotonic_regression

from shortlever.draw.wall import moved_apart


@pytest.mark.parametrize("seed", range(30))
def test_places_are_the_isotonic_regression(seed: int) -> None:
    """Best, Chakravarti 1990, Math Program 47:425 (memory): with bounds it is the unbounded one, clipped."""
    rng = random.Random(seed)
    count, least, low, high = rng.randint(1, 25), 19.0, 20.0, 520.0
    wanted = sorted(rng.choice((rng.uniform(-50, 600), rng.gauss(300, 20))) for _ in range(count))
    room = least * np.arange(count)
    best = np.clip(isotonic_regression(np.array(wanted) - room).x, low, high - room[-1]) + room
    assert moved_apart(wanted, least, low, high) == pytest.approx(best.tolist())
