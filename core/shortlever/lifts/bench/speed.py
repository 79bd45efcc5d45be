"""The bar's speed over one press with the heaviest load that goes up once.

What a lifter can push up falls with effort at that height and with the bar's speed: how with speed is one
published curve of the bench press, load against mean propulsive speed (``held_share``). Its load at rest
and its speed without load belong to the mean of the press. Where the joints' effort is e times the mean,
the same strength pushes 1 / e of that force and, work being the same at bar and joints, the joints turn 1
/ e times as fast for the same bar speed: force = strength / e * held_share(speed / e). The bar starts at
rest on the chest; strength is what brings it up at the curve's own mean speed of the heaviest load.
Nothing is fitted to the sticking region.

Left out: the rebound from lowering, the arms' inertia, tiring, and that lifters stop the bar before
lockout, so the curve ends too quick.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from shortlever.lifts.bench.rep import Rep
from shortlever.units import GRAVITY_M_S2

# Percent of the heaviest load against mean propulsive speed v: 112.33 - 73.501 v + 8.4326 v², 120
# trained men, R² 0.98 (González-Badillo and Sánchez-Medina 2010, Int J Sports Med 31:347; abstract
# read, the three numbers of the curve from memory). Zero at 1.98 m/s, 100 % at 0.17 m/s (the
# abstract: 0.16, SD 0.04).
AT_REST, PER_SPEED, PER_SQUARE = 1.1233, 0.73501, 0.084326
FREE_SPEED_M_S = (PER_SPEED - math.sqrt(PER_SPEED**2 - 4 * PER_SQUARE * AT_REST)) / (2 * PER_SQUARE)
HEAVIEST_SPEED_M_S = (PER_SPEED - math.sqrt(PER_SPEED**2 - 4 * PER_SQUARE * (AT_REST - 1))) / (2 * PER_SQUARE)
LEAST_EFFORT = 0.3  # of the mean: with arms nearly straight over the shoulders it comes near nothing
STEPS = 2  # between two rows
HALVINGS = 15


@dataclass(frozen=True)
class Speeds:
    """Bar speed (m/s) at equally spaced heights from the chest to lockout."""

    stroke_m: float
    speeds_m_s: list[float]

    def _at(self, i: int) -> tuple[float, float]:
        """Height (m) and speed of the extreme near step i: the top of the parabola through three steps."""
        v = self.speeds_m_s
        step = self.stroke_m / (len(v) - 1)
        if not 0 < i < len(v) - 1:
            return step * i, v[i]
        slope, bend = (v[i + 1] - v[i - 1]) / 2, v[i - 1] - 2 * v[i] + v[i + 1]
        off = -slope / bend if bend else 0.0
        return step * (i + off), v[i] + slope * off / 2

    @property
    def slowest(self) -> tuple[float, float] | None:
        """Height above the chest (m) and speed where the bar is slowest after its first peak, or None."""
        peak, v = self._peak_step(), self.speeds_m_s
        return None if peak is None else self._at(next(i for i in range(peak, len(v)) if v[i + 1] > v[i]))

    def _peak_step(self) -> int | None:
        """The first step after which the bar loses speed and gains it again, None without one."""
        v = self.speeds_m_s
        peak = next((i for i in range(1, len(v) - 1) if v[i + 1] < v[i]), None)
        return peak if peak is not None and any(b > a for a, b in pairwise(v[peak:])) else None

    @property
    def first_peak(self) -> tuple[float, float] | None:
        """Height above the chest (m) and speed of the first peak, None where the bar does not slow down."""
        step = self._peak_step()
        return None if step is None else self._at(step)

    def beats(self, every_s: float) -> list[float]:
        """Heights above the chest (m) of the bar after each such time, chest and lockout left out."""
        step, found, now = self.stroke_m / (len(self.speeds_m_s) - 1), list[float](), 0.0
        for i, (a, b) in enumerate(pairwise(self.speeds_m_s)):
            then = now + 2 * step / (a + b)
            while every_s * (len(found) + 1) < then:
                found.append(step * (i + (every_s * (len(found) + 1) - now) / (then - now)))
            now = then
        return found


def held_share(speed_m_s: float) -> float:
    """Load that can be held at a bar speed, of the load at rest."""
    if speed_m_s >= FREE_SPEED_M_S:
        return 0.0
    return 1 - (PER_SPEED - PER_SQUARE * speed_m_s) * speed_m_s / AT_REST


def _driven(efforts: list[float], step_m: float, strength: float) -> list[float] | None:
    """Speeds at the given efforts (of the mean, one every half step) from rest, None where the bar stops."""

    def gain(effort: float, half_square: float) -> float:
        speed = math.sqrt(2 * half_square) if half_square > 0 else 0.0
        return GRAVITY_M_S2 * (strength / effort * held_share(speed / effort) - 1)

    half, speeds = 0.0, [0.0]  # half the square of speed: its rate over height is the acceleration
    for before, middle, after in zip(efforts[:-2:2], efforts[1:-1:2], efforts[2::2], strict=True):
        first = gain(before, half)
        second = gain(middle, half + step_m / 2 * first)
        third = gain(middle, half + step_m / 2 * second)
        last = gain(after, half + step_m * third)
        half += step_m * (first + 2 * second + 2 * third + last) / 6
        if half <= 0:
            return None
        speeds.append(math.sqrt(2 * half))
    return speeds


def bar_speeds(rep: Rep) -> Speeds:
    """The bar's speed along a press with the heaviest load that this strength moves up once."""
    rows = [max(a.effort, b.effort) for a, b in rep.poses]
    mean = (sum(rows) - (rows[0] + rows[-1]) / 2) / (len(rows) - 1)
    parts = 2 * STEPS
    rows = [max(effort / mean, LEAST_EFFORT) for effort in rows]
    efforts = [a + (b - a) * part / parts for a, b in pairwise(rows) for part in range(parts)]
    efforts.append(rows[-1])
    stroke, steps = rep.range_of_motion_m, STEPS * (len(rows) - 1)

    def mean_speed(speeds: list[float]) -> float:
        return steps / sum(2 / (a + b) for a, b in pairwise(speeds))

    low, high = efforts[0], 4 * max(efforts)
    best = _driven(efforts, stroke / steps, high)
    for _ in range(HALVINGS):
        strength = (low + high) / 2
        speeds = _driven(efforts, stroke / steps, strength)
        if speeds is None or mean_speed(speeds) < HEAVIEST_SPEED_M_S:
            low = strength
        else:
            high, best = strength, speeds
    assert best is not None  # four times the hardest effort always goes up
    return Speeds(stroke, best)
