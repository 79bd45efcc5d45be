"""The 90 % intervals of a suggestion against Monte Carlo: bodies drawn from what the tape leaves open.

numpy draws the bodies; each gets a whole suggestion of its own. The intervals come from differences
around the most likely body, so they miss the share by what is not linear: pooled over all numbers they must
hold 87 to 93 % of the bodies.
"""

from __future__ import annotations

import numpy as np
import pytest

from shortlever import Body, Tape
from shortlever.lifts.bench.doubt import OUTPUTS, doubt_of, errors_of_their_own, outcome
from shortlever.lifts.bench.press import Press
from shortlever.person.body import Offsets, from_estimate, observations
from shortlever.person.population import Estimate, estimate
from tests.reference import draws

PREFERENCE = 0.5
TAPES = {
    "two numbers": Tape(arm_length=0.62, shoulder_breadth=0.39, sex="male"),
    "woman with an arch": Tape(
        arm_length=0.57, shoulder_breadth=0.36, sex="female", chest_flat=0.24, chest_arched=0.28
    ),
    "many numbers": Tape(
        arm_length=0.66,
        shoulder_breadth=0.41,
        sex="male",
        chest_flat=0.25,
        chest_arched=0.30,
        shoulder_height=0.07,
    ),
}


def shares(bodies: int) -> dict[str, dict[str, float]]:
    """Share of random bodies inside each interval, by tape and suggested number."""
    rng = np.random.default_rng(5)
    found: dict[str, dict[str, float]] = {}
    for name, tape in TAPES.items():
        press = Press(Body.from_tape(tape), load_kg=80.0)
        doubt = doubt_of(press, tape, PREFERENCE)
        open_left = estimate(observations(tape), tape.sex)
        inside = dict.fromkeys(OUTPUTS, 0)
        for _ in range(bodies):
            mean = list(draws.normal(rng, open_left.mean, open_left.covariance))
            own = {name: rng.normal(0, sd) for name, sd in errors_of_their_own(tape).items()}
            hands = own.pop("sideways")
            offsets = Offsets(**{f"{name}_m": value for name, value in own.items()})
            body = from_estimate(Estimate(mean, open_left.covariance, open_left.male), tape, offsets)
            drawn = outcome(Press(body, load_kg=80.0, sideways_more=hands), PREFERENCE)
            for output, value in zip(OUTPUTS, drawn, strict=True):
                inside[output] += doubt.intervals[output].low <= value <= doubt.intervals[output].high
        found[name] = {output: count / bodies for output, count in inside.items()}
    return found


def check(found: dict[str, dict[str, float]], pooled: float, single: float) -> None:
    every = [share for of_tape in found.values() for share in of_tape.values()]
    assert abs(np.mean(every) - 0.90) <= pooled, found
    assert all(abs(share - 0.90) <= single for share in every), found


def test_intervals_hold_about_ninety_percent() -> None:
    check(shares(50), pooled=0.05, single=0.15)


@pytest.mark.slow
def test_intervals_hold_87_to_93_percent() -> None:
    check(shares(600), pooled=0.03, single=0.07)
