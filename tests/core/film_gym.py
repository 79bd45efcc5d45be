"""Chance clips as people make them, without a painter: for the question whether every number that is shown
lies inside its error bar as often as it says.

What is drawn is not what the core believes but what gyms have: phones 2 to 8 m away, up to 12 degrees off
square, held with a roll, on a stand or in a hand, with any lens of a phone, one to three plates a side,
thumbs that miss by 2 to 6 px on a screen 390 px wide (half of the marks are mended under the loupe). A person
answers what the page asks: which plates; of the lens and the distance some do, some do not. Sizes that no
source is named for are common practice. Standard library only.
"""

from __future__ import annotations

import math
import random
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.film.measure import Result
from shortlever.film.speed import NAMES
from shortlever.lifts.film import Number
from shortlever.view.film import read
from shortlever.view.film_doubt import off_square
from tests.core.film_world import (
    DIAGONAL,
    HOOKED,
    STRAIGHT_UP,
    Motion,
    Noise,
    Point3,
    Shake,
    World,
    camera_at,
    planned_path,
    request_of,
    some_press,
    times_of,
    true_numbers,
    true_speeds,
)

SCREEN_PX, SHOWN_RADII = 390, 6.5  # once the rim is marked, the screen shows so many of its radii across
THUMB_PX, LOUPE_PX = (2.0, 6.0), (0.3, 1.2)  # how far a tap, and a mark mended under the loupe, miss
JOINT_M, MOVES_M = 0.007, 0.005  # a joint found from outside; how far it moves until the bar is down
COLLAR_M = 0.655  # of the bar's middle: where the sleeves start (1310 mm between collars, IWF TCRR 3.3.2)
IRON_M, RUBBER_M = (0.022, 0.040), (0.050, 0.072)  # a large plate's thickness along the bar
MAIN_MM, MAIN_SD = 27.0, 0.09  # 35 mm equivalent of a phone's main camera, with what a video crops
OTHER_MM = ((13.0, 16.5), (48.0, 80.0))  # ultra-wide and telephoto
# of the stack, what is followed in place of the rim: of iron, chalk, green, blue, yellow, red and black
# plates as they are painted (tests/site/test_painted_gym.py)
FLANK_SHARES = (0.1, 0.2, 0.4, 0.5, 0.5, 0.6, 1.2)
PATHS = (
    planned_path(some_press(), 0.71, 0.128),
    planned_path(some_press(), 0.60, 0.14),
    DIAGONAL,
    HOOKED,
    STRAIGHT_UP,
)


@dataclass(frozen=True)
class Filmed:
    """One chance clip: its world, what the page sends of it, and how it was made."""

    world: World
    request: dict[str, Any]
    distance_m: float
    off_deg: float
    in_hand: bool
    lens: str
    arm: dict[str, float]


SIZES = ((1920, 1080), (1920, 1080), (1280, 720), (1080, 1920))


def filmed(
    rng: random.Random, sizes: Sequence[tuple[int, int]] = SIZES, rates: Sequence[int] = (24, 30, 60)
) -> Filmed:
    """A chance clip of one rep, of one of these sizes (px) and rates (pictures a second)."""
    side, iron = rng.choice((1, -1)), rng.random() < 0.5
    motion = Motion(
        rng.choice(PATHS),
        wait_s=0.4,
        down_s=rng.uniform(0.9, 1.6),
        pause_s=rng.uniform(0.0, 1.0),
        press_s=rng.uniform(0.8, 2.2),
        stall=rng.uniform(0.0, 0.9),
        down_bulge_m=rng.uniform(-0.02, 0.03),
    )
    count = rng.choice((1, 1, 2, 2, 3))
    plate = COLLAR_M + count * rng.uniform(*(IRON_M if iron else RUBBER_M))
    small = rng.random() < 0.2
    diameter = rng.uniform(0.32, 0.42) if small else rng.gauss(0.450, 0.001)
    lens = rng.choices(("main", "wide", "far"), (0.84, 0.06, 0.10))[0]
    main = MAIN_MM * math.exp(rng.gauss(0.0, MAIN_SD))
    focal_mm = main if lens == "main" else rng.uniform(*OTHER_MM[lens == "far"])
    distance = rng.uniform(2.0, 3.5 if lens == "wide" else 8.0)
    width, height = rng.choice(sizes)
    if width < height:
        distance = max(distance, 3.2 * focal_mm / MAIN_MM)
    distance = max(distance, 2.0 * focal_mm / MAIN_MM)
    focal_px = focal_mm / math.hypot(36, 24) * math.hypot(width, height)
    off = rng.uniform(-12.0, 12.0)
    above = rng.uniform(-0.35, 0.65)  # the lens, over the bar at half height
    room = 0.5 * min(width, height) - 0.52 * focal_px / distance
    camera = camera_at(
        (side * plate, *motion.way(0.5)),
        distance,
        off_deg=off,
        tilt_deg=math.degrees(math.asin(above / distance)),
        roll_deg=rng.gauss(0.0, 1.3),
        aim_px=(rng.uniform(-0.15, 0.15) * width, max(room, 0.0) * rng.uniform(-0.5, 0.5)),
        focal_px=focal_px,
        width=width,
        height=height,
        side=side,
        distortion=rng.gauss(0.0, 0.02 if lens == "wide" else 0.006),
    )
    hand = rng.random() < 0.3
    shake = Shake.of(rng, math.radians(rng.uniform(0.05, 0.4)), rng.uniform(0.001, 0.006)) if hand else None
    world = World(
        camera,
        motion,
        side=side,
        radius_m=diameter / 2,
        plate_middle_m=plate,
        bar_end_m=rng.gauss(1.10, 0.004),
        half_shoulder_m=rng.gauss(0.19, 0.012),
        shake=shake,
    )
    times = times_of(motion, rng.choice(rates), rng, rng.choice((0.0, 0.0, 0.6)))
    per_px = min(width, SHOWN_RADII * focal_px * diameter / 2 / distance) / SCREEN_PX
    marked = [rng.random() < 0.5 for _ in range(2)]  # joint, end: mended under the loupe
    miss = [per_px * rng.uniform(*(LOUPE_PX if one else THUMB_PX)) / math.sqrt(2) for one in marked]
    noise = Noise(
        middle_px=rng.uniform(0.1, 0.6),
        axes_px=rng.uniform(0.2, 1.0),
        mark_px=miss[0],
        joint_m=math.hypot(JOINT_M, MOVES_M),
        end_px=miss[1],
        outline_px=0.25,
        told_px=(told(marked[0], per_px), told(marked[1], per_px)),
        flank_m=random.Random(repr(distance)).choice(FLANK_SHARES)
        * (plate - COLLAR_M),  # moves no other chance
    )
    request = request_of(
        world,
        times,
        noise,
        rng,
        bar_end=rng.random() < 0.9,
        still=background(world, rng) if hand else (),
    )
    fields = {}
    if rng.random() < 0.3:
        fields["distance"] = f"{distance * (1 + rng.gauss(0, 0.03)):.2f}"
    if rng.random() < (0.5 if lens != "main" else 0.2):
        fields["focal"] = f"{focal_mm / rng.uniform(1.0, 1.1):.1f}"
    if small:
        fields["diameter"] = f"{100 * diameter + rng.uniform(-0.2, 0.2):.1f}"
    request["fields"] = fields
    request["camera"]["plates"] = "" if rng.random() < 0.15 else f"{'iron' if iron else 'rubber'}-{count}"
    arm = mark_arm(world, request, noise, rng)
    return Filmed(world, request, distance, off, hand, lens, arm)


def told(mended: bool, per_px: float) -> float:
    """What the page says of a mark's error, px of the picture (page/film/marking.mjs, MARK_SD)."""
    return max(0.7, (0.6 if mended else 3.0) * per_px)


def background(world: World, rng: random.Random) -> list[Point3]:
    """Places on the gym's walls and things, 0.5 to 5 m behind the lifter, spread over the picture."""
    camera, found = world.camera, list[Point3]()
    while len(found) < 20:
        u = (rng.uniform(0.05, 0.95) - 0.5) * camera.width / camera.focal_px
        v = (rng.uniform(0.05, 0.95) - 0.5) * camera.height / camera.focal_px
        far = abs(camera.place[0]) + rng.uniform(0.5, 5.0)
        x, y, z = (
            camera.place[i] + far * (camera.forward[i] + u * camera.right[i] + v * camera.down[i])
            for i in range(3)
        )
        found.append((x, y, z))
    return found


def mark_arm(world: World, request: dict[str, Any], noise: Noise, rng: random.Random) -> dict[str, float]:
    """Marks elbow and wrist with the bar on the chest; what they should give."""
    t = world.motion.chest_times()[0] + world.motion.pause_s / 2
    out = world.side * rng.gauss(0.40, 0.05)
    y, z = world.motion.bar(t)
    elbow, wrist = (y - rng.uniform(-0.03, 0.06), z - rng.uniform(0.24, 0.30)), (y + 0.01, z - 0.03)
    for name, joint in (("elbow", elbow), ("wrist", wrist)):
        found = (out, joint[0] + rng.gauss(0.0, JOINT_M), joint[1] + rng.gauss(0.0, JOINT_M))
        px, py = world.eye(t).to_pixel(found)
        sd = noise.mark_px
        mark = {"t": t, "x": px + rng.gauss(0, sd), "y": py + rng.gauss(0, sd)}
        request["marks"][name] = [mark | {"sd": noise.told_px[0] if noise.told_px else sd}]
    tilt = math.degrees(math.atan2(wrist[0] - elbow[0], wrist[1] - elbow[1]))
    return {"elbow_height": elbow[1], "forearm_tilt": tilt}


@dataclass(frozen=True)
class Row:
    """One number of one clip: whether its interval held the truth, its error and half its width."""

    clip: Filmed
    held: float
    error: float
    wide: float


def rows_of(clip: Filmed, result: Result) -> dict[str, Row]:
    """Every number that is shown of a clip, against the truth."""
    found: dict[str, Row] = {}

    def add(key: str, n: Number, true: float) -> None:
        found[key] = Row(clip, float(n.low <= true <= n.high), n.value - true, (n.high - n.low) / 2)

    rep, motion = result.reps[0], clip.world.motion
    for key, true in (true_numbers(clip.world) | clip.arm).items():
        if key in rep.numbers:
            add(key, rep.numbers[key], true)
    band = list(zip(rep.rise, rep.rise_low, rep.rise_high, strict=True))
    ways = [motion.way(i / (len(band) - 1))[0] for i in range(len(band))]
    inside = [low <= true <= high for (_, low, high), true in zip(band, ways, strict=True)]
    off = [y - true for ((_, y, _), _, _), true in zip(band, ways, strict=True)]
    wide = sum(high - low for _, low, high in band) / len(band) / 2
    found["path"] = Row(clip, sum(inside) / len(inside), math.sqrt(sum(d * d for d in off) / len(off)), wide)
    add("distance", result.distance, clip.distance_m)
    turned, margin = off_square(result.stance)
    add("angle", Number(turned, turned - margin, turned + margin), clip.off_deg)
    if rep.pause is not None:
        add("pause", rep.pause, motion.pause_s)
    if rep.speed is not None:
        speeds = true_speeds(motion)
        add("mean speed", rep.speed.mean, speeds["mean"][0])
        add("quickest speed", rep.speed.quickest.speed, speeds["quickest"][0])
        for name, one in zip(NAMES, rep.speed.slow or (), strict=bool(rep.speed.slow)):
            if name in speeds:
                add(f"{name} speed", one.speed, speeds[name][0])
                add(f"{name} height", one.up, speeds[name][1])
    return found


def tally(clips: int, seed: int, worlds: int = 100) -> dict[str, list[Row]]:
    """Every number of so many chance clips. A clip that is refused counts under "refused"."""
    rng, found = random.Random(seed), defaultdict[str, list[Row]](list)
    for _ in range(clips):
        clip = filmed(rng)
        result = read(clip.request, worlds)
        for key, row in rows_of(clip, result).items():
            found[key].append(row)
    return dict(found)


def share(rows: Iterable[Row]) -> float:
    """In how many of them the truth was inside."""
    held = [row.held for row in rows]
    return sum(held) / len(held) if held else math.nan


def report(found: dict[str, list[Row]]) -> str:
    """A line for each number: of all clips, of those on a stand, in a hand, by another lens."""
    lines = []
    for key, rows in found.items():
        parts = {
            "stand": [r for r in rows if not r.clip.in_hand],
            "hand": [r for r in rows if r.clip.in_hand],
            "lens": [r for r in rows if r.clip.lens != "main"],
            "no plates": [r for r in rows if not r.clip.request["camera"]["plates"]],
            "no end": [r for r in rows if "bar_end" not in r.clip.request["marks"]],
        }
        some = "  ".join(f"{name} {share(part):.2f}" for name, part in parts.items())
        rms = math.sqrt(sum(r.error**2 for r in rows) / len(rows))
        wide = sum(r.wide for r in rows) / len(rows)
        lines.append(f"{key:16} {len(rows):4} held {share(rows):.3f}  RMS {rms:.4f} half {wide:.4f}  {some}")
    return "\n".join(lines)
