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


def grip(tape: Tape, how: dict[str, Any]) -> float | None:
    """The suggested grip, m; None where nothing can be suggested."""
    body = Body.from_tape(tape)
    press = Press(body, how["gear"], how["comfort"], body.body_mass_kg)
    try:
        return Search(press, how["preference"]).solve()[0]
    except InfeasibleError:
        return None


def moves(seed: int) -> dict[str, float]:
    """How far the grip moves (m) when one tape number moves by a millimetre, by number and way."""
    tape, how = lifter(seed)
    here, found = grip(tape, how), {}
    for key, value in tape.given().items():
        for way in (A_MILLIMETRE, -A_MILLIMETRE):
            there = grip(replace(tape, **{key: value + way}), how)
            if here is not None and there is not None:
                found[f"{seed} {key} {1000 * way:+g} mm"] = abs(here - there)
    return found


def test_suggestions_keep_every_limit_or_none_can() -> None:
    assert [said for seed in range(60) if (said := wrong(seed))] == []


@pytest.mark.slow
@pytest.mark.parametrize("part", range(20))
def test_ten_thousand_suggestions_keep_every_limit_or_none_can(part: int) -> None:
    first = 10_000 + 500 * part
    assert [said for seed in range(first, first + 500) if (said := wrong(seed))] == []


def test_a_millimetre_moves_the_grip_by_little() -> None:
    """Lifters drawn at random, and those whose grip a millimetre once threw by up to 47 cm: past the grips at
    which hands were measured the index turns level and rises again (the first eight), touches ran along the
    end of the chest (the next six), the hardest point stepped from row to row (the next), the index was level
    at its top or the dial, near the shortest arm, had little to go by (the last six)."""
    once = [1554, 303, 1035, 604, 1345, 43, 51, 572, 1263, 1563, 1065, 1365, 330, 352, 9880]
    once += [100_299, 108_037, 113_506, 117_945, 157_761, 177_012]
    found = {what: far for seed in (*range(30), *once) for what, far in moves(seed).items()}
    assert len(found) > 250
    assert {what: far for what, far in found.items() if far > SMOOTH_M} == {}


# Of 100,000 lifters these two have two grips equally strong, 21 and 24 cm apart, and every grip between is
# weaker: the stronger of the two changes with a millimetre, which no rule that stays among strong grips can
# help.
TWO_TOPS = {128_443, 132_080}


@pytest.mark.slow
@pytest.mark.parametrize("part", range(100))
def test_a_millimetre_moves_the_grip_by_little_for_a_hundred_thousand(part: int) -> None:
    thrown: dict[str, float] = {}
    for seed in range(100_000 + 1000 * part, 101_000 + 1000 * part):
        if seed in TWO_TOPS:
            assert two_tops(seed)
            continue
        thrown |= {what: far for what, far in moves(seed).items() if far > SMOOTH_M}
    assert thrown == {}


def twins(tape: Tape, how: dict[str, Any]) -> tuple[float, float] | None:
    """The two grips that are told to be equally strong, m, the suggested side first; None where none are."""
    found = told(tape, how)
    said = [reason.said for reason in found.binding if reason.code == "two_grips"] if found else []
    return (said[0].values["one_m"], said[0].values["other_m"]) if said else None


@pytest.mark.parametrize("seed", sorted(TWO_TOPS))
def test_a_second_grip_as_strong_is_told_on_both_sides_of_the_turn(seed: int) -> None:
    tape, how = lifter(seed)
    thrown = [what.split()[1:] for what, far in moves(seed).items() if far > SMOOTH_M]
    assert thrown
    here = twins(tape, how)
    assert here is not None
    for key, by, _ in thrown:
        there = twins(replace(tape, **{key: tape.given()[key] + float(by) / 1000}), how)
        assert there is not None
        assert abs(here[0] - here[1]) > 0.15
        assert there == pytest.approx(here[::-1], abs=0.02)


def test_no_second_grip_is_told_to_those_with_one() -> None:
    assert [seed for seed in range(40) if twins(*lifter(seed))] == []


def two_tops(seed: int) -> bool:
    """Whether the index has two tops over the grips, within half a percent of each other."""
    tape, how = lifter(seed)
    body = Body.from_tape(tape)
    search = Search(Press(body, how["gear"], how["comfort"], body.body_mass_kg))
    step = (search.measured - search.narrowest) / 60
    index = [search.at_nearest(search.narrowest + step * i) for i in range(61)]
    tops = sorted(b for a, b, c in zip([0.0, *index], index, [*index[1:], 0.0], strict=False) if a < b >= c)
    return len(tops) > 1 and tops[-2] > 0.995 * tops[-1]


def test_a_body_with_two_equal_tops_is_told_from_one_with_one() -> None:
    """53 cm of arm under a chest 40 cm above the pad: as strong at 39 as at 65 cm of grip."""
    assert two_tops(132_080)
    assert not any(two_tops(seed) for seed in range(5))
