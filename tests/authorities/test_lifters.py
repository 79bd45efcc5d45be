"""What the trade is sure of about suggestions to ten invented lifters."""

from __future__ import annotations

import functools
from dataclasses import replace

import pytest

from shortlever import Body, Suggestion, suggest
from shortlever.lifts.bench.limits import COMFORTS
from tests.authorities import rows, ten_lifters

LIFTERS = {lifter.name: lifter for lifter in ten_lifters.lifters()}
NEAR_THE_COLLARBONE_M = 0.08  # tape down from the notch; nobody is told to touch there (common practice)
HELD_BY_THE_WIDEST_M = 0.81


@functools.cache
def told(name: str) -> Suggestion:
    return ten_lifters.suggestion(LIFTERS[name])


def test_there_are_ten() -> None:
    assert len(LIFTERS) == 10


@pytest.mark.parametrize("name", LIFTERS)
def test_every_limit_is_kept_and_the_touch_is_not_near_the_collarbone(name: str) -> None:
    found = told(name).measures
    assert found.ok, [limit.name for limit in found.limits if not limit.ok]
    assert found.touch_tape_m > NEAR_THE_COLLARBONE_M
    assert found.range_of_motion_m > 0.15


def test_a_small_lifter_is_not_sent_to_the_ring() -> None:
    assert told("small woman").setup.grip_m < HELD_BY_THE_WIDEST_M - 0.08
    assert told("short man").setup.grip_m < HELD_BY_THE_WIDEST_M


def test_trouble_narrows_the_grip() -> None:
    careful = LIFTERS["past shoulder trouble"]
    cap = rows.published("bench_press")["cautious_grip"]["of_biacromial"]
    grip = told(careful.name).setup.grip_m
    assert grip <= cap * Body.from_tape(careful.tape).biacromial_m + 1e-6
    assert grip < suggest(careful.tape, gear=careful.gear, comfort=COMFORTS["usual"]).setup.grip_m


def test_an_arch_brings_the_touch_closer() -> None:
    assert told("big arch").setup.touch_m < told("no arch").setup.touch_m
    assert told("big arch").measures.range_of_motion_m < told("no arch").measures.range_of_motion_m


def test_longer_arms_touch_lower_and_press_farther() -> None:
    assert told("tall man").setup.touch_m > told("short man").setup.touch_m
    assert told("long-armed man").measures.touch_tape_m > told("broad man").measures.touch_tape_m
    assert told("tall man").measures.range_of_motion_m > told("short man").measures.range_of_motion_m


def test_a_wide_bar_does_not_pull_the_hands_to_its_rings() -> None:
    lifter = LIFTERS["training bar, rings at 91 cm, no rulebook"]
    assert told(lifter.name).setup.grip_m < lifter.gear.bar.rings_m[0]


def test_the_coach_is_marked_where_the_model_has_moved() -> None:
    moved = replace(LIFTERS["tall man"], said_of=(0.5, 0.3))
    assert "look again" in ten_lifters.lifter_text(moved)
