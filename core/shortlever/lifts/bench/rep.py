"""One press of one setup, row by row: where the bar is, how the arms are, and where it is hardest."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shortlever.lifts.bench.path import SEGMENTS, mean_arm_m
from shortlever.lifts.bench.pose import Pose

LEVEL = 0.999  # of the largest row: others as near to it are looked around too


@dataclass(frozen=True)
class Rep:
    """One press: bar heights and path (m from the shoulder line at the start), poses of each arm per row.

    ``poses[i]`` holds the right and left pose (the same object for a symmetric lifter); ``inside[i]`` tells
    whether row i satisfies the comfort limits.
    """

    heights_m: list[float]
    path_m: list[float]
    bounds_m: list[float]
    poses: list[tuple[Pose, Pose]]
    inside: list[bool]

    @property
    def range_of_motion_m(self) -> float:
        """Bar height at lockout minus bar height at the chest, m."""
        return self.heights_m[-1] - self.heights_m[0]

    @property
    def mean_moment_arm_m(self) -> float:
        """Mean of |y| over the press, m."""
        return mean_arm_m(self.heights_m, self.path_m)

    def hardest(self) -> tuple[float, float]:
        """Peak joint effort of the press (m per unit of strength) and its height above the chest (m)."""
        efforts = [max(a.effort, b.effort) for a, b in self.poses]
        last = len(efforts) - 1
        humps = [i for i, e in enumerate(efforts) if efforts[max(i - 1, 0)] <= e >= efforts[min(i + 1, last)]]
        effort, row = max(top_of(efforts.__getitem__, i) for i in humps)
        return effort, self.range_of_motion_m * row / SEGMENTS


def top_of(effort: Callable[[int], float], i: int) -> tuple[float, float]:
    """Value and row of the top of a hump of effort whose largest row is ``i``.

    Between rows effort runs along cubics with the slopes of the rows' differences (Catmull-Rom; of second
    order at the ends), so that the top does not step from row to row as a grip or a tape number changes.
    """

    def slope(j: int) -> float:
        if j == 0:
            return (4 * effort(1) - 3 * effort(0) - effort(2)) / 2
        if j == SEGMENTS:
            return (3 * effort(j) - 4 * effort(j - 1) + effort(j - 2)) / 2
        return (effort(j + 1) - effort(j - 1)) / 2

    best, place, low, high = effort(i), float(i), i, i
    while low > 0 and effort(low - 1) > LEVEL * best:
        low -= 1
    while high < SEGMENTS and effort(high + 1) > LEVEL * best:
        high += 1
    for a in range(max(low - 1, 0), min(high + 1, SEGMENTS)):
        start, rise, first, last = effort(a), effort(a + 1) - effort(a), slope(a), slope(a + 1)
        second, third = 3 * rise - 2 * first - last, first + last - 2 * rise
        root = math.sqrt(max(second * second - 3 * third * first, 0.0))
        # where the cubic's slope, first + 2 second t + 3 third t^2, falls through zero
        over, under = (-second - root, 3 * third) if second > 0 else (first, root - second)
        t = over / under if under else 0.0
        value = start + t * (first + t * (second + t * third))
        if 0 < t < 1 and value > best:
            best, place = value, a + t
    return best, place
