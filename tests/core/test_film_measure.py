"""The numbers of the film check against worlds that are known to the millimetre.

The heavy sweep (hundreds of chance worlds, honest error bars) is in tests/reference/test_film_cover.py.
"""

from __future__ import annotations

import math
import random
from itertools import pairwise
from typing import Any

import pytest

from shortlever.film.measure import Result
from shortlever.film.stack import flank_of
from shortlever.film.stance import SOURCES, Known
from tests.core.film_world import (
    DIAGONAL,
    HOOKED,
    STRAIGHT_UP,
    Motion,
    Noise,
    World,
    camera_at,
    measured,
    planned_path,
    request_of,
    some_press,
    times_of,
    true_numbers,
)

FINE = Noise(middle_px=0.2, axes_px=0.3, mark_px=0.7, end_px=0.7)
PATHS = {
    "planned": planned_path(some_press(), 0.71, 0.128),
    "diagonal": DIAGONAL,
    "straight": STRAIGHT_UP,
    "hooked": HOOKED,
}


def world_of(
    path: str = "planned",
    distance: float = 3.5,
    off: float = 0.0,
    tilt: float = 3.0,
    roll: float = 0.0,
    side: int = 1,
    **motion: Any,
) -> World:
    moves = Motion(PATHS[path], **{"wait_s": 0.4, "down_s": 1.1, "pause_s": 0.5, "press_s": 1.1} | motion)
    camera = camera_at(
        (side * 0.69, *moves.way(0.5)),
        distance,
        off_deg=off,
        tilt_deg=tilt,
        roll_deg=roll,
        aim_px=(120, -60),
        focal_px=27.5 / math.hypot(36, 24) * math.hypot(1920, 1080),
        side=side,
    )
    return World(camera, moves, side=side)


def filmed(
    world: World,
    rate: float = 30,
    noise: Noise = FINE,
    seed: int = 1,
    known: Known | None = None,
    **more: Any,
) -> Result:
    rng = random.Random(seed)
    times = times_of(world.motion, rate, rng, more.pop("jitter", 0.0))
    request = request_of(world, times, noise, rng, **more)
    return measured(request, known, 60)


def path_rms_m(world: World, result: Result) -> float:
    """Of the bar's path in its own plane, down and up, against where the bar was at those times."""
    rows = [*result.reps[0].down, *result.reps[0].rise]
    off = [(y - world.motion.bar(t)[0], z - world.motion.bar(t)[1]) for t, y, z in rows]
    mean = [sum(o[i] for o in off) / len(off) for i in (0, 1)]
    return math.sqrt(sum((o[0] - mean[0]) ** 2 + (o[1] - mean[1]) ** 2 for o in off) / len(off))


@pytest.mark.sweep
@pytest.mark.parametrize(
    ("path", "distance", "off", "tilt", "rate"),
    [
        ("planned", 3.0, 0.0, 0.0, 30),
        ("planned", 2.0, 12.0, 6.0, 60),
        ("diagonal", 4.0, -20.0, 3.0, 24),
        ("hooked", 6.0, 5.0, 10.0, 50),
        ("straight", 5.0, 20.0, 8.0, 30),
        ("hooked", 2.5, -8.0, 0.0, 24),
    ],
)
def test_path_and_arms_with_the_distance_known(
    path: str, distance: float, off: float, tilt: float, rate: float
) -> None:
    """Path within 5 mm RMS, moment arms within 8 mm."""
    world = world_of(path, distance, off, tilt)
    result = filmed(world, rate, known=Known(distance_m=distance), jitter=0.6)
    assert len(result.reps) == 1
    assert result.reps[0].phases is not None
    assert result.reps[0].phases.complete
    assert path_rms_m(world, result) < 0.005
    found, true = result.reps[0].numbers, true_numbers(world)
    for key, tolerance in (
        ("touch", 0.008),
        ("arm_sticking", 0.008),
        ("mean_arm", 0.008),
        ("range_of_motion", 0.005),
    ):
        assert found[key].value == pytest.approx(true[key], abs=tolerance), key
        assert found[key].low <= true[key] <= found[key].high, key


def test_without_noise_nothing_is_left_over() -> None:
    """Turned camera, roll seen by the bench, feet on the left: the formulas, not their luck."""
    world = world_of("hooked", 3.0, 14.0, 6.0, 2.0, -1)
    known = Known(distance_m=3.0)
    flank_m, _ = flank_of(known.plate_middle_m, known.plate_middle_sd_m)
    nothing = Noise(1e-6, 1e-6, 1e-6, 0.0, 1e-6, flank_m=flank_m)
    result = filmed(world, 60, nothing, known=known, edge=True)
    found, true = result.reps[0].numbers, true_numbers(world)
    for key in ("touch", "range_of_motion"):
        assert found[key].value == pytest.approx(true[key], abs=0.0025), key
    assert path_rms_m(world, result) < 0.001


@pytest.mark.sweep
def test_the_distance_estimated_is_the_distance() -> None:
    result = filmed(world_of(distance=4.2))
    assert result.stance.distance_m == pytest.approx(4.2, rel=0.02)
    half_way = filmed(world_of(distance=4.2), known=Known(distance_m=3.8))
    assert half_way.stance.distance_m == pytest.approx(3.8, rel=0.05)


@pytest.mark.sweep
def test_parallax_counts() -> None:
    """Taking plate and shoulder for one plane moves the arm by centimetres 10 degrees off square."""
    world = world_of(off=10)
    right = filmed(world).reps[0].numbers["touch"].value
    wrong = filmed(
        world, known=Known(plate_middle_m=0.69, out={"shoulder": (0.66, 0.012)}, bar_end_m=1.10)
    ).reps[0]
    assert right == pytest.approx(true_numbers(world)["touch"], abs=0.01)
    assert abs(wrong.numbers["touch"].value - right) > 0.05


@pytest.mark.sweep
def test_the_side_of_the_camera_follows_from_the_sleeve_or_stays_open() -> None:
    world = world_of(off=9)
    with_end = filmed(world)
    assert not with_end.stance.undecided
    assert math.degrees(math.atan(with_end.stance.likely.lean[0])) == pytest.approx(9, abs=1.5)
    without = filmed(world, bar_end=False)
    assert without.stance.undecided
    assert without.reps[0].numbers["touch"].margin > 3 * with_end.reps[0].numbers["touch"].margin
    said = filmed(world, bar_end=False, stands="feet")
    assert not said.stance.undecided
    true = true_numbers(world)["touch"]
    for result in (with_end, without, said):
        touch = result.reps[0].numbers["touch"]
        assert touch.low <= true <= touch.high


@pytest.mark.sweep
def test_each_source_shows_in_the_budget_and_can_be_made_smaller() -> None:
    rough = Noise(middle_px=2.0, axes_px=3.0, mark_px=8.0, end_px=6.0)
    world = world_of(off=6, distance=2.5)
    first, fine = filmed(world, noise=rough), filmed(world)
    assert set(first.budget) == set(SOURCES)
    for source in ("angle", "joint", "tracking"):
        assert fine.budget[source] < 0.7 * first.budget[source], source
    level = filmed(world, edge=True)
    assert level.budget["horizon"] < fine.budget["horizon"]
    lens = filmed(world_of(off=6), known=Known(focal_mm=16.0)).budget["lens"]
    assert lens > filmed(world_of(off=6)).budget["lens"]


@pytest.mark.sweep
def test_a_shoulder_marked_twice_is_followed() -> None:
    """Between two marks the shoulder moves in proportion; one mark holds for the whole clip."""
    world = world_of()
    rng = random.Random(3)
    times = times_of(world.motion, 30)
    request = request_of(world, times, FINE, rng, shoulder_times=(0.0, 3.0))
    moved = request["marks"]["shoulder"][1]
    per_m = 27.5 / math.hypot(36, 24) * math.hypot(1920, 1080) / 4.0
    moved["x"] += 0.04 * per_m
    twice = measured(request, worlds=40).reps[0].numbers
    once = filmed(world).reps[0].numbers
    assert once["touch"].value - twice["touch"].value == pytest.approx(0.04 * 1.7 / 3, abs=0.006)
    assert once["lockout"].value - twice["lockout"].value > 0.03


@pytest.mark.sweep
def test_several_reps_each_with_its_numbers() -> None:
    world = world_of("hooked", reps=3, pause_s=0.3)
    result = filmed(world)
    assert len(result.reps) == 3
    touches = [r.numbers["touch"].value for r in result.reps]
    assert max(touches) - min(touches) < 0.002
    assert result.shown is result.reps[0]


@pytest.mark.sweep
def test_a_failed_rep_has_its_touch_but_is_not_whole() -> None:
    result = filmed(world_of("hooked", partial=0.5, reps=2, pause_s=0.2))
    assert [r.phases.complete for r in result.reps if r.phases] == [True, False]
    assert result.reps[1].numbers["range_of_motion"].value < 0.3


def test_a_photo_gives_touch_and_no_path() -> None:
    world = world_of(off=4)
    t = world.motion.chest_times()[0] + 0.2
    request = request_of(world, [t], FINE, random.Random(1), shoulder_times=(t,))
    result = measured(request, Known(distance_m=3.5), 60)
    assert result.clip.photo
    rep = result.reps[0]
    assert rep.phases is None
    assert set(rep.numbers) == {"touch", "chest_height"}
    assert rep.numbers["touch"].value == pytest.approx(true_numbers(world)["touch"], abs=0.008)


@pytest.mark.sweep
def test_feet_are_found_where_nobody_said() -> None:
    for side in (1, -1):
        world = world_of(off=3, side=side)
        times = times_of(world.motion, 24)
        request = request_of(world, times, FINE, random.Random(2))
        request["camera"]["feet"] = None
        result = measured(request, worlds=20)
        assert result.clip.mirrored == (side < 0)
        assert result.side_guessed
        assert result.reps[0].numbers["touch"].value > 0.09


@pytest.mark.sweep
def test_a_plate_hidden_on_the_chest_is_said_and_widens_the_error() -> None:
    world = world_of("hooked")
    at = world.motion.chest_times()[0]
    times = times_of(world.motion, 30)
    lost = [i for i, t in enumerate(times) if at - 0.15 < t < at + 0.65]
    hidden, seen = filmed(world, lost=lost), filmed(world)
    assert "on the chest" in [str(one) for one in hidden.reps[0].unseen]
    assert seen.reps[0].unseen == ()
    wide = [r.reps[0].numbers["range_of_motion"].margin for r in (hidden, seen)]
    assert wide[0] > 1.5 * wide[1]


@pytest.mark.sweep
def test_elbow_and_wrist() -> None:
    """Forearm tilt and elbow height of an arm whose joints are known, hands 0.40 m from the middle."""
    world = world_of(off=4)
    t = world.motion.chest_times()[0] + 0.3
    y, z = world.motion.bar(t)
    elbow, wrist = (0.40, y - 0.02, -0.05), (0.40, y + 0.01, z - 0.02)
    request = request_of(world, times_of(world.motion, 30), FINE, random.Random(1), shoulder_times=(t,))
    for name, joint in (("elbow", elbow), ("wrist", wrist)):
        px, py = world.camera.to_pixel(joint)
        request["marks"][name] = [{"t": t, "x": px, "y": py, "sd": 1.0}]
    found = measured(request, worlds=60).reps[0].numbers
    tilt = math.degrees(math.atan2(wrist[1] - elbow[1], wrist[2] - elbow[2]))
    assert found["forearm_tilt"].value == pytest.approx(tilt, abs=1.5)
    assert found["elbow_height"].value == pytest.approx(-0.05, abs=0.012)


@pytest.mark.sweep
def test_the_same_clip_gives_the_same_numbers() -> None:
    first, again = (filmed(world_of(off=7)) for _ in range(2))
    assert first.reps[0].numbers == again.reps[0].numbers


def test_the_path_is_in_order_and_inside_its_band() -> None:
    rep = filmed(world_of("hooked")).reps[0]
    for rows in (rep.down, rep.rise):
        assert all(a[0] < b[0] for a, b in pairwise(rows))
    assert all(a[2] > b[2] for a, b in pairwise(rep.down))
    assert all(a[2] < b[2] for a, b in pairwise(rep.rise))
    for (_, y, _), low, high in zip(rep.rise, rep.rise_low, rep.rise_high, strict=True):
        assert low < y < high


@pytest.mark.parametrize(
    ("focal_mm", "off", "tilt", "aim_px"),
    [(14, -8, 8, (-150, 60)), (14, 9, -6, (150, -60)), (14, 5, 10, (-300, 100)), (15, -10, 10, (250, 100))],
)
def test_an_ultra_wide_lens_that_nobody_named_is_found_out(
    focal_mm: float, off: float, tilt: float, aim_px: tuple[float, float]
) -> None:
    """By how the plate's shape changes over the picture; taken for a main camera it would stand 4 m away."""
    motion = Motion(DIAGONAL)
    focal_px = focal_mm / math.hypot(36, 24) * math.hypot(1920, 1080)
    camera = camera_at(
        (0.69, *motion.way(0.5)), 2.2, off_deg=off, tilt_deg=tilt, focal_px=focal_px, aim_px=aim_px
    )
    world = World(camera, motion)
    result = filmed(world, noise=Noise(0.2, 0.2, 1.0, 0.0, 1.0))
    assert result.distance.value == pytest.approx(2.2, rel=0.15)
    assert result.distance.low <= 2.2 <= result.distance.high
    found, true = result.reps[0].numbers, true_numbers(world)
    for key in ("range_of_motion", "chest_height", "touch"):
        assert found[key].low <= true[key] <= found[key].high, key
