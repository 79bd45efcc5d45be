"""Polynomials through values at a few places of a stretch that runs from 0 to 1, the ends included."""

from __future__ import annotations

import math
from collections.abc import Sequence

NODES = 5
PLACES = [0.5 - 0.5 * math.cos(math.pi * i / (NODES - 1)) for i in range(NODES)]
Polynomial = list[float]  # NODES coefficients, the constant first


def lagrange(places: Sequence[float], i: int) -> list[float]:
    """The coefficients of the polynomial that is 1 at one of the places and 0 at the others."""
    found = [1.0]
    for b in (*places[:i], *places[i + 1 :]):
        shifted = zip([0.0, *found], [*found, 0.0], strict=True)
        found = [(up - b * here) / (places[i] - b) for up, here in shifted]
    return found


THROUGH = list(zip(*(lagrange(PLACES, i) for i in range(NODES)), strict=True))


def through(values: Sequence[float]) -> Polynomial:
    """The polynomial through values at PLACES.

    >>> round(read(through([x**4 for x in PLACES]), 0.3), 12) == round(0.3**4, 12)
    True
    """
    v, w, x, y, z = values
    return [v * a + w * b + x * c + y * d + z * e for a, b, c, d, e in THROUGH]


def read(polynomial: Polynomial, u: float) -> float:
    """A polynomial at u."""
    a, b, c, d, e = polynomial
    return a + u * (b + u * (c + u * (d + u * e)))
