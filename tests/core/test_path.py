"""The bar path: the least function over its bounds whose curvature stays small."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from shortlever import Body
from shortlever.lifts.bench.path import CURVATURE_PER_M, SEGMENTS, least_path, mean_arm_m
from shortlever.lifts.bench.press import Press
from tests.core.by_hand import diagonal

ROUNDING = 1e-12


def random_bounds(rng: random.Random) -> tuple[list[float], list[float]]:
    """Equal steps over a press of 25 to 45 cm; bounds fall with bumps from a touch to 0."""
    stroke = rng.uniform(0.25, 0.45)
    heights = [0.2 + stroke * i / SEGMENTS for i in range(SEGMENTS + 1)]
    touch = rng.uniform(0.02, 0.2)
    bounds = [
        max(0.0, touch * (1 - 2 * i / SEGMENTS) + rng.uniform(-0.03, 0.03)) for i in range(SEGMENTS + 1)
    ]
    bounds[0], bounds[-1] = touch, 0.0
    return heights, bounds


def second_differences(heights: list[float], path: list[float]) -> list[float]:
    """d2y/dz2 at inner rows, for rows at any distances."""
    found = []
    for i in range(1, len(path) - 1):
        a, b, c = heights[i - 1 : i + 2]
        left, right = (path[i] - path[i - 1]) / (b - a), (path[i + 1] - path[i]) / (c - b)
        found.append(2 * (right - left) / (c - a))
    return found


def relaxed(heights: list[float], bounds: list[float], curvature: float) -> list[float]:
    """The same path without geometry: lift each inner row until y >= bound and y'' <= curvature, and repeat.

    Lifting from the bounds never passes the least solution, so where it stops is the least one.
    """
    step = heights[1] - heights[0]
    y = list(bounds)
    for _ in range(20_000):
        moved = 0.0
        for i in range(1, len(y) - 1):
            to = max(bounds[i], (y[i - 1] + y[i + 1] - curvature * step * step) / 2)
            moved = max(moved, to - y[i])
            y[i] = to
        if moved < 1e-14:
            return y
    raise AssertionError("did not settle")


@pytest.mark.parametrize("curvature", [CURVATURE_PER_M, 0.0, 0.3, 20.0])
def test_least_path_against_relaxation(curvature: float) -> None:
    rng = random.Random(31)
    for _ in range(15):
        heights, bounds = random_bounds(rng)
        assert least_path(heights, bounds, curvature) == pytest.approx(
            relaxed(heights, bounds, curvature), abs=1e-9
        )


def test_path_keeps_bounds_curvature_and_ends() -> None:
    rng = random.Random(32)
    for _ in range(60):
        heights, bounds = random_bounds(rng)
        path = least_path(heights, bounds)
        assert path[0] == bounds[0] and path[-1] == bounds[-1]
        assert all(y >= bound - ROUNDING for y, bound in zip(path, bounds, strict=True))
        assert all(bend <= CURVATURE_PER_M + 1e-8 for bend in second_differences(heights, path))


def test_path_of_rows_at_unequal_distances() -> None:
    rng = random.Random(33)
    for _ in range(40):
        heights, bounds = random_bounds(rng)
        heights = sorted(rng.uniform(heights[0], heights[-1]) for _ in heights)
        path = least_path(heights, bounds)
        assert all(y >= bound - ROUNDING for y, bound in zip(path, bounds, strict=True))
        for bend, y, bound in zip(second_differences(heights, path), path[1:], bounds[1:], strict=False):
            assert bend <= CURVATURE_PER_M + 1e-6
            assert y == pytest.approx(bound, abs=1e-9) or bend == pytest.approx(CURVATURE_PER_M, abs=1e-4)


def test_no_lower_path_exists() -> None:
    """Wherever the path is above its bound it bends as hard as it may: lowering one row would break that."""
    rng = random.Random(34)
    for _ in range(40):
        heights, bounds = random_bounds(rng)
        path = least_path(heights, bounds)
        bends = second_differences(heights, path)
        for i in range(1, SEGMENTS):
            assert path[i] - bounds[i] < 1e-9 or bends[i - 1] == pytest.approx(CURVATURE_PER_M, abs=1e-6)


def test_a_path_by_hand() -> None:
    """No bound between ends 0.10 and 0, curvature 2, stroke 0.4: y = z^2 + b z + 0.10 with y(0.4) = 0,
    so b = -0.65; at the middle 0.04 - 0.13 + 0.10 = 0.01."""
    heights = [0.1 * i for i in range(5)]
    path = least_path(heights, [0.10, -9.0, -9.0, -9.0, 0.0], 2.0)
    assert path == pytest.approx([0.10, 0.045, 0.01, -0.005, 0.0], abs=ROUNDING)


def test_curvature_is_acceleration_over_speed_squared() -> None:
    """0.20 m/s^2 at 0.35 m/s (both common practice, no source): 0.20 / 0.1225 = 1.632653 per metre."""
    assert CURVATURE_PER_M == pytest.approx(1.632653, abs=1e-6)


def test_mean_arm_by_hand() -> None:
    """Triangles of 0.1 and 0.05 over 0.2 and 0.3 m, the second on the other side: (0.01 + 0.0075) / 0.5."""
    assert mean_arm_m([1.0, 1.2, 1.5], [0.1, 0.0, -0.05]) == pytest.approx(0.035)


def test_back_and_up_first_then_straight_up(lifters: dict[str, Body]) -> None:
    """The curve of good pressers: y falls all the way, most in the lower half (common practice)."""
    for body in lifters.values():
        press = Press(body)
        rep = press.rep(0.65, press.nearest_touch_m(0.65))
        path = rep.path_m
        assert all(a >= b - 1e-9 for a, b in pairwise(path))
        half = SEGMENTS // 2
        assert path[0] - path[half] > 1.5 * (path[half] - path[-1])


def test_curve_has_a_smaller_mean_arm_than_the_straight_diagonal(lifters: dict[str, Body]) -> None:
    """B15 (common practice). Along the diagonal the arm falls evenly from the touch to 0."""
    for body in lifters.values():
        press = Press(body)
        for grip in (0.5, 0.65, 0.8):
            for extra in (0.0, 0.03):
                touch = press.nearest_touch_m(grip) + extra
                curved, straight = press.rep(grip, touch), diagonal(press, grip, touch)
                assert curved.path_m[0] == straight.path_m[0] and curved.path_m[-1] == straight.path_m[-1]
                assert curved.mean_moment_arm_m < straight.mean_moment_arm_m
