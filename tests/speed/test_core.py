"""How long the core takes here, as a ratio to the numpy brute force of the same suggestion in the same run.

Run with ``python3 build.py test tests/speed -m speed -s``. Medians of process time; the bounds are the
project's (assess 3 ms, suggest 60 ms, with intervals 150 ms) times two, because machines differ.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import pytest

from shortlever import Body, Comfort, Setup, Tape, assess, suggest
from shortlever.lifts.squat import library
from tests.reference.brute import Brute

ASSESS_MS, SUGGEST_MS, INTERVALS_MS, LEG_INTERVALS_MS = 3.0, 60.0, 150.0, 200.0
BODIES = [
    Body.from_tape(Tape(arm_length=arm, shoulder_breadth=shoulders))
    for arm, shoulders in ((0.62, 0.39), (0.665, 0.416), (0.55, 0.34), (0.74, 0.43), (0.60, 0.42))
]


def milliseconds(work: Callable[[Body], object], repeats: int = 3) -> float:
    """Median process time of one call over all bodies and repeats."""
    taken = []
    for _ in range(repeats):
        for body in BODIES:
            start = time.process_time()
            work(body)
            taken.append(1e3 * (time.process_time() - start))
    return statistics.median(taken)


SQUATS = [
    Tape(stature=1.756, body_mass=83.0, sex="male"),
    Tape(stature=1.63, body_mass=66.0, sex="female"),
    Tape(stature=1.85, body_mass=90.0, knee_to_wall=0.01),
]


@pytest.mark.speed
def test_a_squat_is_suggested_as_fast() -> None:
    taken = []
    for tape in SQUATS * 3:
        start = time.process_time()
        library.suggest(tape)
        taken.append(1e3 * (time.process_time() - start))
    start = time.process_time()
    library.suggest(SQUATS[0], with_intervals=True)
    intervals = 1e3 * (time.process_time() - start)
    print(f"\nsquat: suggest {statistics.median(taken):.1f} ms, with intervals {intervals:.0f} ms")
    assert statistics.median(taken) < SUGGEST_MS
    assert intervals < 2 * LEG_INTERVALS_MS


@pytest.mark.speed
def test_core_is_fast_enough_at_the_rack() -> None:
    assessed = milliseconds(lambda body: assess(body, Setup(0.71, 0.128)))
    suggested = milliseconds(suggest)
    brute = milliseconds(lambda body: Brute(body, body.body_mass_kg, Comfort(), 0.5).solve(), repeats=1)
    tape = Tape(arm_length=0.62, shoulder_breadth=0.39)
    intervals = milliseconds(lambda _: suggest(tape, with_intervals=True), repeats=1)
    print(
        f"\nassess {assessed:.1f} ms, suggest {suggested:.1f} ms, with intervals {intervals:.0f} ms; "
        f"numpy brute force {brute:.0f} ms, {brute / suggested:.0f} x suggest"
    )
    assert assessed < 2 * ASSESS_MS
    assert suggested < 2 * SUGGEST_MS
    assert intervals < 2 * INTERVALS_MS
    assert brute > suggested
