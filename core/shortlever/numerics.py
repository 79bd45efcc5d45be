"""The least of a valley and the edge of what is allowed, for searches along one number."""

from __future__ import annotations

import math
from collections.abc import Callable

Z90 = 1.6448536269514722  # two-sided 90 % of the normal distribution


def minimum(f: Callable[[float], float], low: float, high: float, tolerance: float) -> tuple[float, float]:
    """Argument and value of the least of a unimodal function on [low, high] (golden section with parabolas).

    Brent 1973, Algorithms for Minimization without Derivatives, chapter 5. The ends are compared too.
    """
    golden = 0.5 * (3 - math.sqrt(5))
    a, b = low, high
    x = w = v = a + golden * (b - a)
    fx = fw = fv = f(x)
    step = last = 0.0
    while max(x - a, b - x) > 2 * tolerance:
        middle = (a + b) / 2
        p = q = 0.0
        if abs(last) > tolerance:
            r = (x - w) * (fx - fv)
            q = (x - v) * (fx - fw)
            p = (x - v) * q - (x - w) * r
            q = 2 * (q - r)
            p, q = (-p, q) if q > 0 else (p, -q)
        before, last = last, step
        if q and abs(p) < abs(q * before / 2) and a + tolerance < x + p / q < b - tolerance:
            step = p / q
        else:
            last = (b if x < middle else a) - x
            step = golden * last
        u = x + (step if abs(step) >= tolerance else math.copysign(tolerance, step))
        fu = f(u)
        if fu <= fx:
            a, b = (x, b) if u >= x else (a, x)
            v, w, x, fv, fw, fx = w, x, u, fw, fx, fu
        else:
            a, b = (u, b) if u < x else (a, u)
            if fu <= fw or w == x:
                v, w, fv, fw = w, u, fw, fu
            elif fu <= fv or v in (x, w):
                v, fv = u, fu
    for end in (low, high):
        fe = f(end)
        if fe < fx:
            x, fx = end, fe
    return x, fx


def crossing(
    room: Callable[[float], float], inside: float, outside: float, close: float = 1e-5, apart: float = 1e-7
) -> float:
    """Where a function that is positive at ``inside`` reaches zero toward ``outside`` (or ``outside``).

    As near as the function is from 0 to ``close``, or the place known to ``apart``.
    """
    a, b = inside, outside
    room_b = room(b)
    if room_b > -1e-9:
        return b
    room_a = room(a)
    if room_a <= 0:
        return a
    for _ in range(40):  # false position, Illinois variant
        c = b - room_b * (b - a) / (room_b - room_a)
        room_c = room(c)
        if 0 <= room_c < close or abs(b - a) < apart:
            return c if room_c >= 0 else a
        if room_c > 0:
            a, room_a = c, room_c
            room_b /= 2
        else:
            b, room_b = c, room_c
            room_a /= 2
    return a
