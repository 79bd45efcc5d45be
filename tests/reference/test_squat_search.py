"""The suggested squat against brute force over stance, turn-out and shin, and over random tapes.

Random tapes: each gives a result or a named reason; a millimetre more of one number moves it by millimetres.
"""

from __future__ import annotations

import math
import os
import random
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from typing import Any

import pytest

from shortlever import InfeasibleError, InputError, Tape
from shortlever.lifts.squat.doubt import OUTPUTS, outcome
from shortlever.lifts.squat.gear import DEPTHS, POSITIONS
from shortlever.lifts.squat.library import squat_of
from shortlever.lifts.squat.limits import COMFORTS
from shortlever.lifts.squat.search import SLACK, Search
from shortlever.lifts.squat.squat import Squat
from shortlever.person.tape import MEASURES

CHUNK = 50
MILLIMETRE = 0.001
# What a millimetre of tape may move, in the unit of each number: some of it acts through others, so more than
# a millimetre; a jump would be centimetres or tens of degrees.
MOST = {"m": 0.004, "deg": 0.6}
KEYS = (
    *("hip_bone_height", "shoulder_tip_height", "knee_bump_height", "arm_length", "foot_length"),
    *("hip_breadth", "sitting_height", "crotch_height"),
)
# Means of ANSUR II's men as shares of stature, and spreads wider than the survey's.
SHARES = dict(zip(KEYS, (0.513, 0.820, 0.280, 0.379, 0.154, 0.197, 0.523, 0.482), strict=True))
SPREAD_M = dict(zip(KEYS, (0.03, 0.03, 0.02, 0.03, 0.018, 0.035, 0.03, 0.03), strict=True))


def somebody(rng: random.Random) -> dict[str, Any]:
    """A tape of somebody, some numbers given and some not."""
    stature = rng.uniform(1.45, 2.05)
    tape: dict[str, Any] = {
        "sex": rng.choice([None, "male", "female"]),
        "stature": stature,
        "body_mass": rng.uniform(45, 150),
    }
    for key in KEYS:
        if rng.random() < 0.4:
            value, measure = SHARES[key] * stature + rng.gauss(0, SPREAD_M[key]), MEASURES[key]
            tape[key] = min(max(value, measure.low), measure.high - MILLIMETRE)
    if rng.random() < 0.5:
        tape["knee_to_wall"] = rng.uniform(0.01, 0.18)
    return tape


def anybody(rng: random.Random) -> dict[str, Any]:
    """Each number given or not, anywhere in its range."""
    share = rng.random()
    tape: dict[str, Any] = {
        key: rng.uniform(m.low, m.high) for key, m in MEASURES.items() if rng.random() < share
    }
    return tape | {"sex": rng.choice([None, "male", "female"])}


def how(rng: random.Random, mass: float) -> dict[str, Any]:
    return {
        "bar_position": rng.choice(sorted(POSITIONS)),
        "depth": rng.choice(DEPTHS),
        "comfort": COMFORTS[rng.choice(sorted(COMFORTS))],
        "load_kg": min(mass * rng.uniform(0.5, 2.5), 600.0),
    }


def result(seed: int) -> str:
    """ "suggested", the name of the reason why not, or what went wrong (starting with "!")."""
    rng = random.Random(seed)
    strange = rng.random() < 0.3
    tape = anybody(rng) if strange else somebody(rng)
    ways, preference = how(rng, tape.get("body_mass", 80.0)), rng.random()
    try:
        found = outcome(squat_of(Tape(**tape), **ways), preference)
        if not all(math.isfinite(value) for value in found):
            return f"!{seed}: not finite"
        if strange:
            return "suggested"
        key = rng.choice([key for key in tape if key not in ("sex", "body_mass")])
        more = MILLIMETRE if tape[key] + MILLIMETRE <= MEASURES[key].high else -MILLIMETRE
        there = outcome(squat_of(Tape(**tape | {key: tape[key] + more}), **ways), preference)
    except InputError as refused:
        return refused.code if refused.message and refused.remedy else f"!{seed}: no remedy"
    except InfeasibleError as none:
        return "infeasible" if none.reason else f"!{seed}: no reason"
    except Exception as wrong:  # whatever else comes is what this test is for
        return f"!{seed}: {type(wrong).__name__}: {wrong}"
    for name, a, b in zip(OUTPUTS, found, there, strict=True):
        if abs(a - b) > MOST["deg" if name.endswith("_deg") else "m"]:
            return f"!{seed}: {name} from {a:.4f} to {b:.4f} for a millimetre of {key}"
    return "suggested"


def chunk(first: int) -> list[str]:
    return [result(seed) for seed in range(first, first + CHUNK)]


def check(outcomes: list[str]) -> Counter[str]:
    """The outcomes counted; fails on any that is neither a result nor a named reason."""
    tally = Counter(outcomes)
    wrong = [name for name in tally if name.startswith("!")]
    assert not wrong, f"{len(wrong)} of {len(outcomes)}: {wrong[:5]}"
    assert set(tally) <= {"suggested", "contradiction", "infeasible"}
    assert tally["suggested"] > 0.5 * len(outcomes)
    return tally


def test_some_random_tapes() -> None:
    check(chunk(0))


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_fifty_thousand_random_tapes(part: int) -> None:
    """5,000 in each of 10 parts."""
    first = 1_000_000 + 5000 * part
    with ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        found = [name for part in pool.map(chunk, range(first, first + 5000, CHUNK)) for name in part]
    assert sum(check(found).values()) == 5000


# ---- brute force


def brute(squat: Squat, heel_m: float, stances: int, turns: int, shins: int) -> list[tuple[float, float]]:
    """Least effort inside every limit at each stance of a grid, no search: stance (m) and effort."""
    search, found = Search(squat), []
    for i in range(stances):
        stance_m, best = 0.22 + 0.68 * i / (stances - 1), math.inf
        for j in range(turns):
            turn = math.radians(10 + 40 * j / (turns - 1))
            stance = squat.on(stance_m, turn, heel_m)
            most = search.bottoms.most_shin(stance)
            for k in range(shins):
                pose = stance.bottom(most * k / (shins - 1))
                if pose is None or pose.bears.effort >= best:
                    continue
                rooms = (
                    search.bottoms.hips_room(pose),
                    search.bottoms.knees_room(pose),
                    search.spread_room(turn, pose),
                )
                if min(rooms) > -1e-3:
                    best = pose.bears.effort
        found.append((stance_m, best))
    return found


def against_brute(seed: int, stances: int, turns: int, shins: int) -> None:
    """The strongest stance is no worse than any of the grid, and little better; the suggested one is where
    the grid leaves the slack."""
    rng = random.Random(seed)
    while True:  # until a body that can keep every limit
        tape = somebody(rng)
        squat = squat_of(Tape(**tape), **how(rng, tape["body_mass"]))
        search = Search(squat)
        strongest, found = search.solve()
        if search.outside(found) < 1e-3:
            break
    grid = brute(squat, found.heel_m, stances, turns, shins)
    least = min(effort for _, effort in grid)
    assert strongest.valley.effort <= least * (1 + 1e-4)
    assert strongest.valley.effort >= least * 0.985  # what the grid is coarse by
    widest = max(stance for stance, effort in grid if effort <= (1 + SLACK) * least)
    step = 0.68 / (stances - 1)
    assert widest - 1e-3 <= found.stance_m <= widest + 2 * step


@pytest.mark.parametrize("seed", [1, 2])
def test_against_a_coarse_grid(seed: int) -> None:
    against_brute(seed, 18, 41, 31)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 116))
def test_against_a_fine_grid(seed: int) -> None:
    against_brute(seed, 35, 81, 61)
