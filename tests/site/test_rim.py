"""The rim is found from a tap anywhere on the plate, in painted pictures whose rim is known, or not."""

from __future__ import annotations

import json
import math
import subprocess
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from site_src.make import ground
from tests.film_scenes import PLATE_COLOURS, Look, Painter, make_world
from tests.site.test_follow import outline_of

SIZE = (1280, 720)
MIDDLE, RADIUS = 0.04, 0.035  # of the radius: as near as that the ring is on the rim


def find(painted: Sequence[bytes], taps: Sequence[Sequence[dict[str, float]]]) -> list[list[dict[str, Any]]]:
    """What is found round the taps on each picture."""
    head = json.dumps({"width": SIZE[0], "height": SIZE[1], "taps": taps}).encode()
    script = Path(__file__).with_name("find_rims.mjs")
    done = subprocess.run(
        [ground.VENV / "bin" / "node", script, ground.SITE / "page"],
        input=head + b"\n" + b"".join(painted), stdout=subprocess.PIPE, check=True,
    )  # fmt: skip
    found = json.loads(done.stdout)
    print(f"{found['milliseconds']:.0f} ms a tap")
    return found["results"]  # type: ignore[no-any-return]


def kinds(seed: int, pictures: int, taps: int, nearest_m: float, farthest_m: float) -> Counter[str]:
    """What became of taps up to half a radius off the rim's middle: right, wrong, or why there is no ring."""
    rng = np.random.default_rng(seed)
    painted, truths, asked = [], [], []
    while len(painted) < pictures:
        world, press = make_world(
            distance_m=rng.uniform(nearest_m, farthest_m), off_deg=rng.uniform(-12, 12),
            tilt_deg=rng.uniform(0, 8), roll_deg=rng.normal(0, 1.5),
            width=SIZE[0], height=SIZE[1], side=int(rng.choice((1, -1))),
        )  # fmt: skip
        look = Look(
            plate=str(rng.choice(list(PLATE_COLOURS))),
            background=tuple(int(v) for v in rng.integers(40, 190, 3)),  # type: ignore[arg-type]
            light=float(rng.uniform(0.35, 1.15)), grain=float(rng.uniform(2, 14)), shutter_s=1 / 60,
            occluder=str(rng.choice(("none", "none", "none", "post", "hand"))),
            thickness_m=float(rng.choice((0.025, 0.06, 0.12))), seed=int(rng.integers(1_000_000)),
        )  # fmt: skip
        true = outline_of(world, 0.0)
        if not all(true["a"] + 2 < true[k] < s - true["a"] - 2 for k, s in zip("xy", SIZE, strict=True)):
            continue
        painted.append(Painter(world, look, press).frame(0.0).tobytes())
        truths.append(true)
        off = [
            (true["a"] * math.sqrt(rng.uniform(0, 0.25)), rng.uniform(0, 2 * math.pi)) for _ in range(taps)
        ]
        asked.append([{"x": true["x"] + r * math.cos(a), "y": true["y"] + r * math.sin(a)} for r, a in off])
    results = find(painted, asked)
    count: Counter[str] = Counter()
    for true, some in zip(truths, results, strict=True):
        for result in some:
            ring = result.get("ring")
            count[result["why"] if ring is None else "right" if is_right(ring, true) else "wrong"] += 1
    return count


def is_right(ring: dict[str, float], true: dict[str, float]) -> bool:
    size = math.sqrt(ring["a"] * ring["b"] / (true["a"] * true["b"]))
    off = math.hypot(ring["x"] - true["x"], ring["y"] - true["y"]) / true["a"]
    return off < MIDDLE and abs(size - 1) < RADIUS


def test_a_tap_anywhere_on_the_plate_puts_the_ring_on_its_rim() -> None:
    count = kinds(5, 3, 3, 2.2, 3.5)
    assert count["right"] >= 8 and count["wrong"] == 0, count


def test_a_ring_that_joins_the_rim_to_the_plate_at_the_bar_s_other_end_is_not_it() -> None:
    """A post hides where the two meet; from each of these places the joined ring was found first."""
    world, press = make_world(
        distance_m=4.18, off_deg=4.47, tilt_deg=3.16, roll_deg=1.27, width=1280, height=720
    )
    look = Look("iron", (140, 160, 176), 0.987, 11.6, 1 / 60, "post", 0.025, seed=232737)
    true = outline_of(world, 0.0)
    off = [(15.4, 11.7), (3.3, 6.6), (6.3, -6.8), (-12.1, -7.1), (-12.4, 14.9), (3.0, 1.2)]
    taps = [{"x": true["x"] + x, "y": true["y"] + y} for x, y in off]
    results = find([Painter(world, look, press).frame(0.0).tobytes()], [taps])[0]
    assert all("ring" in one and is_right(one["ring"], true) for one in results)


@pytest.mark.slow
def test_hardly_any_tap_ends_on_something_else_unsaid() -> None:
    """20 taps on each of 30 pictures, plates of 38 px and more in radius."""
    count = kinds(6, 30, 20, 2.2, 5.5)
    print(count)
    assert count["wrong"] <= 0.01 * count.total(), count
    assert count["right"] >= 0.85 * count.total(), count
