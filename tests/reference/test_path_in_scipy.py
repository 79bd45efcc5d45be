"""The bar path against linear programming: least mean arm under bounds and curvature."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog

from shortlever import Body, Tape
from shortlever.lifts.bench.path import CURVATURE_PER_M, SEGMENTS, least_path, mean_arm_m
from shortlever.lifts.bench.press import Press


def by_linear_program(heights: np.ndarray, bounds: np.ndarray, curvature: float) -> np.ndarray:
    """Least sum of y over rows with y >= bound, second differences <= curvature, ends on their bounds."""
    n = len(heights)
    rows, limits = [], []
    for i in range(1, n - 1):
        left, right = heights[i] - heights[i - 1], heights[i + 1] - heights[i]
        row = np.zeros(n)
        row[i - 1], row[i + 1] = 1 / left, 1 / right
        row[i] = -(1 / left + 1 / right)
        rows.append(row)
        limits.append(curvature * (left + right) / 2)
    ends = [(b, b) if i in (0, n - 1) else (b, None) for i, b in enumerate(bounds)]
    found = linprog(np.ones(n), A_ub=np.array(rows), b_ub=np.array(limits), bounds=ends, method="highs")
    assert found.success
    return np.asarray(found.x)


@pytest.mark.parametrize("equal", [True, False], ids=["equal steps", "any steps"])
def test_random_bounds(equal: bool) -> None:
    rng = np.random.default_rng(11)
    for _ in range(60):
        count = int(rng.integers(4, 40))
        heights = np.linspace(0.1, 0.1 + rng.uniform(0.2, 0.5), count)
        if not equal:
            heights = np.sort(rng.uniform(heights[0], heights[-1], count))
        bounds = np.maximum(
            0.0, rng.uniform(0.02, 0.2) * (1 - 2 * np.arange(count) / count) + rng.uniform(-0.03, 0.03, count)
        )
        bounds[-1] = 0.0
        curvature = float(rng.choice([CURVATURE_PER_M, 0.1, 10.0]))
        path = least_path(list(heights), list(bounds), curvature)
        assert np.array(path) == pytest.approx(by_linear_program(heights, bounds, curvature), abs=1e-7)


def test_paths_of_presses() -> None:
    """No path inside the same bounds has a smaller mean arm, to a micrometre."""
    rng = np.random.default_rng(12)
    for _ in range(25):
        size = rng.uniform(0.85, 1.15)
        press = Press(Body.from_tape(Tape(arm_length=0.66 * size, shoulder_breadth=0.40 * size)))
        grip = float(rng.uniform(0.45, 0.81))
        frame = press.frame(grip, press.nearest_touch_m(grip) + float(rng.uniform(0, 0.05)))
        best = by_linear_program(np.array(frame.heights_m), np.array(frame.bounds_m), CURVATURE_PER_M)
        path = least_path(frame.heights_m, frame.bounds_m)
        assert len(path) == SEGMENTS + 1
        assert np.array(path) == pytest.approx(best, abs=1e-7)
        assert mean_arm_m(frame.heights_m, path) <= mean_arm_m(frame.heights_m, list(best)) + 1e-6
