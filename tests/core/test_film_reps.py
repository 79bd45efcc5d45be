"""Finding the repetitions in the bar's height."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from shortlever.film.reps import Phases, find_reps, turning_points
from tests.core.film_world import HOOKED, Motion, times_of

STROKE = HOOKED[-1][1] - HOOKED[0][1]


def seen(
    motion: Motion, rate: float = 30, noise: float = 0.0005, seed: int = 1
) -> tuple[list[float], list[float]]:
    rng = random.Random(seed)
    times = times_of(motion, rate)
    return times, [motion.bar(t)[1] + rng.gauss(0, noise) for t in times]


def still_s(motion: Motion, number: int = 0) -> float:
    """How long the bar is within 5 mm of its lowest and slower than 5 cm/s, from its known movement."""
    low = motion.bar(motion.chest_times()[number])[1]
    step = 0.001
    inside = 0
    start = motion.chest_times()[number] - 0.5
    for i in range(round((1.5 + motion.pause_s) / step)):
        t = start + i * step
        speed = (motion.bar(t + step)[1] - motion.bar(t - step)[1]) / (2 * step)
        inside += abs(speed) < 0.05 and motion.bar(t)[1] - low <= 0.005
    return inside * step


@pytest.mark.parametrize("rate", [24, 30, 60])
@pytest.mark.parametrize("pause_s", [0.05, 0.7, 1.5])
def test_one_rep_with_its_phases(rate: int, pause_s: float) -> None:
    motion = Motion(HOOKED, pause_s=pause_s)
    reps = find_reps(*seen(motion, rate))
    assert len(reps) == 1
    rep = reps[0]
    assert rep.complete
    at_chest = motion.chest_times()[0]
    assert motion.wait_s < rep.start < motion.wait_s + 0.3
    assert rep.down < at_chest
    low = motion.bar(at_chest)[1]
    for touched in (rep.down, rep.rise):
        assert motion.bar(touched)[1] - low == pytest.approx(0.005, abs=0.003), "5 mm count as on the chest"
    assert at_chest - 0.2 < rep.lowest < at_chest + pause_s + 0.05
    assert rep.rise > at_chest + pause_s
    assert rep.end == pytest.approx(at_chest + pause_s + motion.press_s - 0.2, abs=0.25)
    assert rep.pause_s == pytest.approx(still_s(motion), abs=2.1 / rate)


def test_several_reps_in_order() -> None:
    motion = Motion(HOOKED, reps=4, pause_s=0.3)
    reps = find_reps(*seen(motion))
    assert len(reps) == 4
    assert all(rep.complete for rep in reps)
    for rep, at in zip(reps, motion.chest_times(), strict=True):
        assert at - 0.2 < rep.lowest < at + 0.4
    for one, after in pairwise(reps):
        assert one.end < after.start


def test_a_failed_last_rep_is_said() -> None:
    reps = find_reps(*seen(Motion(HOOKED, reps=2, partial=0.6)))
    assert [rep.complete for rep in reps] == [True, False]
    said = f"it stopped {100 * 0.4 * STROKE:.0f} cm below where it started"
    assert [str(one) for one in reps[1].missing] == [said]


def half_reps() -> list[Phases]:
    times, deep = seen(Motion(HOOKED), 30)
    shift = times[-1] + 1 / 30
    shallow = [HOOKED[-1][1] - 0.6 * (HOOKED[-1][1] - z) for z in deep]
    return find_reps([*times, *(t + shift for t in times)], [*deep, *shallow])


def test_a_rep_that_turns_above_the_others_is_said() -> None:
    reps = half_reps()
    assert [rep.complete for rep in reps] == [True, False]
    assert str(reps[1].missing[0]).startswith("it turned 16 cm above")


def cut(start: float, end: float) -> list[Phases]:
    times, heights = seen(Motion(HOOKED))
    rows = [(t, z) for t, z in zip(times, heights, strict=True) if start <= t <= end]
    return find_reps([t for t, _ in rows], [z for _, z in rows])


@pytest.mark.parametrize(
    ("start", "end", "missing"),
    [
        (1.3, 9, "clip_starts_going_down"),
        (2.3, 9, "clip_starts_low"),
        (0, 3.3, "clip_ends_going_up"),
        (0, 2.5, "bar_stays_low"),
    ],
)
def test_what_the_clip_does_not_show_is_said(start: float, end: float, missing: str) -> None:
    reps = cut(start, end)
    assert len(reps) == 1
    assert missing in [said.code for said in reps[0].missing]


def test_out_of_the_rack_and_back_is_no_rep() -> None:
    times, heights = seen(Motion(HOOKED))
    top = heights[0]
    before = [top - 0.06 + 0.06 * min(i / 20, 1) for i in range(40)]
    after = [top - 0.09 * min(i / 20, 1) for i in range(40)]
    clip = [*before, *heights, *after]
    reps = find_reps([i / 30 for i in range(len(clip))], clip)
    assert len(reps) == 1
    assert reps[0].complete
    assert times


def test_a_bar_at_rest_is_no_rep() -> None:
    rng = random.Random(3)
    assert find_reps([i / 30 for i in range(90)], [0.5 + rng.gauss(0, 0.002) for _ in range(90)]) == []
    assert find_reps([0.0, 1.0, 2.0], [0.5, 0.47, 0.5]) == []


def test_a_stall_on_the_way_up_is_one_rep() -> None:
    times = [i / 30 for i in range(-15, 150)]
    heights = []
    for t in times:
        if t < 0:
            heights.append(0.5)
        elif t < 1.5:
            heights.append(0.5 - 0.4 * t / 1.5)
        elif t < 2.5:
            heights.append(0.1 + 0.2 * (t - 1.5))
        elif t < 3.0:
            heights.append(0.3 - 0.04 * (t - 2.5))  # sinks by 2 cm
        else:
            heights.append(min(0.28 + 0.2 * (t - 3.0), 0.5))
    reps = find_reps(times, heights)
    assert len(reps) == 1
    assert reps[0].complete


def test_turning_points_alternate() -> None:
    rng = random.Random(4)
    heights = [0.0]
    for _ in range(400):
        heights.append(heights[-1] + rng.gauss(0, 0.05))
    turns = turning_points(heights, 0.2)
    signs = [heights[b] > heights[a] for a, b in pairwise(turns)]
    assert all(one != after for one, after in pairwise(signs))
    assert all(abs(heights[b] - heights[a]) >= 0.2 for a, b in pairwise(turns[1:-1]))
