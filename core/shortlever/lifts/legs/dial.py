"""Where a setup stands on a dial that moves one thing of it: read back from the places the dial has."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

NEAR_M, NEAR_DEG = 0.015, 4.0  # feet that stand as the suggested: what setting them anew misses (practice)
SAME = 1e-3  # a dial whose ends are no further apart (m) moves nothing


def place_on(places: Sequence[tuple[float, float]], value: float) -> float | None:
    """Where on a dial (0 to 1) a value stands, from ``places`` (dial, value) by their order on the dial; at
    an end where it is beyond it, None where the dial moves nothing.

    >>> place_on([(0.0, 0.18), (0.5, 0.20), (1.0, 0.26)], 0.23), place_on([(0.0, 0.2), (1.0, 0.2)], 0.2)
    (0.75, None)
    """
    if len(places) < 2 or abs(places[-1][1] - places[0][1]) < SAME:
        return None
    rising = places[-1][1] > places[0][1]
    ordered = [(dial, at if rising else -at) for dial, at in places]
    wanted = value if rising else -value
    if wanted <= ordered[0][1]:
        return ordered[0][0]
    for (dial, at), (next_dial, next_at) in pairwise(ordered):
        if wanted <= next_at and next_at > at:
            return round(dial + (next_dial - dial) * (wanted - at) / (next_at - at), 4)
    return ordered[-1][0]
