"""The example clip that the film screen offers: an invented lifter, painted. Written anew by

    PYTHONPATH=core .venv/bin/python -m tests.film_example

It is packed by a codec that the build does not have, so the file itself is kept, in site_src/example/, by the
key of its lift.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from shortlever.lifts import UNNAMED
from tests.core.film_world import Motion, World, planned_path, some_press
from tests.film_clips import write_clip
from tests.film_scenes import Look, Painter, make_world

PATH = Path(__file__).parents[1] / "site_src" / "example" / f"{UNNAMED}.mp4"
SIZE, RATE = (1280, 720), 30
LOOK = Look("red", grain=1.5, thickness_m=0.03, background=(120, 124, 126), seed=11)
MOST_BYTES = 300_000


def world() -> World:
    """One rep; 3.2 m away, 4 degrees nearer the feet, one thin plate a side."""
    motion = Motion(
        planned_path(some_press(), 0.71, 0.128),
        wait_s=0.4, down_s=1.1, pause_s=0.4, press_s=1.5, reps=1, stall=0.7,
    )  # fmt: skip
    made, _ = make_world(distance_m=3.2, off_deg=4, tilt_deg=2, width=SIZE[0], height=SIZE[1], motion=motion)
    return replace(made, plate_middle_m=0.69)


def times() -> list[float]:
    """Of the pictures, s."""
    return [i / RATE for i in range(int(world().motion.duration_s * RATE))]


def frame(t: float) -> NDArray[np.uint8]:
    """One picture as it was painted."""
    return Painter(world(), LOOK, some_press()).frame(t)


if __name__ == "__main__":
    PATH.parent.mkdir(exist_ok=True)
    write_clip(PATH, Painter(world(), LOOK, some_press()).frames(times()), times(), "libx264", quality="21")
    print(PATH.stat().st_size)
