"""Painted clips through the whole core: pictures, a plain rim finder in numpy, then the film check.

The rim finder here has nothing in common with the browser's tracker; it only has to be honest. It starts, as
a person would, from a ring put on the rim of the first picture.
"""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, map_coordinates

from shortlever import InputError
from shortlever.film.ellipse import Ellipse, fit_ellipse
from shortlever.film.stance import Known
from tests.core.film_world import (
    Motion,
    Noise,
    World,
    measured,
    outline_of,
    planned_path,
    request_of,
    some_press,
    true_numbers,
)
from tests.film_scenes import Look, Painter, make_world, smaller

RAYS, REACH = 120, 0.10
SEEN_LEAST = 0.35  # of the rays


def find_rim(picture: NDArray[np.uint8], near: Ellipse) -> Ellipse | None:
    """The ellipse through the edges nearest to a known one: strongest change of colour along each ray out."""
    around = max(near.a, near.b) * (1 + REACH) + 8
    x0, y0 = max(int(near.x - around), 0), max(int(near.y - around), 0)
    part = picture[y0 : int(near.y + around), x0 : int(near.x + around)].astype(float)
    smooth = [gaussian_filter(part[..., c], 0.7) for c in range(3)]
    angles = np.linspace(0, 2 * math.pi, RAYS, endpoint=False)
    steps = np.arange(-REACH * near.a, REACH * near.a + 0.25, 0.5)
    xx, xy, yy = near.half_axes()
    out = np.array([[xx, xy], [xy, yy]]) @ np.array([np.cos(angles), np.sin(angles)])
    normal = np.linalg.solve(np.array([[xx, xy], [xy, yy]]), np.array([np.cos(angles), np.sin(angles)]))
    normal /= np.linalg.norm(normal, axis=0)
    px = near.x + out[0][:, None] + steps * normal[0][:, None]
    py = near.y + out[1][:, None] + steps * normal[1][:, None]
    profile = [map_coordinates(c, [py - y0 - 0.5, px - x0 - 0.5], order=1, mode="nearest") for c in smooth]
    change = np.sqrt(sum(np.gradient(p, axis=1) ** 2 for p in profile))
    change *= 1 - 0.5 * np.abs(steps) / (REACH * near.a)  # nearer edges first
    best = change.argmax(axis=1)
    strong = change[np.arange(RAYS), best]
    points = []
    for i in np.flatnonzero((best > 0) & (best < len(steps) - 1) & (strong > 0.35 * np.median(strong))):
        before, here, after = change[i, best[i] - 1 : best[i] + 2]
        bend = before - 2 * here + after
        at = steps[best[i]] + (0.25 * (before - after) / bend if bend < 0 else 0.0)
        points.append((near.x + out[0, i] + at * normal[0, i], near.y + out[1, i] + at * normal[1, i]))
    limit = 4.0
    found = None
    for _ in range(5):
        if len(points) < SEEN_LEAST * RAYS:
            return None
        try:
            found = fit_ellipse(points, 0.3)
        except InputError:
            return None
        xx, xy, yy = found.half_axes()
        inverse = np.linalg.inv(np.array([[xx, xy], [xy, yy]]))
        off = [abs(math.hypot(*(inverse @ (x - found.x, y - found.y))) - 1) * found.a for x, y in points]
        limit = max(min(limit, 3 * float(np.median(off)) / 0.6745), 0.5)
        points = [p for p, d in zip(points, off, strict=True) if d < limit]
    return found


def followed(world: World, look: Look, times: list[float]) -> list[dict[str, Any]]:
    painter = Painter(world, look, some_press())
    x, y, *half = outline_of(world.rim(times[0]))
    near = Ellipse.from_half_axes(x + 1.5, y - 1.0, (half[0] + 1, half[1], half[2] + 1))  # as a hand puts it
    first = None  # a plate keeps its shape: every search starts from that of the first picture
    speed = (0.0, 0.0)
    frames: list[dict[str, Any]] = []
    for t in times:
        shape = first or near
        guess = Ellipse(near.x + speed[0], near.y + speed[1], shape.a, shape.b, shape.tilt)
        found = find_rim(painter.frame(t), guess)
        if found is None:
            frames.append({"t": t, "lost": True})
            continue
        speed = (found.x - near.x, found.y - near.y) if frames and "x" in frames[-1] else (0.0, 0.0)
        near = found
        first = first or found
        frames.append(
            {"t": t, "x": found.x, "y": found.y, "sd": max(found.sd, 0.05), "a": found.a, "b": found.b}
            | {"tilt": math.degrees(found.tilt), "axes_sd": max(found.axes_sd, 0.05)}
        )
    return frames


CLIPS = {
    "red, square": ({"distance_m": 3.0}, Look("red")),
    "black, off and tilted": (
        {"distance_m": 3.5, "off_deg": 12, "tilt_deg": 8, "roll_deg": 1},
        Look("black", background=(150, 150, 146)),
    ),
    "yellow, feet left": ({"distance_m": 2.5, "off_deg": -10, "side": -1}, Look("yellow", grain=8.0)),
    "blue behind a post": ({"distance_m": 3.0, "off_deg": 5}, Look("blue", occluder="post")),
    "green, slow shutter": ({"distance_m": 4.0, "off_deg": -5}, Look("green", shutter_s=1 / 40)),
    "chalk, held upright": (
        {"distance_m": 2.6, "width": 1080, "height": 1920},
        Look("chalk", background=(60, 62, 66)),
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", CLIPS)
def test_a_painted_clip_is_measured(name: str) -> None:
    """Path within 5 mm RMS, arms within 8 mm; the error bars hold the truth."""
    options, look = CLIPS[name]
    motion = Motion(planned_path(some_press(), 0.71, 0.128), wait_s=0.3, down_s=0.9, pause_s=0.3, press_s=0.9)
    world, press = make_world(motion=motion, **options)
    world = smaller(world, 1280 if world.camera.width > world.camera.height else 810)
    times = [i / 24 for i in range(int(motion.duration_s * 24))]
    frames = followed(world, look, times)
    assert sum("x" in f for f in frames) > 0.9 * len(frames)
    rng = random.Random(3)
    request = request_of(world, times[:1], Noise(0, 0, 0.5, 0, 0.5), rng, edge=True)
    request["frames"] = frames
    known = Known(distance_m=options["distance_m"], out={"shoulder": (press.body.half_shoulder_m, 0.012)})
    result = measured(request, known, 100)
    assert len(result.reps) == 1
    found, true = result.reps[0].numbers, true_numbers(world)
    for key in ("touch", "mean_arm", "arm_sticking"):
        assert found[key].value == pytest.approx(true[key], abs=0.008), key
        assert found[key].low <= true[key] <= found[key].high, key
    rows = [*result.reps[0].down, *result.reps[0].rise]
    off = np.array([(y - motion.bar(t)[0], z - motion.bar(t)[1]) for t, y, z in rows])
    assert np.sqrt(((off - off.mean(axis=0)) ** 2).sum(axis=1).mean()) < 0.005


def test_the_painter_s_rim_is_where_the_world_has_it() -> None:
    """Painted by cutting rays, found as edges, against the projected rim: a tenth of a pixel."""
    world, press = make_world(distance_m=2.5, off_deg=15, tilt_deg=6)
    world = smaller(world, 1280)
    look = Look("yellow", background=(40, 42, 46), grain=0.0, person=False, sleeve=False, thickness_m=0.0)
    x, y, *half = outline_of(world.rim(0.2, 400))
    true = Ellipse.from_half_axes(x, y, (half[0], half[1], half[2]))
    found = find_rim(Painter(world, look, press).frame(0.2), true)
    assert found is not None
    assert (found.x, found.y) == pytest.approx((x, y), abs=0.1)
    assert found.half_axes() == pytest.approx(tuple(half), abs=0.15)
