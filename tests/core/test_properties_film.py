"""The film check on input that nobody would send: plain errors, never a failure inside."""

from __future__ import annotations

import json
import math
import random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shortlever import view
from shortlever.film.reps import find_reps
from shortlever.film.track import smooth
from tests.core.film_world import HOOKED, Motion, Noise, World, camera_at, request_of, times_of

MOTION = Motion(HOOKED, wait_s=0.2, down_s=0.6, pause_s=0.2, press_s=0.6)
CAMERA = camera_at((0.69, *MOTION.way(0.5)), 3.0, off_deg=5, focal_px=1400)
GOOD = request_of(World(CAMERA, MOTION), times_of(MOTION, 20), Noise(), random.Random(1))

scalars = st.one_of(
    st.none(),
    st.booleans(),
    st.text(max_size=5),
    st.integers(-(10**9), 10**9),
    st.floats(-1e9, 1e9),
    st.sampled_from([0, 1, -1, 0.5, 1e-9, 540, 1e6]),
)
junk = st.one_of(
    scalars, st.lists(scalars, max_size=3), st.dictionaries(st.text(max_size=3), scalars, max_size=3)
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """All places inside nested lists and objects; of long lists only the first few entries."""
    found = [path] if path else []
    if isinstance(value, dict):
        for key, inner in value.items():
            found += places(inner, (*path, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value[:4]):
            found += places(inner, (*path, i))
    return found


def with_changes(changes: list[tuple[tuple[Any, ...], Any]]) -> dict[str, Any]:
    changed: dict[str, Any] = json.loads(json.dumps(GOOD))
    for path, value in changes:
        inside: Any = changed
        try:
            for key in path[:-1]:
                inside = inside[key]
            inside[path[-1]] = value
        except (KeyError, IndexError, TypeError, AttributeError):
            continue  # an earlier change took this place away
    return changed


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(places(GOOD)), junk), min_size=1, max_size=3))
def test_a_damaged_request_gets_a_plain_answer(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    request = with_changes(changes)
    if not str(request.get("want")).startswith("film/"):
        return
    said = json.loads(view.answer(json.dumps(request)))
    for error in said["errors"]:
        assert error["code"] != "internal", (changes, error)
        assert error["message"]
        assert error["remedy"]
    assert said["ok"] != bool(said["errors"])


@settings(max_examples=150, deadline=None)
@given(st.lists(st.floats(-0.5, 1.5), min_size=2, max_size=60), st.integers(0, 10**6))
def test_any_movement_gives_phases_in_order(heights: list[float], seed: int) -> None:
    rng = random.Random(seed)
    times = [0.0]
    for _ in heights[1:]:
        times.append(times[-1] + rng.uniform(0.001, 0.2))
    for rep in find_reps(times, heights):
        assert times[0] <= rep.start <= rep.lowest <= rep.end <= times[-1]
        assert rep.down <= rep.lowest <= rep.rise
        assert rep.rest[0] <= rep.rest[1]
        assert rep.complete or rep.missing


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.one_of(st.none(), st.tuples(st.floats(-2e4, 2e4), st.floats(-2e4, 2e4))), min_size=2, max_size=40
    ),
    st.floats(0.01, 50),
    st.integers(0, 10**6),
)
def test_any_track_stays_finite(places_: list[tuple[float, float] | None], sd: float, seed: int) -> None:
    if all(p is None for p in places_):
        return
    rng = random.Random(seed)
    times = [0.0]
    for _ in places_[1:]:
        times.append(times[-1] + 10 ** rng.uniform(-4, 1.4))
    track = smooth(times, places_, [sd] * len(times))
    assert all(math.isfinite(v) for row in (track.x, track.y, track.sd, track.vx, track.vy) for v in row)
