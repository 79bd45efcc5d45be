"""A fair order of sets: no setup is favoured by coming earlier in the session.

A block runs through the candidates once and back again (A B B A; A B C C B A; A B C D D C B A). Places i and
2n + 1 - i of a block of 2n hold the same candidate, so each candidate's mean place is (2n + 1) / 2, the
middle of the block. A drift a + b x place therefore adds the same a + b x middle to the mean of every
candidate, and differences of means are free of it, exactly. Blocks after one another keep this, each with its
own middle.

The next block starts one candidate later, so that over as many blocks as candidates everyone has started,
finished and stood in each place equally often (a Latin square). With four candidates the way out is A B D C:
turned round, each candidate then follows each other one equally often (Williams 1949, Aust J Sci Res A 2:149,
memory), so that what a hard set leaves behind is shared too.
"""

from __future__ import annotations

from collections.abc import Sequence

from shortlever.errors import InputError
from shortlever.say import Said

FEWEST, MOST = 2, 4
_WAY_OUT = {2: (0, 1), 3: (0, 1, 2), 4: (0, 1, 3, 2)}


def fair_order(candidates: Sequence[str], session: int = 0) -> tuple[str, ...]:
    """The candidates in a fair order for one block: two sets of each.

    ``session`` counts the sessions, or blocks, before this one, so that the start alternates. Raises
    InputError unless there are two to four different candidates.

    >>> fair_order(["A", "B"]), fair_order(["A", "B"], session=1)
    (('A', 'B', 'B', 'A'), ('B', 'A', 'A', 'B'))
    >>> "".join(fair_order(["A", "B", "C"], session=1))
    'BCAACB'
    """
    n = len(candidates)
    if not FEWEST <= n <= MOST or len(set(candidates)) != n:
        raise InputError(
            "candidates",
            "out_of_range",
            ", ".join(candidates)[:24],
            Said("plan_setups", {"given": n, "different": len(set(candidates))}),
            Said("plan_setups_remedy"),
        )
    out = [candidates[(place + session) % n] for place in _WAY_OUT[n]]
    return (*out, *reversed(out))
