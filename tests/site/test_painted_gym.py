"""Chance clips (tests/core/film_gym.py) painted, followed by the page's tracker and measured by the core: the
numbers are in their intervals; the background of a hand-held phone is followed too."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, islice
from typing import Any

import numpy as np
import pytest

from shortlever.view.film import read
from tests.core.film_gym import COLLAR_M, Filmed, Row, filmed, rows_of, share
from tests.core.film_world import true_numbers
from tests.film_scenes import PLATE_COLOURS, Look
from tests.site.test_follow import errors, follow


def looks(rng: random.Random, clip: Filmed) -> Look:
    """A chance look; all large plates are of one size, the outermost with a bevel."""
    stack = clip.world.plate_middle_m - COLLAR_M
    return Look(
        plate=rng.choice(list(PLATE_COLOURS)),
        background=(rng.randint(50, 180), rng.randint(50, 180), rng.randint(50, 180)),
        light=rng.uniform(0.5, 1.1),
        grain=rng.uniform(2.0, 8.0),
        thickness_m=rng.choice((0.8, 0.9, 1.0)) * stack,
        seed=rng.randrange(1_000_000),
    )


def painted(clip: Filmed, look: Look) -> dict[str, Any]:
    """The request as the page would send it after it has followed the painted clip."""
    times = [frame["t"] for frame in clip.request["frames"]]
    results = follow(clip.world, look, times, behind=True)
    keys = ("x", "y", "sd", "a", "b", "tilt", "axes_sd", "quality", "moved", "lost")
    frames = [
        {"t": t} | {key: one[key] for key in keys if one.get(key) is not None}
        for t, one in zip(times, results, strict=True)
    ]
    return clip.request | {"frames": frames}


def chance_clips(seed: int) -> Iterator[tuple[Filmed, Look]]:
    """Clips whose plate is large enough for pictures of this size."""
    rng = random.Random(seed)
    while True:
        clip = filmed(rng, [(1280, 720)], [24])
        look, across = looks(rng, clip), [x for x, _ in clip.world.rim(0.0)]
        if max(across) - min(across) >= 40:
            yield clip, look


def measured(seed: int, clips: int) -> Iterator[dict[str, Row]]:
    """The rows of so many of them, painted, followed and measured."""
    for clip, look in islice(chance_clips(seed), clips):
        request = painted(clip, look)
        rows = rows_of(replace(clip, request=request), read(request, 60))
        print(f"{clip.distance_m:.1f} m, {clip.lens}, hand {clip.in_hand}: held {share(rows.values()):.2f}")
        yield rows


@pytest.mark.parametrize(("seed", "number"), [(21, 55), (34, 37)])
def test_a_ring_on_a_dark_face_is_not_taken_for_the_rim(seed: int, number: int) -> None:
    """A fit between two rings of the face is off their middle; the rim is round it all the same."""
    clip, look = next(islice(chance_clips(seed), number, None))
    times = [clip.request["frames"][0]["t"]]
    assert look.plate == "black"
    assert np.abs(errors(clip.world, times, follow(clip.world, look, times))).max() < 1


def test_a_hand_held_clip_from_pictures_to_numbers() -> None:
    """Shake of a few px is seen in the background to half a pixel; the numbers hold what they say."""
    rng = random.Random(5)
    clip = next(
        one
        for one in iter(lambda: filmed(rng, [(640, 360)], [24]), None)
        if one.in_hand and one.distance_m < 3.5
    )
    request = painted(clip, Look(grain=3.0, seed=3))
    told = [
        (a["moved"], b["moved"])
        for a, b in zip(request["frames"], clip.request["frames"], strict=True)
        if "moved" in a
    ]
    assert len(told) > 0.9 * len(request["frames"])
    off = np.array([[a[key] - b[key] for key in ("x", "y")] for a, b in told])
    size = np.array([[b[key] for key in ("x", "y")] for _, b in told])
    print(f"moved {np.sqrt((size**2).mean()):.2f} px, told to {np.sqrt((off**2).mean()):.2f}")
    assert np.sqrt((off**2).mean()) < 0.5 < np.sqrt((size**2).mean())
    untold = request | {"frames": [{k: v for k, v in f.items() if k != "moved"} for f in request["frames"]]}
    shapes = [shape_error_m(clip, one) for one in (request, untold)]
    print("path shape, told and untold: " + " ".join(f"{1000 * one:.1f} mm" for one in shapes))
    assert shapes[0] < 0.75 * shapes[1]
    rom = read(request, 60).reps[0].numbers["range_of_motion"]
    assert rom.low <= true_numbers(clip.world)["range_of_motion"] <= rom.high


def shape_error_m(clip: Filmed, request: dict[str, Any]) -> float:
    """How far the measured way is from the true one, RMS of a coordinate, shifted onto it."""
    rep = read(request, 8).reps[0]
    rows = np.array([(y, z, *clip.world.motion.bar(t)) for t, y, z in [*rep.down, *rep.rise]])
    off = rows[:, :2] - rows[:, 2:]
    return float(np.sqrt(((off - off.mean(0)) ** 2).mean()))


@pytest.mark.slow
def test_painted_chance_clips_hold_what_they_say() -> None:
    rows = [row for rows in measured(8, 16) for row in rows.values()]
    assert share(rows) >= 0.86, share(rows)


@pytest.mark.slow
def test_each_number_of_painted_clips_is_inside_its_interval_as_often_as_it_says() -> None:
    """Of 68 clips that nothing was fitted to. Limits as in tests/reference/test_film_cover.py; what misses
    them is named with its share (touch and tilt hang on how joints are marked, painted or not)."""
    found = defaultdict[str, list[Row]](list)
    for rows in chain(measured(55, 29), measured(89, 39)):
        for key, row in rows.items():
            found[key].append(row)
    held = {key: round(share(rows), 3) for key, rows in found.items()}
    print(held)
    out = {key: one for key, one in held.items() if not 0.88 <= one <= 0.96}
    assert out == {"touch": 0.868, "forearm_tilt": 0.868, "pause": 0.985, "first height": 0.978}
