"""Searches along one lean: where what is allowed begins, and the valley that begins there."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol, TypeVar

from shortlever.lifts.deadlift.comfort import MOST_LEAN_RAD

NUDGE_RAD = 1e-3
STRIDE_RAD = 0.12
EXACT_RAD, EXACT_ROOM, MOST_STEPS = 1e-9, 1e-9, 80
ROUGH_RAD = 1e-5  # of where a valley is least: what it is is known to the square of that


class Leaning(Protocol):
    """What leans and costs effort: a pose."""

    @property
    def lean_rad(self) -> float:
        """Of the trunk, forward."""

    @property
    def effort(self) -> float:
        """What it costs."""


P = TypeVar("P", bound=Leaning)


def least_inside(room: Callable[[float], float | None], near: float) -> float | None:
    """Where room turns from below nothing to above it, seen from ``near``; None where it does not.

    Where the legs do not reach (None) the hips are too high: that counts as far inside. Secants kept in a
    bracket; what is returned lies inside.
    """
    low, high = near, near
    below = above = room(near)
    stride = STRIDE_RAD
    while below is None or below >= 0:
        if low <= 0:
            return None if below is None else low
        high, above = low, below
        low = max(low - stride, 0.0)
        below, stride = room(low), 2 * stride
    while above is not None and above < 0:
        if high >= MOST_LEAN_RAD:
            return None
        low, below = high, above
        high = min(high + stride, MOST_LEAN_RAD)
        above, stride = room(high), 2 * stride
    kept = 0  # at which end the last secants landed, and how often
    for _ in range(MOST_STEPS):
        if high - low < EXACT_RAD or (above is not None and above < EXACT_ROOM):
            break
        if above is None:
            middle = (low + high) / 2
        else:
            middle = (low * above - high * below) / (above - below)
            middle = min(max(middle, low + EXACT_RAD / 3), high - EXACT_RAD / 3)
        found = room(middle)
        if found is None or found >= 0:
            high, above, kept = middle, found, max(kept, 0) + 1
            if kept > 1:
                below /= 2
        else:
            low, below, kept = middle, found, min(kept, 0) - 1
            if kept < -1 and above is not None:
                above /= 2
    return None if above is None else high


GOLD = (3 - math.sqrt(5)) / 2


def lower(at: Callable[[float], P | None], lean: float, first: P) -> P:
    """The pose of least effort further over than ``lean``, in the valley that begins there."""
    a, middle, step = lean, first, NUDGE_RAD
    while True:
        step *= 2
        further = at(min(middle.lean_rad + step, MOST_LEAN_RAD))
        if further is None or further.effort >= middle.effort or further.lean_rad >= MOST_LEAN_RAD:
            break
        a, middle = middle.lean_rad, further
    b = min(middle.lean_rad + step, MOST_LEAN_RAD)
    x, best = middle.lean_rad, middle
    for _ in range(40):
        if b - a < ROUGH_RAD:
            break
        t = x + GOLD * (b - x) if b - x > x - a else x - GOLD * (x - a)
        tried = at(t)
        if tried is not None and tried.effort < best.effort:
            a, b = (x, b) if t > x else (a, x)
            x, best = t, tried
        elif t > x:
            b = t
        else:
            a = t
    return best
