"""The bar path from the chest to lockout, computed.

At each height the comfort limits allow the bar no closer to the head than some y (``limits.nearest_y``). Of
all paths that keep to it, start at the touch point, end over the shoulder line and never brake the bar's
horizontal movement harder than a small acceleration allows, the plan is the one with the least mean moment
arm. With a pressing speed v and a horizontal acceleration a the curvature is at most a / v²; the set of such
 paths is closed under taking the lower of two, so the least one exists and is, in closed form, the
least concave majorant of (bound - curvature z² / 2), with the curvature added back. It comes out as the curve
good pressers show: back and up first, then straight up over the shoulder.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

SEGMENTS = 16  # path rows are SEGMENTS + 1, equally spaced in height
PRESS_SPEED_M_S = 0.35  # mean bar speed of a hard press (common practice, no source)
HORIZONTAL_ACCELERATION_M_S2 = 0.20  # 2 % of gravity (common practice, no source)
CURVATURE_PER_M = HORIZONTAL_ACCELERATION_M_S2 / PRESS_SPEED_M_S**2


def least_path(
    heights_m: Sequence[float], bounds_m: Sequence[float], curvature_per_m: float = CURVATURE_PER_M
) -> list[float]:
    """The least y at each height with y >= bound and second derivative <= curvature; ends stay on the bounds.

    ``heights_m`` ascending, ``bounds_m`` of the same length (m); returns y in m.
    """
    half = curvature_per_m / 2
    g = [b - half * z * z for z, b in zip(heights_m, bounds_m, strict=True)]
    hull: list[tuple[float, float, int]] = []
    for i, (z, here) in enumerate(zip(heights_m, g, strict=True)):
        while len(hull) > 1:
            za, ga, _ = hull[-2]
            zb, gb, _ = hull[-1]
            if (gb - ga) * (z - za) > (here - ga) * (zb - za):
                break
            hull.pop()
        hull.append((z, here, i))
    path = list(bounds_m)
    for (za, ga, a), (zb, gb, b) in pairwise(hull):
        if b > a + 1:
            slope = (gb - ga) / (zb - za)
            for i in range(a + 1, b):
                z = heights_m[i]
                path[i] = ga + slope * (z - za) + half * z * z
    return path


def mean_arm_m(heights_m: Sequence[float], path_m: Sequence[float]) -> float:
    """Mean moment arm: the integral of |y| over height divided by the range of motion (trapezoid rule), m."""
    area, last = 0.0, len(path_m) - 1
    for i in range(last):
        area += (abs(path_m[i]) + abs(path_m[i + 1])) * (heights_m[i + 1] - heights_m[i])
    return area / (2 * (heights_m[last] - heights_m[0]))
