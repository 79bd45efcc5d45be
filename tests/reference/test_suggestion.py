"""The suggestion against brute force on random bodies: half a millimetre, or the same objective to 1e-4."""

from __future__ import annotations

import random

import numpy as np
import pytest

from shortlever import Body, Comfort, Gear, Suggestion, Tape, suggest
from shortlever.lifts.bench.gear import RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.worth import INDEX_SLACK
from tests.reference.brute import Brute

HALF_A_MILLIMETRE = 5e-4
SAME_BALANCE = 1e-4
HALF_A_PERCENT = 0.005  # the line of setups that is searched is not beaten by more
SPACING = Gear(rules=RULEBOOKS["spacing"])  # the elbow rule is in test_limits_kept


def lifter(seed: int) -> tuple[Body, Comfort, float]:
    """A random body of plausible build, comfort setting and place of the dial."""
    rng = random.Random(seed)
    size, flat = rng.uniform(0.82, 1.18), rng.uniform(0.20, 0.31)
    tape = Tape(
        arm_length=size * rng.uniform(0.62, 0.70),
        shoulder_breadth=size * rng.uniform(0.36, 0.42),
        body_mass=rng.uniform(45, 140),
        sex=rng.choice([None, "male", "female"]),
        chest_flat=flat,
        chest_arched=flat + rng.choice([0.0, rng.uniform(0.0, 0.09)]),
    )
    comfort = COMFORTS[rng.choice(["usual", "usual", "careful", "loose"])]
    return Body.from_tape(tape), comfort, rng.choice([0.0, 0.25, 0.5, 0.5, 0.75, 1.0, rng.random()])


def compare(seed: int) -> str:
    """What is wrong with the suggestion for one random lifter; empty where nothing is."""
    body, comfort, preference = lifter(seed)
    found: Suggestion = suggest(body, gear=SPACING, comfort=comfort, preference=preference)
    brute = Brute(body, body.body_mass_kg, comfort, preference)
    best = brute.solve()
    grip, touch = np.array([found.setup.grip_m]), np.array([found.setup.touch_m])
    given_up = brute.given_up(*brute.stroke_and_arm(grip, touch), best.shortest, best.least)
    of_stroke, of_arm = (float(v[0]) for v in given_up)
    index = float(brute.index(grip, touch)[0])
    near = float(brute.nearest_touch(grip)[0])
    away = max(abs(found.setup.grip_m - best.grip), abs(found.setup.touch_m - best.touch))
    wrong = []
    if away > HALF_A_MILLIMETRE and abs(of_stroke - of_arm) > SAME_BALANCE:
        wrong.append(f"{1000 * away:.2f} mm away, given up {of_stroke:.5f} of stroke, {of_arm:.5f} of arm")
    if max(of_stroke, of_arm) > best.balance + HALF_A_PERCENT:
        wrong.append(f"another setup gives up {max(of_stroke, of_arm) - best.balance:.5f} less of both")
    if index < (1 - INDEX_SLACK) * best.best_index * (1 - 5e-4):
        wrong.append(f"index {index / best.best_index:.5f} of the best")
    if abs(found.strongest.limit_load_index / best.best_index - 1) > 5e-4:
        wrong.append(f"best index off by {found.strongest.limit_load_index / best.best_index - 1:+.1e}")
    if touch[0] < near - HALF_A_MILLIMETRE or grip[0] < best.strongest - HALF_A_MILLIMETRE:
        wrong.append("closer or narrower than allowed")
    return f"seed {seed}: {', '.join(wrong)}" if wrong else ""


def test_suggestion_against_brute_force() -> None:
    assert compare(1) == ""


@pytest.mark.slow
@pytest.mark.parametrize("tens", range(20))
def test_suggestion_against_brute_force_on_many_bodies(tens: int) -> None:
    assert [wrong for seed in range(10 * tens, 10 * tens + 10) if (wrong := compare(seed))] == []


@pytest.mark.parametrize("seed", range(4))
def test_a_press_row_by_row(seed: int) -> None:
    """Heights, path, mean arm and index of random setups, not only of suggested ones."""
    body, comfort, preference = lifter(1000 + seed)
    press = Press(body, comfort=comfort, load_kg=90.0)
    brute = Brute(body, 90.0, comfort, preference)
    rng = random.Random(seed)
    grip = np.array([rng.uniform(0.45, 0.81) for _ in range(25)])
    near = brute.nearest_touch(grip)
    touch = near + np.array([rng.uniform(0.0, 0.06) for _ in grip])
    heights, path = brute.press(grip, touch)
    stroke, arm = brute.stroke_and_arm(grip, touch)
    index = brute.index(grip, touch)
    for i, (g, t) in enumerate(zip(grip, touch, strict=True)):
        rep = press.rep(float(g), float(t))
        assert press.nearest_touch_m(float(g)) == pytest.approx(near[i], abs=2e-6)
        assert rep.heights_m == pytest.approx(heights[i], abs=1e-12)
        assert rep.path_m == pytest.approx(path[i], abs=1e-6)
        assert rep.range_of_motion_m == pytest.approx(stroke[i], abs=1e-12)
        assert rep.mean_moment_arm_m == pytest.approx(arm[i], abs=1e-6)
        assert body.reach_m / rep.hardest()[0] == pytest.approx(index[i], rel=1e-4)
