"""Smoothing of the followed plate."""

from __future__ import annotations

import math
import random

import pytest

from shortlever.film.track import Track, smooth

PX_PER_M = 330.0


def wave(t: float) -> tuple[float, float]:
    return 960 + 30 * math.cos(2 * t), 500 + 70 * math.sin(2 * t)


def wobbly(times: list[float], sd: float, seed: int) -> list[tuple[float, float] | None]:
    rng = random.Random(seed)
    return [(x + rng.gauss(0, sd), y + rng.gauss(0, sd)) for x, y in map(wave, times)]


def rms(track: Track) -> float:
    off = [
        math.dist((x, y), wave(t)) / math.sqrt(2)
        for t, x, y in zip(track.times, track.x, track.y, strict=True)
    ]
    return math.sqrt(sum(v * v for v in off) / len(off))


@pytest.mark.parametrize("rate", [24, 30, 60])
@pytest.mark.parametrize("sd", [0.2, 1.0])
def test_smoothing_more_than_halves_the_noise_and_says_how_much_is_left(rate: int, sd: float) -> None:
    times = [i / rate for i in range(5 * rate)]
    track = smooth(times, wobbly(times, sd, 3), [sd] * len(times))
    assert rms(track) < 0.62 * sd
    assert sum(track.sd) / len(track.sd) == pytest.approx(rms(track), rel=0.35)


def test_the_noise_is_taken_from_the_clip_not_from_what_was_said() -> None:
    times = [i / 30 for i in range(200)]
    said_little = smooth(times, wobbly(times, 1.0, 4), [0.2] * 200)
    said_right = smooth(times, wobbly(times, 1.0, 4), [1.0] * 200)
    assert said_little.noise == pytest.approx(5.0, rel=0.2)
    assert said_little.sd[100] == pytest.approx(said_right.sd[100], rel=0.05)


def test_uneven_times_are_used_as_they_are() -> None:
    rng = random.Random(6)
    times = [(i + 0.7 * rng.random()) / 30 for i in range(150)]
    track = smooth(times, [wave(t) for t in times], [0.1] * 150)
    assert rms(track) < 0.05
    even = smooth([i / 30 for i in range(150)], [wave(t) for t in times], [0.1] * 150)
    assert rms(even) > 0.8


@pytest.mark.sweep
@pytest.mark.parametrize(("bounce_s", "rate"), [(0.3, 30), (0.5, 24), (0.3, 60), (0.15, 60)])
def test_the_turn_at_the_chest_is_not_cut_short(bounce_s: float, rate: int) -> None:
    """A bar that falls and rises at 0.6 m/s and turns within ``bounce_s``: the lowest point within 2 mm."""
    rng = random.Random(7)
    speed = 0.6 * PX_PER_M

    def height(t: float) -> float:
        half = bounce_s / 2
        return speed * abs(t) if abs(t) > half else speed * (half + t * t / half) / 2

    misses = []
    for _ in range(20):
        start = rng.random() / rate
        times = [start + i / rate - 1.5 for i in range(3 * rate)]
        places: list[tuple[float, float] | None] = [
            (200 + rng.gauss(0, 0.3), 700 - height(t) + rng.gauss(0, 0.3)) for t in times
        ]
        track = smooth(times, places, [0.3] * len(times))
        lowest = max(track.at(-0.1 + 0.002 * i)[1] for i in range(101))
        misses.append(lowest - (700 - height(0.0)))
    mean = sum(misses) / len(misses)
    assert abs(mean) < 0.002 * PX_PER_M


def test_a_slip_of_one_picture_does_not_bend_the_path() -> None:
    times = [i / 30 for i in range(120)]
    places = wobbly(times, 0.3, 8)
    places[60] = (1200.0, 100.0)
    track = smooth(times, places, [0.3] * 120)
    assert track.slips == [60]
    assert math.dist((track.x[60], track.y[60]), wave(times[60])) < 1


def test_lost_pictures_are_bridged_with_a_growing_error() -> None:
    times = [i / 30 for i in range(120)]
    places = wobbly(times, 0.3, 9)
    for i in range(50, 58):
        places[i] = None
    track = smooth(times, places, [0.3] * 120)
    assert track.sd[54] > 3 * track.sd[30]
    assert math.dist((track.x[54], track.y[54]), wave(times[54])) < 4 * track.sd[54]


def test_between_pictures_it_follows_place_and_speed() -> None:
    times = [i / 30 for i in range(90)]
    track = smooth(times, [wave(t) for t in times], [0.1] * 90)
    for t in (1.01, 1.55, 2.3):
        x, y, _ = track.at(t)
        assert math.dist((x, y), wave(t)) < 0.05
    assert track.at(-5)[:2] == (track.x[0], track.y[0])
    assert track.at(99)[0] == pytest.approx(track.x[-1])


def test_one_picture_is_itself() -> None:
    track = smooth([0.0], [(5.0, 6.0)], [0.5])
    assert track.at(0.0) == (5.0, 6.0, 0.5)
