"""How long a pull takes here: both styles, and with intervals. The bounds are the project's.

Run with ``python3 build.py test tests/speed -m speed -s``. Medians of process time.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import pytest

from shortlever import Tape
from shortlever.lifts.deadlift.library import assess, suggest
from shortlever.lifts.deadlift.setup import Setup

SUGGEST_MS, INTERVALS_MS = 60.0, 200.0  # the project's; intervals times two, because machines differ
TAPES = [
    Tape(stature=1.756, body_mass=85.5, sex="male"),
    Tape(stature=1.63, body_mass=66, sex="female"),
    Tape(stature=1.95, body_mass=105, sex="male", knee_to_wall=0.06),
    Tape(stature=1.78, body_mass=83, sex="male", arm_length=0.72),
]


def milliseconds(work: Callable[[Tape], object], repeats: int = 3) -> float:
    taken = []
    for _ in range(repeats):
        for tape in TAPES:
            start = time.process_time()
            work(tape)
            taken.append(1e3 * (time.process_time() - start))
    return statistics.median(taken)


@pytest.mark.speed
def test_a_pull_is_suggested_in_both_styles_in_time() -> None:
    assessed = milliseconds(lambda tape: assess(tape, Setup("conventional", 0.3, 10.0, 0.5)))
    suggested = milliseconds(suggest)
    intervals = milliseconds(lambda tape: suggest(tape, with_intervals=True), repeats=1)
    print(f"\nassess {assessed:.1f} ms, suggest {suggested:.1f} ms, with intervals {intervals:.0f} ms")
    assert suggested < SUGGEST_MS
    assert intervals < 2 * INTERVALS_MS
