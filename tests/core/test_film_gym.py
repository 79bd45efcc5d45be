"""A few chance clips of a few hundred (tests/reference/test_film_cover.py), and what a shaken phone does."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from shortlever.film.shake import Moved, Shaken
from shortlever.film.stack import STACKS, UNSAID, face_of
from shortlever.view.film import answer, read
from tests.core.film_gym import background, filmed, rows_of, share, tally
from tests.core.film_world import HOOKED, Motion, Noise, Shake, World, camera_at, request_of, times_of

MOTION = Motion(HOOKED, wait_s=0.4, down_s=1.0, pause_s=0.4, press_s=1.2)


@pytest.mark.sweep
def test_some_chance_clips_hold_what_they_say() -> None:
    """Nine in ten of some 20 numbers of 8 clips; their errors are not each other's, so eight in ten do."""
    found = tally(8, 3, worlds=60)
    assert share(row for rows in found.values() for row in rows) >= 0.8


def shaken(share_of_it: float = 1.0) -> tuple[World, dict[str, object]]:
    rng = random.Random(9)
    camera = camera_at((0.69, *MOTION.way(0.5)), 3.2, off_deg=3, focal_px=1400)
    shake = Shake.of(rng, math.radians(0.3 * share_of_it), 0.004 * share_of_it)
    world = World(camera, MOTION, shake=shake)
    request = request_of(
        world, times_of(MOTION, 30), Noise(0.3, 0.4, 1, 0, 1), rng, still=background(world, rng)
    )
    return world, request


@pytest.mark.sweep
@pytest.mark.parametrize("told", [True, False])
def test_shake_is_taken_out_and_what_stays_is_in_the_interval(told: bool) -> None:
    """The stroke of a hand-held clip; without the background's word it is silently wrong."""
    world, request = shaken()
    if not told:
        for frame in request["frames"]:  # type: ignore[attr-defined]
            del frame["moved"]
    rom = read(request, 60).reps[0].numbers["range_of_motion"]
    true = world.motion.way(1.0)[1] - world.motion.way(0.0)[1]
    assert (rom.low <= true <= rom.high) is told
    if told:
        assert abs(rom.value - true) < 0.006 and rom.margin < 0.02


@pytest.mark.sweep
def test_a_phone_on_a_stand_is_left_alone() -> None:
    world, _ = shaken()
    rng = random.Random(2)
    still = replace(world, shake=None)
    request = request_of(still, times_of(MOTION, 30), Noise(), rng, still=background(still, rng))
    assert read(request, 8).clip.shake_px == 0


def test_back_is_the_way_back() -> None:
    """Shift, turn and growth about the middle, undone: by complex numbers."""
    moved = Moved(0.0, 12.0, -7.0, 0.03, 1.02)
    shaken_ = Shaken((960, 540), [moved])
    first = complex(300, 800)
    middle = complex(960, 540)
    turn = 1.02 * complex(math.cos(0.03), math.sin(0.03))
    now = middle + complex(12, -7) + turn * (first - middle)
    assert shaken_.back((now.real, now.imag), 0.0) == pytest.approx((300, 800), abs=1e-9)


@pytest.mark.sweep
def test_plates_say_where_the_face_stands() -> None:
    """Two thick plates: 78 cm out, measured on such a bar; one thin: 69 (common practice, no source)."""
    assert face_of("rubber-2")[0] == pytest.approx(0.78, abs=0.005)
    assert face_of("iron-1")[0] == pytest.approx(0.69, abs=0.005)
    assert all(face_of(stack)[1] < UNSAID[1] for stack in STACKS)
    known = random.Random(4)
    clip = filmed(known)
    clip.request["camera"]["plates"] = "rubber-2"
    one = read(clip.request, 40).stance.known.plate_middle_m
    assert one == face_of("rubber-2")[0]
    assert set(rows_of(clip, read(clip.request, 40))) >= {"touch", "path", "angle", "distance"}


@pytest.mark.sweep
@pytest.mark.parametrize(
    ("across_m", "typed", "told"), [(0.45, "", False), (0.38, "", True), (0.38, "38", False)]
)
def test_a_plate_that_does_not_go_with_the_sleeve_is_noticed(across_m: float, typed: str, told: bool) -> None:
    """A sleeve 5 cm thick whose end is projected point by point."""
    rng = random.Random(3)
    camera = camera_at((0.69, *MOTION.way(0.5)), 3.0, off_deg=3, focal_px=1400)
    world = World(camera, MOTION, radius_m=across_m / 2)
    request = request_of(world, times_of(MOTION, 30), Noise(0.2, 0.3, 1, 0, 1), rng)
    y, z = MOTION.bar(0.0)
    middle, edge = (camera.to_pixel((1.10, y, z + up)) for up in (0.0, 0.025))
    request["marks"]["bar_end"][0]["r"] = math.dist(middle, edge) + 0.3
    request["fields"] = {"diameter": typed}
    said = answer(request)
    assert said["ok"], said["errors"]
    assert ("plate_size" in [one["code"] for one in said["warnings"]]) is told
