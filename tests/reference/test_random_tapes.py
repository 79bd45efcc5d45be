"""Random tapes over the whole allowed input: each gives a result or a named reason."""

from __future__ import annotations

import math
import os
import random
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from typing import Any

import pytest

from shortlever import Gear, InfeasibleError, InputError, Setup, Tape, assess, suggest
from shortlever.lifts.bench.gear import BARS, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.person.tape import MEASURES
from shortlever.person.together import SIDE_KEYS

CHUNK = 50


def random_tape(rng: random.Random) -> dict[str, Any]:
    """Each number given or not, anywhere in its range, at its ends now and then; sides may differ."""

    def anywhere(key: str) -> float:
        m = MEASURES[key]
        return rng.choice([m.low, m.high]) if rng.random() < 0.05 else rng.uniform(m.low, m.high)

    share = rng.random()
    tape: dict[str, Any] = {key: anywhere(key) for key in MEASURES if rng.random() < share}
    tape["sex"] = rng.choice([None, "male", "female"])
    for side in ("left", "right"):
        if rng.random() < 0.03:
            tape[side] = {key: anywhere(key) for key in SIDE_KEYS if rng.random() < 0.5}
    return tape


def outcome(seed: int) -> str:
    """ "suggested", the name of the reason why not, or what went wrong (starting with "!")."""
    rng = random.Random(seed)
    numbers = random_tape(rng)
    gear = Gear(bar=BARS[rng.choice(sorted(BARS))], rules=RULEBOOKS[rng.choice(sorted(RULEBOOKS))])
    comfort = COMFORTS[rng.choice(sorted(COMFORTS))]
    preference = rng.random()
    try:
        tape = Tape(**numbers)
        found = suggest(tape, gear=gear, comfort=comfort, preference=preference)
        assess(tape, Setup(rng.uniform(0.3, 1.0), rng.uniform(0.0, 0.3)), gear=gear, comfort=comfort)
    except InputError as refused:
        return refused.code if refused.message and refused.remedy else f"!{seed}: no remedy"
    except InfeasibleError as none:
        return "infeasible" if none.reason else f"!{seed}: no reason"
    except Exception as wrong:  # whatever else comes is what this test is for
        return f"!{seed}: {type(wrong).__name__}: {wrong}"
    m = found.measures
    shown = (found.setup.grip_m, found.setup.touch_m, m.tuck_deg, m.range_of_motion_m, m.mean_moment_arm_m)
    if not all(math.isfinite(value) for value in (*shown, m.limit_load_index, *m.work_share.values())):
        return f"!{seed}: not finite"
    # the longest of 100,000 is 1.02 m: of 254 kg and no length the tables make long arms
    if not 0 < m.range_of_motion_m < 1.1 or not 0 < found.setup.grip_m <= gear.max_grip_m + 1e-9:
        return f"!{seed}: grip {found.setup.grip_m}, stroke {m.range_of_motion_m}"
    return "suggested"


def chunk(first: int) -> list[str]:
    return [outcome(seed) for seed in range(first, first + CHUNK)]


def run(first: int, count: int) -> Counter[str]:
    """How often each outcome came, worked out side by side."""
    with ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        return check([name for part in pool.map(chunk, range(first, first + count, CHUNK)) for name in part])


def check(outcomes: list[str]) -> Counter[str]:
    """The outcomes counted; fails on any that is neither a result nor a named reason."""
    tally = Counter(outcomes)
    wrong = [name for name in tally if name.startswith("!")]
    assert not wrong, f"{len(wrong)} of {len(outcomes)}: {wrong[:5]}"
    assert set(tally) <= {"suggested", "contradiction", "infeasible"}
    assert tally["suggested"] > 0.3 * len(outcomes)
    return tally


def test_some_random_tapes() -> None:
    check(chunk(0))


def test_shoulders_that_leave_only_narrow_grips() -> None:
    """Joints 50 cm apart between arms of 73 cm and a span of 125: the suggested grip was refused as the
    lifter's own."""
    assert outcome(1_076_708) == "suggested"


@pytest.mark.slow
@pytest.mark.parametrize("part", range(20))
def test_a_hundred_thousand_random_tapes(part: int) -> None:
    """5,000 in each of 20 parts."""
    assert sum(run(1_000_000 + 5000 * part, 5000).values()) == 5000
