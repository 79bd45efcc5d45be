"""When sets have decided between two setups: better, worse, or too close to matter; at any look.

Whoever looks after every set and stops at the first answer is wrong more often than a chance of 95 % sounds.
So a winner is named by a measure that may be looked at as often as one likes: the sets must be TIMES as
likely with a difference as with none at all. For two setups that are exactly alike that ratio reaches 25
once in at most 25 trials, however long they run (Ville 1939, memory). It is read off the belief: its density
at no difference before the sets, divided by that after them (Savage and Dickey; Dickey 1971, memory). The
last of the agreed sets is one look, not many, so less is asked of it (``times_at_end``): the wrong winners
of both together stay under 1 in 20 (``tests/reference/test_trials_reference``). The difference must also be
no smaller than the margin that matters to the lifter. "Too close to matter" is a chance of CLOSE_AT that the
difference is within the margin.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shortlever.trials.gauss import Belief, cumulative, density
from shortlever.trials.log import SETS_EACH

BETTER, WORSE, CLOSE, OPEN = "better", "worse", "too close", "open"
TIMES = 25.0
TIMES_AT_END = 4.0  # of the usual number of sets
CLOSE_AT = 0.95
LEAST_SETS = 2  # counted sets of every setup on the list before anything is told or decided (common practice)

Parts = Sequence[tuple[float, Belief]]
Spread = tuple[float, float]  # mean and standard deviation


def times_at_end(sets_each: int) -> float:
    """What is asked of the sets where the last of ``sets_each`` agreed ones is done; more of those who agreed
    to go on, as they look at an end again.

    >>> times_at_end(12), times_at_end(24), times_at_end(240)
    (4.0, 16.0, 25.0)
    """
    return min(TIMES_AT_END * (sets_each / SETS_EACH) ** 2, TIMES)


def between(parts: Parts, before: Belief, one: int, other: int, margin: float, times: float = TIMES) -> str:
    """What the unknown ``one`` is against ``other``: BETTER, WORSE, CLOSE or OPEN. ``margin``: ln; ``times``:
    how much likelier the sets must be with a difference than with none."""
    gap = {one: 1.0, other: -1.0}
    return told([(w, b.contrast(gap)) for w, b in parts], before.contrast(gap), margin, times)


def told(after: Sequence[tuple[float, Spread]], before: Spread, margin: float, times: float = TIMES) -> str:
    """The same of a difference: its mixture (weight, mean and SD) after the sets, and what it was before.

    >>> told([(1.0, (0.06, 0.015))], (0.0, 0.05), 0.02), told([(1.0, (0.004, 0.008))], (0.0, 0.05), 0.02)
    ('better', 'too close')
    >>> told([(1.0, (-0.06, 0.03))], (0.0, 0.05), 0.02)
    'open'
    """
    close = sum(w * (cumulative((margin - m) / sd) - cumulative((-margin - m) / sd)) for w, (m, sd) in after)
    if close >= CLOSE_AT:
        return CLOSE
    middle = sum(w * m for w, (m, _) in after)
    alike = sum(w * density(m / sd) / sd for w, (m, sd) in after)
    if abs(middle) < margin or density(before[0] / before[1]) / before[1] < times * alike:
        return OPEN
    return BETTER if middle > 0 else WORSE


def of_leader(
    parts: Parts, before: Belief, places: Sequence[int], margin: float, times: float = TIMES
) -> Mapping[int, str]:
    """What the leader among some unknowns is against each of the others, by their places."""
    leader = leading(parts, places)
    return {j: between(parts, before, leader, j, margin, times) for j in places if j != leader}


def leading(parts: Parts, places: Sequence[int]) -> int:
    """The place of the highest mean."""
    return max(places, key=lambda i: math.fsum(w * b.mean[i] for w, b in parts))


def settled(states: Sequence[str]) -> bool:
    """Whether nothing is open any more against the leader: each other one is beaten or too close to
    matter."""
    return all(state in (BETTER, CLOSE) for state in states)
