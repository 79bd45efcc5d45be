"""The tracker of the film check, in Node, on painted clips whose plate is known exactly."""

from __future__ import annotations

import json
import math
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from site_src.make import ground
from tests.core.film_world import Motion, World, planned_path, some_press, times_of
from tests.film_clips import write_clip
from tests.film_scenes import Look, Painter, make_world, smaller

CLEAN_PX = 0.3  # RMS, each coordinate
HARD_PX = 0.7
Pixels = NDArray[np.uint8]
Change = Callable[[int, Pixels, dict[str, float]], Pixels]


def outline_of(world: World, t: float) -> dict[str, float]:
    """The true outline: the conic through exact points of the rim (an ellipse)."""
    rim = np.array(world.rim(t))
    middle, size = rim.mean(0), np.ptp(rim)
    x, y = ((rim - middle) / size).T
    rows = np.column_stack([x * x, x * y, y * y, x, y])
    a, b, c, d, e = np.linalg.lstsq(rows, np.ones(len(x)), rcond=None)[0]
    u, v = np.linalg.solve([[2 * a, b], [b, 2 * c]], [-d, -e])
    level = 1 + a * u * u + b * u * v + c * v * v
    mean, half = (a + c) / 2, math.hypot(a - c, b) / 2
    long, short = size * math.sqrt(level / (mean - half)), size * math.sqrt(level / (mean + half))
    tilt = math.degrees(math.atan2(-b, c - a) / 2)
    return {"x": middle[0] + size * u, "y": middle[1] + size * v, "a": long, "b": short, "tilt": tilt}


def scene(
    distance_m: float = 5.0, off_deg: float = 0.0, crop: tuple[int, int] = (460, 520), **motion: float
) -> World:
    """A quick rep, the middle of a 1080p picture cut out."""
    quick = {"wait_s": 0.2, "down_s": 0.9, "pause_s": 0.2, "press_s": 0.9} | motion
    path = Motion(planned_path(some_press(), 0.71, 0.128), **quick)  # type: ignore[arg-type]
    world, _ = make_world(distance_m=distance_m, off_deg=off_deg, motion=path)
    return replace(world, camera=replace(world.camera, width=crop[0], height=crop[1]))


def follow(
    world: World,
    look: Look,
    times: Sequence[float],
    mark: dict[str, float] | None = None,
    change: Change = lambda _, picture, __: picture,
    marks: dict[int, dict[str, float]] | None = None,
    behind: bool = False,
) -> list[dict[str, Any]]:
    """What the tracker says to the painted pictures; marked as roughly as a thumb does it."""
    first = outline_of(world, times[0])
    radius = 1.03 * first["a"]
    rough = {"x": first["x"] + 0.04 * radius, "y": first["y"] - 0.03 * radius, "a": radius, "b": radius}
    camera, painter = world.camera, Painter(world, look)
    head = {"width": camera.width, "height": camera.height, "times": times, "mark": mark or rough}
    head |= {"marks": marks or {}, "behind": behind}
    node = subprocess.Popen(
        [ground.VENV / "bin" / "node", Path(__file__).with_name("follow_frames.mjs"), ground.SITE / "page"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    assert node.stdin is not None
    node.stdin.write(json.dumps(head).encode() + b"\n")
    for i, t in enumerate(times):
        node.stdin.write(change(i, painter.frame(t), outline_of(world, t)).tobytes())
    out, _ = node.communicate()
    assert node.returncode == 0
    return json.loads(out)["results"]


def errors(world: World, times: Sequence[float], results: list[dict[str, Any]]) -> NDArray[np.float64]:
    """(dx, dy, da, db) of the pictures in which the rim was held."""
    truth = [outline_of(world, t) for t in times]
    pairs = [(r, t) for r, t in zip(results, truth, strict=True) if r["how"] == "rim"]
    return np.array([[r[k] - t[k] for k in ("x", "y", "a", "b")] for r, t in pairs])


def rms(values: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(values**2)))


CASES: dict[str, tuple[World, Look, float]] = {  # the other colours are among the harder ones
    **{colour: (scene(), Look(plate=colour), CLEAN_PX) for colour in ("red", "black")},
    "iron on grey": (scene(), Look(plate="iron"), HARD_PX),
    "black in the dark": (scene(), Look(plate="black", background=(40, 40, 42), light=0.8), HARD_PX),
    "near": (scene(2.2, crop=(560, 960)), Look(), CLEAN_PX),
    "far": (scene(8.0, crop=(300, 360)), Look(), CLEAN_PX),
    "from the feet": (scene(off_deg=20), Look(plate="blue"), CLEAN_PX),
    "from the head": (scene(off_deg=-30), Look(plate="chalk"), CLEAN_PX),
    "noisy": (scene(), Look(grain=12), CLEAN_PX),
    "smeared": (scene(down_s=0.6), Look(plate="yellow", shutter_s=1 / 40), HARD_PX),
    "behind a post": (scene(), Look(occluder="post"), CLEAN_PX),
    "behind a forearm": (scene(), Look(occluder="hand", plate="green"), CLEAN_PX),
}


@pytest.mark.parametrize("case", CASES)
def test_the_middle_of_the_rim_to_a_fraction_of_a_pixel(case: str) -> None:
    world, look, limit = CASES[case]
    times = [t for t in times_of(world.motion, 30) if 0.15 < t < 0.85]
    results = follow(world, look, times)
    off = errors(world, times, results)
    assert len(off) == len(times), "the rim was held in every picture"
    assert rms(off[:, :2]) < limit
    assert rms(off[:, 2:]) < 2 * limit
    said = np.array([r["sd"] for r in results])[:, None]
    assert rms(off[:, :2] / said) < 2, "the errors it states are of the size of those it makes"


def behind(first: int, last: int, seed: int = 5) -> Change:
    """Something with a pattern of its own covers the whole plate for some pictures."""
    rng = np.random.default_rng(seed)
    cloth = np.kron(rng.integers(0, 255, (90, 90, 3)), np.ones((13, 13, 1))).astype(np.uint8)

    def change(i: int, picture: Pixels, _: dict[str, float]) -> Pixels:
        return cloth[: picture.shape[0], : picture.shape[1]] if first <= i < last else picture

    return change


@pytest.mark.parametrize("colour", ["red", "black"])
def test_covered_wholly_it_is_lost_and_found_again(colour: str) -> None:
    world = scene()
    times = [t for t in times_of(world.motion, 30) if t < 1.2]
    results = follow(world, Look(plate=colour), times, change=behind(12, 22))
    assert [i for i, r in enumerate(results) if r["lost"]] == list(range(12, 22))
    assert {r["why"] for r in results if r["lost"]} == {"covered"}
    assert all("x" not in r for r in results if r["lost"]), "no guess for a lost picture"
    assert rms(errors(world, times, results)[:, :2]) < (HARD_PX if colour == "black" else CLEAN_PX)


def test_someone_walks_through_and_no_wrong_place_is_said() -> None:
    world = scene()
    times = [t for t in times_of(world.motion, 30) if t < 1.2]

    def walker(i: int, picture: Pixels, plate: dict[str, float]) -> Pixels:
        share = min(1.0, max(0.0, (i - 8) / 8)) if i < 26 else 0.0
        left = max(0, int(plate["x"] - 1.3 * plate["a"]))
        changed = picture.copy()
        changed[:, left : left + int(2.6 * plate["a"] * share)] = (92, 70, 60)
        return changed

    results = follow(world, Look(), times, change=walker)
    held = errors(world, times, results)
    assert all(r["lost"] for r in results[17:26])
    assert not any(r["lost"] for r in results[:12] + results[27:])
    assert np.abs(held[:, :2]).max() < 2
    assert results[12]["quality"] < results[0]["quality"]


def test_the_plate_leaves_the_picture_and_comes_back() -> None:
    world = scene(wait_s=3.0, crop=(460, 320))
    times = [i / 30 for i in range(56)]
    away = [14 * max(0, min(i - 3, 53 - i, 22)) for i in range(56)]  # px by which the camera is turned away

    def turned(i: int, picture: Pixels, _: dict[str, float]) -> Pixels:
        moved = np.full_like(picture, 96)
        moved[away[i] :] = picture[: picture.shape[0] - away[i]]
        return moved

    results = follow(world, Look(), times, change=turned)
    y = outline_of(world, 0)["y"]
    assert y + max(away) > 320 + 60, "it is out of the picture for a while"
    assert all(r["lost"] and r["why"] == "left" for r in results[25:31])
    assert not any(r["lost"] for r in results[:12] + results[-6:])
    assert all(abs(r["y"] - y - by) < 1.5 for r, by in zip(results, away, strict=True) if not r["lost"])


def test_no_plate_where_the_mark_is() -> None:
    world = scene()
    for x, y in ((90.0, 420.0), (400.0, 90.0)):
        results = follow(world, Look(person=False), [0.0], mark={"x": x, "y": y, "a": 55.0, "b": 55.0})
        assert results[0]["lost"] and results[0]["why"] == "none"


@pytest.mark.parametrize("size", [0.86, 1.25])
def test_a_mark_on_a_ring_of_the_face_or_far_too_large_comes_onto_the_rim(size: float) -> None:
    world = scene(off_deg=8)
    true = outline_of(world, 0)
    mark = {"x": true["x"] + 4, "y": true["y"] - 5, "a": size * true["a"], "b": size * true["a"]}
    results = follow(world, Look(), [0.0], mark=mark)
    assert np.abs(errors(world, [0.0], results)).max() < 1


@pytest.mark.parametrize("colour", ["red", pytest.param("green", marks=pytest.mark.slow), "chalk"])
def test_marks_of_many_sizes_on_a_packed_picture_come_onto_the_rim(colour: str, tmp_path: Path) -> None:
    """A codec takes contrast from the rim; a clear ring on the face must not be taken for it."""
    world, _ = make_world(distance_m=3.0, off_deg=3, width=1280, height=720)
    world = replace(world, camera=replace(world.camera, width=640, height=540))
    painted = Painter(world, Look(plate=colour)).frame(0.0)
    with av.open(str(write_clip(tmp_path / "clip.mp4", [painted] * 2, [0.0, 1 / 30]))) as clip:
        packed = next(clip.decode(video=0)).to_ndarray(format="rgb24")
    true, rng = outline_of(world, 0), np.random.default_rng(8)
    marks = {}
    for i, size in enumerate(np.linspace(0.86, 1.22, 13)):
        x, y = rng.uniform(-0.05, 0.05, 2) * true["a"]
        radius = size * true["a"]
        marks[i] = {"x": true["x"] + x, "y": true["y"] + y, "a": radius, "b": radius}
    results = follow(world, Look(), [0.0] * 13, marks[0], lambda *_: packed, marks)
    sizes = [r.get("a", 0) / true["a"] for r in results]
    assert sizes == pytest.approx([1.0] * 13, abs=0.015)


@pytest.mark.parametrize(
    ("colour", "distance_m", "off_deg", "tilt_deg"),
    [
        ("yellow", 8.0, 5, 3),
        ("iron", 6.0, 2, 4),
        pytest.param(
            *("iron", 7.0, -2, 4),
            # a miss, 1.5 px where 0.6 are allowed; it held only while the painter drew rims too large
            marks=pytest.mark.xfail(
                strict=True, raises=AssertionError, reason="its flank is as dark as that plate"
            ),
        ),
    ],
)
def test_the_plate_at_the_bar_s_other_end_is_not_taken_for_a_part_of_this_one(
    colour: str, distance_m: float, off_deg: float, tilt_deg: float
) -> None:
    """Seen from afar it looks out behind the rim: neither an outer ring nor the plate's own back."""
    world, _ = make_world(distance_m=distance_m, off_deg=off_deg, tilt_deg=tilt_deg)
    world = smaller(world, 1280)
    results = follow(world, Look(colour, background=(82, 107, 142), light=0.7), [0.0])
    assert np.abs(errors(world, [0.0], results)).max() < 0.6


def test_a_mark_too_small_to_follow() -> None:
    results = follow(scene(), Look(), [0.0], mark={"x": 200.0, "y": 200.0, "a": 6.0, "b": 6.0})
    assert results[0]["why"] == "small"


def test_pictures_at_uneven_times() -> None:
    world = scene()
    rng = np.random.default_rng(3)
    times = sorted(float(t) for t in rng.uniform(0, 1.0, 28))
    off = errors(world, times, follow(world, Look(), times))
    assert len(off) == len(times)
    assert rms(off[:, :2]) < CLEAN_PX
