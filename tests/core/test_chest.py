"""The chest that the bar is lowered to."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from shortlever import Body
from shortlever.lifts.bench.chest import Chest, chest_of

MICROMETRE = 1e-6


def arched(body: Body, rise_m: float) -> Body:
    return replace(body, chest_arched_m=body.chest_flat_m + rise_m)


def test_flat_profile_goes_through_the_tape_numbers(lifters: dict[str, Body]) -> None:
    for body in lifters.values():
        chest = chest_of(arched(body, 0.0))
        assert chest.height_m(body.chest_y_m) == pytest.approx(body.chest_flat_m, abs=MICROMETRE)
        assert chest.height_m(body.notch_y_m) == pytest.approx(body.notch_height_m, abs=MICROMETRE)
        assert chest.top_y_m == pytest.approx(body.chest_y_m)


@pytest.mark.parametrize("rise", [0.02, 0.05, 0.12])
def test_arched_profile_goes_through_the_arched_number(lifters: dict[str, Body], rise: float) -> None:
    """At the notch half of the arch lifts, the other half tilts (common practice, no source)."""
    for body in lifters.values():
        chest = chest_of(arched(body, rise))
        assert chest.height_m(body.chest_y_m) == pytest.approx(body.chest_flat_m + rise, abs=MICROMETRE)
        assert chest.height_m(body.notch_y_m) == pytest.approx(body.notch_height_m + rise / 2, abs=MICROMETRE)


def test_more_arch_raises_tilts_and_moves_the_top_toward_the_feet(middle: Body) -> None:
    chests = [chest_of(arched(middle, 0.01 * i)) for i in range(13)]
    for less, more in pairwise(chests):
        assert more.top_m > less.top_m
        assert more.top_y_m > less.top_y_m
        for y in (0.0, 0.05, 0.10, 0.15, 0.20):
            assert more.height_m(y) > less.height_m(y)
            slope = [(c.height_m(y + 0.001) - c.height_m(y)) / 0.001 for c in (less, more)]
            assert slope[1] > slope[0]


def test_top_is_the_highest_point(lifters: dict[str, Body]) -> None:
    for body in lifters.values():
        chest = chest_of(body)
        assert chest.height_m(chest.top_y_m) == chest.top_m
        assert all(chest.height_m(chest.top_y_m + d) < chest.top_m for d in (-0.05, -0.001, 0.001, 0.05))


def test_closer_to_the_shoulders_is_lower(middle: Body) -> None:
    chest = chest_of(middle)
    heights = [chest.height_m(chest.top_y_m * i / 10) for i in range(11)]
    assert heights == sorted(heights)


def test_tape_is_the_length_of_the_profile(lifters: dict[str, Body]) -> None:
    """Against the summed chords of 2,000 short pieces from the notch."""
    for body in lifters.values():
        chest = chest_of(body)
        pieces = 2000
        y_end = chest.top_y_m + 0.03
        ys = [chest.notch_y_m + (y_end - chest.notch_y_m) * i / pieces for i in range(pieces + 1)]
        points = [(y, chest.height_m(y)) for y in ys]
        length = sum(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 for a, b in pairwise(points))
        assert chest.tape_m(y_end) == pytest.approx(length, abs=MICROMETRE)
        assert chest.tape_m(chest.notch_y_m) == 0.0
        assert chest.tape_m(chest.notch_y_m - 0.01) < 0.0


@pytest.mark.parametrize("tape", [-0.02, 0.0, 0.02, 0.10, 0.19, 0.40])
def test_y_at_tape_undoes_tape(lifters: dict[str, Body], tape: float) -> None:
    for body in lifters.values():
        chest = chest_of(body)
        assert chest.tape_m(chest.y_at_tape_m(tape)) == pytest.approx(tape, abs=1e-9)


def test_tape_by_hand() -> None:
    """height = -y^2/2: from the top to slope 1 the arc is (sqrt 2 + asinh 1) / 2 = 1.147793575 m."""
    chest = Chest(top_m=0.0, top_y_m=0.0, curve_per_m=0.5, notch_y_m=0.0)
    assert chest.tape_m(1.0) == pytest.approx(1.147793575, abs=1e-9)
