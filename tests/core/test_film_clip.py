"""Reading what was sent: everything that can be wrong with a clip is named with its field and remedy."""

from __future__ import annotations

import copy
import math
import random
from collections.abc import Callable
from typing import Any

import pytest

from shortlever import InputError
from shortlever.film.clip import read_clip, seconds
from shortlever.film.measure import measure
from shortlever.film.stance import Known
from tests.core.film_world import HOOKED, Motion, Noise, World, camera_at, request_of, times_of

MOTION = Motion(HOOKED, wait_s=0.3, down_s=0.8, pause_s=0.3, press_s=0.8)


def world(distance: float = 3.5, side: int = 1, off: float = 4.0) -> World:
    middle = MOTION.way(0.5)
    camera = camera_at((side * 0.69, *middle), distance, off_deg=off, tilt_deg=2, focal_px=1400, side=side)
    return World(camera, MOTION, side=side)


@pytest.fixture(scope="module")
def sent() -> dict[str, Any]:
    one = world()
    return request_of(one, times_of(MOTION, 24), Noise(), random.Random(1))


def refused(request: dict[str, Any]) -> InputError:
    with pytest.raises(InputError) as found:
        measure(read_clip(request), Known(), worlds=20)
    wrong = found.value
    assert wrong.message
    assert wrong.remedy
    assert len(wrong.given) <= 60
    return wrong


def frames(request: dict[str, Any], change: Callable[[int, dict[str, Any]], None]) -> None:
    for i, frame in enumerate(request["frames"]):
        change(i, frame)


def drop_shoulder(r: dict[str, Any]) -> None:
    r["marks"]["shoulder"] = []


def all_lost(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.update(lost=True))


def low_quality(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.update(quality=0.05))


def mostly_lost(r: dict[str, Any]) -> None:
    frames(r, lambda i, f: f.update(lost=i > 5))


def no_length(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.update(t=1.0))


def time_back(r: dict[str, Any]) -> None:
    r["frames"][10]["t"] = r["frames"][3]["t"]


def few(r: dict[str, Any]) -> None:
    r["frames"] = r["frames"][:5]


def none(r: dict[str, Any]) -> None:
    r["frames"] = []


def no_scale(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.pop("a"))


def leaves(r: dict[str, Any]) -> None:
    frames(r, lambda i, f: f.update(y=f["y"] + (700 if i > 10 else 0)))


def upside(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.update(a=f["b"], b=f["a"] + 1))


def not_numbers(r: dict[str, Any]) -> None:
    r["frames"][4]["x"] = "12"


def not_finite(r: dict[str, Any]) -> None:
    r["frames"][4]["x"] = math.nan


def truth(r: dict[str, Any]) -> None:
    r["frames"][4]["x"] = True


def picture(r: dict[str, Any]) -> None:
    r["picture"] = {"width": 0, "height": 1080}


def one_edge_point(r: dict[str, Any]) -> None:
    r["marks"]["edge"] = [{"x": 100, "y": 100}]


def upright_edge(r: dict[str, Any]) -> None:
    r["marks"]["edge"] = [{"x": 100, "y": 100}, {"x": 120, "y": 400}]


def feet_up(r: dict[str, Any]) -> None:
    r["camera"]["feet"] = "up"


def no_list(r: dict[str, Any]) -> None:
    r["frames"] = {"t": 0}


def short_rim(r: dict[str, Any]) -> None:
    r["rims"] = [{"t": 0, "points": [[1, 2], [3, 4]]}]


def no_points(r: dict[str, Any]) -> None:
    r["rims"] = [{"t": 0, "points": [[1, 2, 3]] * 6}]


def oblique(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.update(b=0.75 * f["a"], tilt=88.0))


def too_long(r: dict[str, Any]) -> None:
    frames(r, lambda _, f: f.update(t=1000 * f["t"]))


@pytest.mark.parametrize(
    ("change", "field", "code"),
    [
        (drop_shoulder, "shoulder", "missing"),
        (all_lost, "frames", "no_plate"),
        (low_quality, "frames", "no_plate"),
        (mostly_lost, "frames", "no_plate"),
        (no_length, "frames", "no_length"),
        (time_back, "frames", "time_not_rising"),
        (few, "frames", "too_few_frames"),
        (none, "frames", "no_frames"),
        (no_scale, "rims", "missing"),
        (leaves, "frames", "plate_leaves_picture"),
        (upside, "frames", "not_an_ellipse"),
        (not_numbers, "x", "not_a_number"),
        (not_finite, "x", "not_a_number"),
        (truth, "x", "not_a_number"),
        (picture, "picture", "out_of_range"),
        (one_edge_point, "edge", "two_points"),
        (upright_edge, "edge", "upright"),
        (feet_up, "feet", "not_a_choice"),
        (no_list, "frames", "not_a_list"),
        (short_rim, "rims", "too_few_points"),
        (no_points, "rims", "not_a_point"),
        (oblique, "rims", "too_oblique"),
        (too_long, "frames", "too_long"),
    ],
)
def test_wrong_input(
    sent: dict[str, Any], change: Callable[[dict[str, Any]], None], field: str, code: str
) -> None:
    request = copy.deepcopy(sent)
    change(request)
    wrong = refused(request)
    assert (wrong.field, wrong.code) == (field, code)


def test_where_the_plate_leaves_the_picture_is_said_in_seconds(sent: dict[str, Any]) -> None:
    request = copy.deepcopy(sent)
    leaves(request)
    times = [f["t"] for f in request["frames"]]
    assert f"{times[11]:.2f} to {times[-1]:.2f} s" in refused(request).message


def test_a_few_pictures_with_the_plate_outside_are_left_out(sent: dict[str, Any]) -> None:
    request = copy.deepcopy(sent)
    frames(request, lambda i, f: f.update(y=f["y"] + (700 if i in (20, 21) else 0)))
    clip = read_clip(request)
    assert clip.gone == [20, 21]
    assert clip.seen[20] is None
    assert clip.seen[22] is not None
    assert str(seconds(clip.times, clip.gone)).endswith(" s")


def test_the_camera_cannot_be_inside_the_plate(sent: dict[str, Any]) -> None:
    clip = read_clip(sent)
    with pytest.raises(InputError) as found:
        measure(clip, Known(focal_mm=8.0, diameter_m=0.15))
    assert found.value.code == "too_close"
    assert found.value.field == "focal"


def test_feet_on_the_left_is_the_mirror_picture() -> None:
    left = read_clip(request_of(world(side=-1), [0.0], Noise(0, 0, 0, 0, 0), random.Random(1)))
    right = read_clip(request_of(world(side=1), [0.0], Noise(0, 0, 0, 0, 0), random.Random(1)))
    assert left.mirrored
    assert not right.mirrored
    for one, other in ((left.seen[0], right.seen[0]),):
        assert one is not None
        assert other is not None
        assert (one.x, one.y) == pytest.approx((other.x, other.y))
        assert one.outline is not None
        assert other.outline is not None
        assert one.outline.half_axes() == pytest.approx(other.outline.half_axes())
    assert left.marks["shoulder"][0].at == pytest.approx(right.marks["shoulder"][0].at)


def test_a_photo_with_rim_points_only() -> None:
    one = world()
    request = request_of(one, [0.0], Noise(), random.Random(2))
    request["frames"] = [{}]
    request["rims"] = [{"points": [list(p) for p in one.rim(0.0, 8)]}]
    clip = read_clip(request)
    assert clip.photo
    assert clip.seen[0] is not None
