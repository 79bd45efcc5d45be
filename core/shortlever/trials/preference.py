"""What the sets teach the preference dial of the fit screen (0: shortest stroke, 1: shortest moment arm).

The fit screen gives up stroke and arm alike: (1 - p) x 4 x ln(stroke / shortest) = p x ln(arm / shortest).
Between two setups the dial turns where the sums (1 - p) x 4 x ln(stroke) + p x ln(arm) are the same; over p
such a sum is a straight line for each setup, so every candidate is the dial's choice on one stretch of 0 to
1, or nowhere. With every p equally likely before, and the chance of each candidate to be best from the trial,
the dial is the posterior mean of p: the middles of the stretches, weighed by the chances, kept inside the
winner's stretch so that the dial chooses what won.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

STROKE_WEIGHT = 4.0  # as in the fit screen's objective
LEAST_ARM_M = 1e-4
APART = 0.05  # of the dial, nearer than which two setups say nothing about it (assumption)
SHORTEST_STRETCH = 0.02  # a winner that the dial chooses on less than this says nothing about it


def stretches(setups: Sequence[tuple[float, float]]) -> list[tuple[float, float] | None]:
    """Where on the dial each setup (stroke m, mean arm m) is the choice; None: nowhere.

    >>> [[round(end, 2) for end in stretch] for stretch in stretches([(0.36, 0.11), (0.34, 0.14)])]
    [[0.49, 1.0], [0.0, 0.49]]
    """
    ends = [(STROKE_WEIGHT * math.log(stroke), math.log(max(arm, LEAST_ARM_M))) for stroke, arm in setups]
    found: list[tuple[float, float] | None] = []
    for i, (stroke, arm) in enumerate(ends):
        low, high = 0.0, 1.0
        for j, (other_stroke, other_arm) in enumerate(ends):
            if i == j:
                continue
            at_0, at_1 = other_stroke - stroke, other_arm - arm  # how much worse the other one is
            if (at_0 < 0 and at_1 < 0) or (at_0 == at_1 == 0 and j < i):
                low, high = 1.0, 0.0
            elif at_0 < 0:
                low = max(low, -at_0 / (at_1 - at_0))
            elif at_1 < 0:
                high = min(high, at_0 / (at_0 - at_1))
        found.append((low, high) if high - low > SHORTEST_STRETCH else None)
    return found


def implied_preference(
    setups: Sequence[tuple[float, float]], chances: Sequence[float], best: int | None
) -> float | None:
    """The dial 0 to 1 that the trial implies, or None where it cannot tell.

    ``setups`` are (stroke m, mean arm m), ``chances`` each one's chance to be best, ``best`` the place of the
    one the trial decided for (None: not decided). None too where the dial would choose the winner nowhere
    (the sets speak for something the dial does not hold) or everywhere (it beats the others in both).

    >>> pair = [(0.36, 0.11), (0.34, 0.14)]
    >>> round(implied_preference(pair, [0.96, 0.04], 0), 2), implied_preference(pair, [0.8, 0.2], None)
    (0.72, None)
    """
    return None if best is None else _implied(stretches(setups), chances, best)


def implied_place(dials: Sequence[float], chances: Sequence[float], best: int | None) -> float | None:
    """The same of setups that stand on the dial themselves: each is the choice where it is the nearest.

    None too where another setup stands as near to the winner as makes no difference.

    >>> implied_place([0.5, 0.9], [0.04, 0.96], 1), implied_place([0.5, 0.52], [0.04, 0.96], 1)
    (0.83, None)
    """
    if best is None or any(abs(at - dials[best]) < APART for i, at in enumerate(dials) if i != best):
        return None
    order = sorted(set(dials))
    ends = [0.0, *((a + b) / 2 for a, b in pairwise(order)), 1.0]
    where = [(ends[order.index(at)], ends[order.index(at) + 1]) for at in dials]
    found = _implied(where, chances, best)
    return None if found is None else round(found, 6)


def _implied(
    where: Sequence[tuple[float, float] | None], chances: Sequence[float], best: int
) -> float | None:
    """The middles of the stretches, weighed by the chances, inside the winner's."""
    own = where[best]
    if own is None or own == (0.0, 1.0):
        return None
    weighed = [(chance, s) for chance, s in zip(chances, where, strict=True) if s is not None]
    dial = sum(c * (s[0] + s[1]) / 2 for c, s in weighed) / sum(c for c, _ in weighed)
    return min(max(dial, own[0]), own[1])
