"""Every suggestion keeps every limit or says which it breaks, and then no other setup keeps them all.

Against a plain scan: each grip and touch of a grid is measured in full. And one millimetre of one tape number
moves the grip by little.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from shortlever import Body, Gear, InfeasibleError, InputError, Setup, Suggestion, Tape, suggest
from shortlever.lifts.bench.gear import BARS, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.measure import assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.search import Search

ACROSS = 14
SMOOTH_M = 0.003  # of grip for a millimetre of tape
A_MILLIMETRE = 0.001


def lifter(seed: int) -> tuple[Tape, dict[str, Any]]:
    """A random tape of plausible build, gear, shoulders and dial."""
    rng = random.Random(seed)
    size, flat = rng.uniform(0.82, 1.18), rng.uniform(0.17, 0.32)
    numbers: dict[str, Any] = {
        "arm_length": size * rng.uniform(0.60, 0.72),
        "shoulder_breadth": size * rng.uniform(0.36, 0.42),
        "sex": rng.choice([None, "male", "female"]),
    }
    if rng.random() < 0.6:
        numbers["chest_flat"] = flat
    if rng.random() < 0.4:
        numbers["chest_arched"] = flat + rng.uniform(0, 0.10)
    if rng.random() < 0.3:
        numbers["shoulder_height"] = rng.uniform(0.04, 0.11)
    how = {
        "gear": Gear(BARS[rng.choice(sorted(BARS))], rules=RULEBOOKS[rng.choice(sorted(RULEBOOKS))]),
        "comfort": COMFORTS[rng.choice(sorted(COMFORTS))],
        "preference": rng.choice([0.0, 0.5, 0.5, 1.0, rng.random()]),
    }
    return Tape(**numbers), how


def told(tape: Tape, how: dict[str, Any]) -> Suggestion | None:
    try:
        return suggest(tape, **how)
    except InfeasibleError:
        return None


def a_setup_inside(tape: Tape, how: dict[str, Any]) -> Setup | None:
    """Any setup of a grid that keeps every limit."""
    body = Body.from_tape(tape)
    press = Press(body, how["gear"], how["comfort"], body.body_mass_kg)
    search = Search(press)
    for i in range(ACROSS):
        grip = search.narrowest + (search.widest - search.narrowest) * i / (ACROSS - 1)
        for j in range(ACROSS):
            try:
                setup = Setup(grip, search.furthest_m * j / (ACROSS - 1), press.load_kg)
                if assess_press(press, setup).ok:
                    return setup
            except (InfeasibleError, InputError):
                continue
    return None


def wrong(seed: int) -> str:
    """What is wrong with the answer to one tape; "" where nothing is."""
    tape, how = lifter(seed)
    found = told(tape, how)
    broken = [limit.name for limit in found.measures.limits if not limit.ok] if found else ["everything"]
    if not broken:
        return ""
    if found and [reason.code for reason in found.binding][: len(broken)] != broken:
        return f"seed {seed}: {broken} not said first"
    better = a_setup_inside(tape, how)
    return f"seed {seed}: {broken}, but {better} keeps every limit" if better else ""


def jumps(seed: int) -> tuple[int, int]:
    """Of the tape numbers moved by a millimetre either way: how many move the grip by more, and how many."""
    tape, how = lifter(seed)
    here = told(tape, how)
    far = count = 0
    for key, value in tape.given().items():
        for way in (A_MILLIMETRE, -A_MILLIMETRE):
            there = told(replace(tape, **{key: value + way}), how)
            if here and there:
                count += 1
                far += abs(here.setup.grip_m - there.setup.grip_m) > SMOOTH_M
    return far, count


def test_suggestions_keep_every_limit_or_none_can() -> None:
    assert [said for seed in range(60) if (said := wrong(seed))] == []


@pytest.mark.slow
@pytest.mark.parametrize("part", range(20))
def test_ten_thousand_suggestions_keep_every_limit_or_none_can(part: int) -> None:
    first = 10_000 + 500 * part
    assert [said for seed in range(first, first + 500) if (said := wrong(seed))] == []


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_a_millimetre_moves_the_grip_by_little(part: int) -> None:
    """In 98 of 100: where the nearest touch runs along the end of the chest, or the index along its
    slack, little decides between them, and a millimetre moves the grip by up to 4 cm."""
    pairs = [jumps(seed) for seed in range(100 * part, 100 * part + 100)]
    assert sum(far for far, _ in pairs) <= 0.02 * sum(count for _, count in pairs)
