"""The pull on random tapes: over the whole allowed input each gives a result or a named reason; of people,
one millimetre of tape moves a suggestion by millimetres; and the 90 % intervals hold drawn bodies."""

from __future__ import annotations

import math
import os
import random
import re
from collections import Counter
from collections.abc import Collection
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pytest

from shortlever import InfeasibleError, InputError, Tape
from shortlever.lifts.deadlift.comfort import COMFORTS, STYLES
from shortlever.lifts.deadlift.doubt import OUTPUTS, doubt_of, outcome
from shortlever.lifts.deadlift.gear import BARS, Gear
from shortlever.lifts.deadlift.library import assess, puller_of, suggest
from shortlever.lifts.deadlift.setup import Setup
from shortlever.lifts.legs.body import MIDDLE_OF_FOOT, standing
from shortlever.lifts.legs.spread import errors_of_their_own
from shortlever.lifts.legs.strength import FLOOR
from shortlever.person.body import observations
from shortlever.person.population import Estimate, estimate
from tests.core.test_deadlift import MOST_MM, moved_mm, random_tape
from tests.reference import draws
from tests.reference.test_random_tapes import random_tape as any_tape

CHUNK = 40
# Misses of 50,000 people: their hips step by 5.7 mm where 5 are allowed. The room of a limit has a kink
# between the few stances and turn-outs at which it is worked out, and its surface turns as the kink
# passes one of them.
MISSES = {211_682, 220_731}


def told(seed: int) -> str:
    """ "suggested", "infeasible", the refusal's code, or what went wrong (starting with "!")."""
    rng = random.Random(seed)
    numbers = any_tape(rng)
    gear = Gear(BARS[rng.choice(sorted(BARS))], rng.choice([0.225, rng.uniform(0.10, 0.60)]))
    comfort, preference = COMFORTS[rng.choice(sorted(COMFORTS))], rng.random()
    try:
        tape = Tape(**numbers)
        found = suggest(tape, gear=gear, comfort=comfort, preference=preference)
        style = rng.choice(STYLES)
        assess(
            tape, Setup(style, rng.uniform(0.2, 0.9), rng.uniform(0, 50), rng.uniform(0.4, 0.8)), gear=gear
        )
    except InputError as refused:
        return refused.code if refused.message and refused.remedy else f"!{seed}: no remedy"
    except InfeasibleError as none:
        return "infeasible" if none.reason else f"!{seed}: no reason"
    except Exception as wrong:  # whatever else comes is what this test is for
        return f"!{seed}: {type(wrong).__name__}: {wrong}"
    m = found.measures
    shown = (m.stroke_m, m.hip_height_m, m.effort, m.limit_load_index, *m.work_share.values())
    if not all(math.isfinite(value) for value in shown) or m.stroke_m <= 0:
        return f"!{seed}: {shown}"
    if not m.ok and not any(reason.code in {limit.name for limit in m.limits} for reason in found.binding):
        broken = [limit.name for limit in m.limits if limit.broken]
        return f"!{seed}: breaks {broken} and does not say so" if broken else "suggested"
    return "suggested"


def moved(seed: int) -> str:
    """ "still", "broken" where no setup keeps every limit, or what moved too far (starting with "!")."""
    rng = random.Random(seed)
    tape = random_tape(rng)
    key, style = rng.choice([name for name in tape if name not in ("sex", "body_mass")]), rng.choice(STYLES)
    try:
        lifter = Tape(**tape)  # type: ignore[arg-type]
        Tape(**tape | {key: float(tape[key] or 0.0) + 0.001})  # type: ignore[arg-type]
    except InputError as refused:  # heights that no body has together
        return refused.code
    try:
        found = suggest(lifter, style=style).measures
        far = moved_mm(tape, key, style)
    except Exception as wrong:  # whatever comes is what this test is for
        return f"!{seed}: {type(wrong).__name__}: {wrong}"
    if not found.ok:
        return "broken"
    over = {name: value for name, value in far.items() if value >= MOST_MM[name]}
    return f"!{seed} {style} {key}: {over}" if over else "still"


def told_chunk(first: int) -> list[str]:
    return [told(seed) for seed in range(first, first + CHUNK)]


def moved_chunk(first: int) -> list[str]:
    return [moved(seed) for seed in range(first, first + CHUNK)]


def check(outcomes: list[str], result: str, least: float, misses: Collection[int] = ()) -> None:
    """Fails on whatever is wrong but the misses that are known, and where one of these is gone."""
    tally = Counter(outcomes)
    wrong = [name for name in tally if name.startswith("!")]
    missed = sorted(int(re.findall(r"[0-9]+", name)[0]) for name in wrong)
    assert missed == sorted(misses), f"{len(wrong)} of {len(outcomes)}: {wrong[:5]}"
    assert tally[result] > least * len(outcomes), tally


def test_some_random_tapes() -> None:
    check(told_chunk(0), "suggested", 0.2)


@pytest.mark.slow
@pytest.mark.parametrize("part", range(25))
def test_fifty_thousand_random_tapes_are_told(part: int) -> None:
    """2,000 in each of 25 parts."""
    firsts = range(100_000 + 2000 * part, 102_000 + 2000 * part, CHUNK)
    with ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        check([name for found in pool.map(told_chunk, firsts) for name in found], "suggested", 0.2)


@pytest.mark.slow
@pytest.mark.parametrize("part", range(25))
def test_fifty_thousand_people_move_by_millimetres(part: int) -> None:
    """2,000 in each of 25 parts: in either style one more millimetre in one number."""
    firsts = range(200_000 + 2000 * part, 202_000 + 2000 * part, CHUNK)
    with ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        outcomes = [name for found in pool.map(moved_chunk, firsts) for name in found]
    check(outcomes, "still", 0.6, [seed for seed in MISSES if firsts.start <= seed < firsts.stop])


COVERED = {
    "two numbers": Tape(stature=1.78, body_mass=85, sex="male"),
    "woman": Tape(stature=1.65, body_mass=68, sex="female"),
    "five more": Tape(
        stature=1.78,
        body_mass=85,
        sex="male",
        hip_bone_height=0.91,
        shoulder_tip_height=1.455,
        knee_bump_height=0.50,
        arm_length=0.67,
        knee_to_wall=0.11,
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("style", STYLES)
def test_intervals_hold_drawn_bodies(style: str) -> None:
    """Bodies drawn from what the tape leaves open, each with a suggestion of its own: pooled 85 to 95 %."""
    rng = np.random.default_rng(9)
    shares: dict[str, float] = {}
    for name, tape in COVERED.items():
        lifter = puller_of(tape)
        doubt, left = doubt_of(lifter, tape, style, 0.5), estimate(observations(tape), tape.sex)
        inside, bodies = dict.fromkeys(OUTPUTS, 0), 150
        for _ in range(bodies):
            mean = list(draws.normal(rng, left.mean, left.covariance))
            own = {key: rng.normal(0, sd) for key, sd in errors_of_their_own(tape).items()}
            body = standing(
                Estimate(mean, left.covariance, left.male),
                tape,
                more_rad=own["ankle"],
                middle=MIDDLE_OF_FOOT + own["middle"],
                floor=FLOOR + own["floor"],
            )
            drawn = outcome(puller_of(body, load_kg=lifter.load_kg), style, 0.5)
            for output, value in zip(OUTPUTS, drawn, strict=True):
                inside[output] += doubt.intervals[output].low <= value <= doubt.intervals[output].high
        shares |= {f"{name} {output}": count / bodies for output, count in inside.items()}
    pooled = sum(shares.values()) / len(shares)
    assert 0.85 < pooled < 0.95, (pooled, shares)
    assert min(shares.values()) > 0.70, sorted(shares.items(), key=lambda one: one[1])[:6]
