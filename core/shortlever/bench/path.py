"""The bar path from the chest to lockout, computed.

At each height the comfort limits allow the bar no closer to the head than some y (``limits.nearest_y``). Of
all paths that keep to that, start at the touch point, end over the shoulder line and never brake the bar's
horizontal movement harder than a small acceleration allows, the plan is the one with the least mean moment
arm. With a pressing speed v and a horizontal acceleration a the path's curvature is at most a / v²; the set of
such paths is closed under taking the lower of two, so the least one exists and is, in closed form, the
least concave majorant of (bound - curvature z² / 2), with the curvature added back. It comes out as the curve
good pressers show: back and up first, then straight up over the shoulder.
"""

from __future__ import annotations

from collections.abc import Sequence

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
    hull: list[int] = []
    for i, z in enumerate(heights_m):
        while len(hull) > 1:
            a, b = hull[-2], hull[-1]
            if (g[b] - g[a]) * (z - heights_m[a]) <= (g[i] - g[a]) * (heights_m[b] - heights_m[a]):
                hull.pop()
            else:
                break
        hull.append(i)
    path: list[float] = []
    for a, b in zip(hull, hull[1:], strict=False):
        slope = (g[b] - g[a]) / (heights_m[b] - heights_m[a])
        for i in range(a, b):
            z = heights_m[i]
            path.append(g[a] + slope * (z - heights_m[a]) + half * z * z)
    path.append(bounds_m[-1])
    return path


def mean_arm_m(heights_m: Sequence[float], path_m: Sequence[float]) -> float:
    """Mean moment arm: the integral of |y| over height divided by the range of motion (trapezoid rule), m."""
    area = sum(
        (abs(path_m[i]) + abs(path_m[i + 1])) / 2 * (heights_m[i + 1] - heights_m[i])
        for i in range(len(heights_m) - 1)
    )
    return area / (heights_m[-1] - heights_m[0])
