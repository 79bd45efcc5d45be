"""Bar speed and pauses from film, against movements that are known exactly.

The sweep over hundreds of chance worlds is in tests/reference/test_film_cover.py.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from shortlever.film.paths import Ways
from shortlever.film.pause import leaves
from shortlever.film.speed import NAMES, RepSpeed
from shortlever.lifts.film import Number
from tests.core.film_world import (
    HOOKED,
    Motion,
    Noise,
    World,
    camera_at,
    measured,
    request_of,
    times_of,
    true_speeds,
)

FINE = Noise(middle_px=0.2, axes_px=0.3, mark_px=0.7, end_px=0.7)
MOTION = Motion(HOOKED, wait_s=0.4, down_s=1.0, pause_s=0.5, press_s=1.6, stall=0.8)


def filmed(motion: Motion, rate: float = 30, seed: int = 1) -> dict[str, Any]:
    camera = camera_at((0.69, *motion.way(0.5)), 3.5, off_deg=3, focal_px=1400)
    rng = random.Random(seed)
    return request_of(World(camera, motion), times_of(motion, rate), FINE, rng)


def speed_of(motion: Motion, rate: float = 30) -> RepSpeed:
    speed = measured(filmed(motion, rate), worlds=60).reps[0].speed
    assert speed is not None
    return speed


def near(number: Number, true: float) -> bool:
    """Within 1.6 times the 90 % error: 99 of 100 are."""
    return abs(number.value - true) <= 1.6 * number.margin


def test_the_slow_stretch_and_its_peaks() -> None:
    speed, true = speed_of(MOTION), true_speeds(MOTION)
    assert speed.slow is not None
    for name, found in zip(NAMES, speed.slow, strict=True):
        assert near(found.speed, true[name][0]) and near(found.up, true[name][1]), name
        assert found.speed.margin < 0.03 and found.up.margin < 0.03, name
    assert near(speed.mean, true["mean"][0]) and speed.mean.margin < 0.02
    middle = next(n for up, n in speed.curve if up > speed.slow[1].up.value)
    assert near(middle, true["slowest"][0])
    assert speed.curve[0][0] == 0 and speed.curve[-1][0] == pytest.approx(0.41, abs=0.02)


def test_no_slow_stretch_is_an_answer() -> None:
    motion = replace(MOTION, stall=0.1)
    speed = speed_of(motion)
    assert "slowest" not in true_speeds(motion) and speed.slow is None
    assert near(speed.quickest.speed, true_speeds(motion)["quickest"][0])


@pytest.mark.parametrize("pause_s", [0.0, 0.15, 0.5, 1.2])
def test_a_pause_to_the_twentieth_of_a_second(pause_s: float) -> None:
    """The time under 5 cm/s, that counted before, is longer."""
    rep = measured(filmed(replace(MOTION, pause_s=pause_s, stall=0.3)), worlds=20).reps[0]
    assert rep.pause is not None and rep.phases is not None
    assert rep.pause.value == pytest.approx(pause_s, abs=0.05)
    assert near(rep.pause, pause_s)
    assert rep.phases.pause_s > pause_s + 0.05


def test_a_push_that_comes_at_once_is_found_too() -> None:
    """Not the smooth start of the other movements: 2 m/s² from one moment to the next."""
    rng = random.Random(2)
    times = [i / 30 for i in range(30)]
    heights = [0.1 + max(t - 0.5, 0.0) ** 2 + rng.gauss(0, 0.0005) for t in times]
    found = leaves([(t, z, 0.0005) for t, z in zip(times, heights, strict=True)], 0.1)
    assert found is not None
    assert found.t == pytest.approx(0.5, abs=2 * found.sd) and found.sd < 0.04


def test_what_is_lost_from_the_quickest_rep_to_the_last() -> None:
    first = filmed(MOTION)
    slower = filmed(replace(MOTION, press_s=2.0), seed=2)
    shift = first["frames"][-1]["t"] + 1 / 30
    first["frames"] += [frame | {"t": frame["t"] + shift} for frame in slower["frames"]]
    lost = measured(first, worlds=60).lost
    assert lost is not None and near(lost, 0.2) and lost.margin < 0.05
    assert measured(filmed(MOTION), worlds=20).lost is None


def test_a_way_up_that_is_not_seen_has_no_speed() -> None:
    request = filmed(MOTION)
    request["frames"] = [f for f in request["frames"] if f["t"] < 1.8]
    rep = measured(request, worlds=20).reps[0]
    assert rep.speed is None and rep.pause is None


def test_ways_scatter_as_the_smoother_says() -> None:
    """Ways drawn round a known movement: they spread as the likeliest one errs, in place and speed."""
    rng = random.Random(5)
    times = [i / 60 for i in range(80)]
    motion = replace(MOTION, wait_s=0.0, down_s=0.01, pause_s=0.0, press_s=1.3, stall=0.0)
    far = {"place": 0.0, "speed": 0.0}
    count = 12
    for _ in range(count):
        true = [motion.bar(0.01 + t)[1] for t in times]
        ways = Ways(times, [z + rng.gauss(0, 0.001) for z in true], [0.001] * len(times))
        drawn = ways.drawn(40, rng)
        for i in (20, 30, 40, 50, 60):
            v = (motion.bar(0.01 + times[i] + 1e-5)[1] - motion.bar(0.01 + times[i] - 1e-5)[1]) / 2e-5
            for key, mine, off in (
                ("place", [w.places[i] for w in drawn], ways.likely.places[i] - true[i]),
                ("speed", [w.speeds[i] for w in drawn], ways.likely.speeds[i] - v),
            ):
                spread = sum((m - sum(mine) / len(mine)) ** 2 for m in mine) / len(mine)
                far[key] += off * off / spread / (5 * count)
    assert 0.2 < far["place"] < 1.8 and 0.2 < far["speed"] < 1.8, far
