"""A made-up gym for the film check: a lifter, a bar that moves along a known path and a pinhole camera.

Standard library only. The lifter's frame is the model's: x right, y toward the feet, z up, origin midway
between the shoulder joints, m. Nothing here is shared with the core's own geometry: points go through a
camera matrix one by one, so that a wrong formula there cannot hide behind the same one here.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

from shortlever import Body, Tape
from shortlever.film.clip import read_clip
from shortlever.film.measure import WORLDS, Result, measure
from shortlever.film.speed import EDGE_SHARE, ENDS_M, SLOWER
from shortlever.film.stance import Known
from shortlever.lifts.bench.film import PRESS_FILM
from shortlever.lifts.bench.press import Press

Point3 = tuple[float, float, float]
Point2 = tuple[float, float]

# A planned path as (y, z) rows from the chest to lockout, m: the shape that the core plans, and others.
DIAGONAL = [(0.16, 0.13), (0.10, 0.28), (0.05, 0.41), (0.0, 0.53)]
STRAIGHT_UP = [(0.09, 0.10), (0.09, 0.25), (0.09, 0.48)]
HOOKED = [(0.13, 0.11), (0.075, 0.19), (0.03, 0.27), (0.004, 0.36), (0.0, 0.44), (-0.005, 0.52)]


def planned_path(press: Press, grip_m: float, touch_m: float) -> list[Point2]:
    """The core's own plan as (y, z) rows, m."""
    rep = press.rep(grip_m, touch_m)
    return list(zip(rep.path_m, rep.heights_m, strict=True))


def some_press(arm_m: float = 0.665, breadth_m: float = 0.416) -> Press:
    """The press of an invented lifter."""
    return Press(Body.from_tape(Tape(arm_length=arm_m, shoulder_breadth=breadth_m)), load_kg=80.0)


def _ease(s: float) -> float:
    """Minimum-jerk way from 0 to 1 (Flash and Hogan 1985, J Neurosci 5:1688): rest at both ends."""
    s = min(max(s, 0.0), 1.0)
    return s**3 * (10 - 15 * s + 6 * s * s)


@dataclass(frozen=True)
class Motion:
    """A set: waiting at lockout, down, pause, press, ``reps`` times. Durations in s; path (y, z) in m.

    ``down_bulge_m``: how much further toward the feet the bar comes down than it goes up, halfway. ``stall``
    (0 to 0.9) slows the press at its middle. ``partial`` is the share of the way up that the last rep gets.
    """

    path: Sequence[Point2]
    wait_s: float = 0.6
    down_s: float = 1.4
    pause_s: float = 0.7
    press_s: float = 1.3
    reps: int = 1
    down_bulge_m: float = 0.02
    stall: float = 0.3
    partial: float = 1.0

    @property
    def duration_s(self) -> float:
        return self.wait_s + self.reps * (self.down_s + self.pause_s + self.press_s + self.wait_s)

    def way(self, share: float) -> Point2:
        """(y, z) at a share of the height from chest to lockout: a natural cubic spline through the rows."""
        low, high = self.path[0][1], self.path[-1][1]
        z = low + share * (high - low)
        return _spline(tuple(self.path))(z), z

    def share(self, t: float) -> tuple[float, bool]:
        """Share of the way up, and whether the bar is going down, at a time."""
        cycle = self.down_s + self.pause_s + self.press_s + self.wait_s
        t -= self.wait_s
        number = min(max(int(t // cycle), 0), self.reps - 1) if t > 0 else 0
        t -= number * cycle
        top = self.partial if number == self.reps - 1 else 1.0
        if t <= 0:
            return 1.0, True
        if t < self.down_s:
            return 1 - _ease(t / self.down_s), True
        t -= self.down_s
        if t < self.pause_s:
            return 0.0, True
        s = (t - self.pause_s) / self.press_s
        if s >= 1:
            return top, False
        slowed = s + self.stall * math.sin(2 * math.pi * s) / (2 * math.pi)
        return top * _ease(slowed), False

    def bar(self, t: float) -> Point2:
        """(y, z) of the bar's middle at a time, m."""
        share, down = self.share(t)
        y, z = self.way(share)
        return (y + self.down_bulge_m * math.sin(math.pi * share) if down else y), z

    def chest_times(self) -> list[float]:
        """When the bar comes to the chest in each rep."""
        cycle = self.down_s + self.pause_s + self.press_s + self.wait_s
        return [self.wait_s + i * cycle + self.down_s for i in range(self.reps)]


@lru_cache(maxsize=64)
def _spline(rows: tuple[Point2, ...]) -> Callable[[float], float]:
    """y as a natural cubic spline of z through (y, z) rows (the usual tridiagonal equations)."""
    z, y = [r[1] for r in rows], [r[0] for r in rows]
    n = len(z)
    h = [b - a for a, b in pairwise(z)]
    diagonal, right, second = [1.0] * n, [0.0] * n, [0.0] * n
    for i in range(1, n - 1):
        diagonal[i] = 2 * (h[i - 1] + h[i])
        right[i] = 6 * ((y[i + 1] - y[i]) / h[i] - (y[i] - y[i - 1]) / h[i - 1])
        if i > 1:
            factor = h[i - 1] / diagonal[i - 1]
            diagonal[i] -= factor * h[i - 1]
            right[i] -= factor * right[i - 1]
    for i in range(n - 2, 0, -1):
        second[i] = (right[i] - (h[i] * second[i + 1] if i < n - 2 else 0.0)) / diagonal[i]

    def at(where: float) -> float:
        i = max(min(sum(1 for v in z if v <= where) - 1, n - 2), 0)
        a, b = z[i + 1] - where, where - z[i]
        return (
            (second[i] * a**3 + second[i + 1] * b**3) / (6 * h[i])
            + (y[i] / h[i] - second[i] * h[i] / 6) * a
            + (y[i + 1] / h[i] - second[i + 1] * h[i] / 6) * b
        )

    return at


def _minus(a: Point3, b: Point3) -> Point3:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _dot(a: Point3, b: Point3) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _add(a: Point3, b: Point3, by: float) -> Point3:
    return (a[0] + by * b[0], a[1] + by * b[1], a[2] + by * b[2])


def _times(a: Point3, by: float) -> Point3:
    return (by * a[0], by * a[1], by * a[2])


def _cross(a: Point3, b: Point3) -> Point3:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _unit(a: Point3) -> Point3:
    size = math.sqrt(_dot(a, a))
    return (a[0] / size, a[1] / size, a[2] / size)


@dataclass(frozen=True)
class Camera:
    """A pinhole camera: place in the lifter's frame (m), right, down and forward axes, focal length (px).

    ``distortion``: share by which a point in the corner is drawn outward (+) or inward (-) by the lens.
    """

    place: Point3
    right: Point3
    down: Point3
    forward: Point3
    focal_px: float
    width: int
    height: int
    distortion: float = 0.0

    def to_pixel(self, point: Point3) -> Point2:
        """Picture coordinates of a point in the lifter's frame."""
        d = _minus(point, self.place)
        depth = _dot(d, self.forward)
        x, y = self.focal_px * _dot(d, self.right) / depth, self.focal_px * _dot(d, self.down) / depth
        grow = 1 + self.distortion * 4 * (x * x + y * y) / (self.width**2 + self.height**2)
        return self.width / 2 + grow * x, self.height / 2 + grow * y


def camera_at(
    target: Point3,
    distance_m: float,
    *,
    off_deg: float = 0.0,
    tilt_deg: float = 0.0,
    roll_deg: float = 0.0,
    aim_px: Point2 = (0.0, 0.0),
    focal_px: float = 1500.0,
    width: int = 1920,
    height: int = 1080,
    side: int = 1,
    distortion: float = 0.0,
) -> Camera:
    """A camera ``distance_m`` from ``target`` on the lifter's right (side 1) or left (-1).

    ``off_deg``: from square-on toward the feet (+) or the head (-). ``tilt_deg``: above (+) the target.
    ``aim_px``: where the target appears, right and down from the middle of the picture.
    """
    off, tilt = math.radians(off_deg), math.radians(tilt_deg)
    out = (side * math.cos(tilt) * math.cos(off), math.cos(tilt) * math.sin(off), math.sin(tilt))
    place = (
        target[0] + distance_m * out[0],
        target[1] + distance_m * out[1],
        target[2] + distance_m * out[2],
    )
    toward = _unit(_minus(target, place))
    # first aim straight at the target, then turn so that it appears at aim_px
    forward, right, down = _axes(toward)
    ray = (aim_px[0] / focal_px, aim_px[1] / focal_px)
    forward = _unit(
        (
            toward[0] - ray[0] * right[0] - ray[1] * down[0],
            toward[1] - ray[0] * right[1] - ray[1] * down[1],
            toward[2] - ray[0] * right[2] - ray[1] * down[2],
        )
    )
    forward, right, down = _axes(forward)
    roll = math.radians(roll_deg)
    c, s = math.cos(roll), math.sin(roll)
    turned_right = (
        c * right[0] + s * down[0],
        c * right[1] + s * down[1],
        c * right[2] + s * down[2],
    )
    turned_down = _cross(forward, turned_right)
    return Camera(place, turned_right, turned_down, forward, focal_px, width, height, distortion)


def _axes(forward: Point3) -> tuple[Point3, Point3, Point3]:
    """Forward, right and down axes of a camera held upright."""
    right = _unit(_cross(forward, (0.0, 0.0, 1.0)))
    return forward, right, _cross(forward, right)


@dataclass(frozen=True)
class Shake:
    """How a hand moves a camera: a few waves of turning (rad: aside, up, about the line of sight) and of
    going (m: right, down, forward), each (size, rounds a second, start) by axis."""

    turns: Sequence[Sequence[Point3]]
    goes: Sequence[Sequence[Point3]]

    @staticmethod
    def of(rng: random.Random, turn_rad: float, go_m: float) -> Shake:
        """Waves of 0.2 to 3 Hz; both sizes as the RMS of an axis."""

        def waves(size: float) -> list[Point3]:
            some = [(rng.uniform(0.4, 1.0) / f**0.5, f, rng.uniform(0, 2 * math.pi)) for f in WAVES_HZ]
            whole = math.sqrt(sum(a * a for a, _, _ in some) / 2)
            return [(size * a / whole, f * rng.uniform(0.8, 1.2), start) for a, f, start in some]

        return Shake([waves(turn_rad) for _ in range(3)], [waves(go_m) for _ in range(3)])

    def held(self, camera: Camera, t: float) -> Camera:
        """That camera as it is held at a time."""

        def sums(axes: Sequence[Sequence[Point3]]) -> list[float]:
            return [sum(a * math.sin(2 * math.pi * f * t + s) for a, f, s in waves) for waves in axes]

        aside, up, roll = sums(self.turns)
        go = sums(self.goes)
        forward = _unit(_add(_add(camera.forward, camera.right, aside), camera.down, -up))
        right = _add(camera.right, camera.down, roll)
        right = _unit(_minus(right, _times(forward, _dot(right, forward))))
        place = camera.place
        for axis, by in zip((camera.right, camera.down, camera.forward), go, strict=True):
            place = _add(place, axis, by)
        return replace(camera, place=place, right=right, down=_cross(forward, right), forward=forward)


WAVES_HZ = (0.2, 0.45, 0.9, 1.7, 3.0)


def moved_of(
    world: World, t: float, still: Sequence[Point3], start: float, sd_px: float, rng: random.Random
) -> dict[str, float]:
    """How points of the background moved in the picture from a time to another, as the page says it: the
    shift, turn and growth about the picture's middle that fit them best (least squares)."""
    first, now = world.eye(start), world.eye(t)
    cx, cy = world.camera.width / 2, world.camera.height / 2
    a = [(x - cx, y - cy) for x, y in map(first.to_pixel, still)]
    b = [(x - cx + rng.gauss(0, sd_px), y - cy + rng.gauss(0, sd_px)) for x, y in map(now.to_pixel, still)]
    n = len(still)
    am, bm = ([sum(p[i] for p in some) / n for i in (0, 1)] for some in (a, b))
    c = s = w = 0.0
    for p, q in zip(a, b, strict=True):
        px, py, qx, qy = p[0] - am[0], p[1] - am[1], q[0] - bm[0], q[1] - bm[1]
        c, s, w = c + px * qx + py * qy, s + px * qy - py * qx, w + px * px + py * py
    c, s = c / w, s / w
    x, y = bm[0] - c * am[0] + s * am[1], bm[1] - s * am[0] - c * am[1]
    left = sum(
        (q[0] - c * p[0] + s * p[1] - x) ** 2 + (q[1] - s * p[0] - c * p[1] - y) ** 2
        for p, q in zip(a, b, strict=True)
    )
    return {
        "x": x, "y": y, "turn": math.degrees(math.atan2(s, c)), "grow": math.hypot(c, s),
        "sd": math.sqrt(left / (2 * n - 4) / n),
    }  # fmt: skip


@dataclass(frozen=True)
class World:
    """A lifter of known build under a known bar before a known camera."""

    camera: Camera
    motion: Motion
    side: int = 1
    radius_m: float = 0.225
    plate_middle_m: float = 0.69
    bar_end_m: float = 1.10
    half_shoulder_m: float = 0.19
    bench_edge_m: float = 0.15
    bench_below_m: float = 0.07
    shake: Shake | None = None

    def eye(self, t: float) -> Camera:
        """The camera as it is held at a time."""
        return self.shake.held(self.camera, t) if self.shake else self.camera

    def plate(self, t: float) -> Point3:
        """Middle of the near plate's rim face."""
        y, z = self.motion.bar(t)
        return (self.side * self.plate_middle_m, y, z)

    def rim(self, t: float, count: int = 72, start: float = 0.0, sweep: float = 2 * math.pi) -> list[Point2]:
        """Picture points of the rim."""
        x, y, z = self.plate(t)
        angles = [start + sweep * i / count for i in range(count)]
        camera = self.eye(t)
        return [
            camera.to_pixel((x, y + self.radius_m * math.cos(a), z + self.radius_m * math.sin(a)))
            for a in angles
        ]

    def outer(self, t: float, flank_m: float) -> list[Point2]:
        """The rim, and where so much of the flank is seen behind it, that."""
        face, back = self.rim(t), replace(self, plate_middle_m=self.plate_middle_m - flank_m).rim(t)
        x, y = (sum(p[i] for p in face) / len(face) for i in (0, 1))
        found = []
        for (fx, fy), (bx, by) in zip(face, back, strict=True):
            far = math.dist((fx, fy), (x, y))
            nx, ny = (fx - x) / far, (fy - y) / far
            out = max((bx - fx) * nx + (by - fy) * ny, 0.0)
            found.append((fx + out * nx, fy + out * ny))
        return found

    def shoulder_pixel(self) -> Point2:
        return self.camera.to_pixel((self.side * self.half_shoulder_m, 0.0, 0.0))

    def bar_end_pixel(self, t: float) -> Point2:
        y, z = self.motion.bar(t)
        return self.eye(t).to_pixel((self.side * self.bar_end_m, y, z))

    def edge_pixels(self) -> list[Point2]:
        """Two points on the near edge of the bench."""
        x = self.side * self.bench_edge_m
        return [self.camera.to_pixel((x, y, -self.bench_below_m)) for y in (-0.1, 0.75)]

    def feet(self) -> str:
        """On which side of the picture the feet are."""
        return "right" if self.side > 0 else "left"


def times_of(
    motion: Motion, rate: float, rng: random.Random | None = None, jitter: float = 0.0
) -> list[float]:
    """Frame times over a set; with ``jitter`` (share of a step, under 1) at a variable rate."""
    count = int(motion.duration_s * rate) + 1
    if rng is None:
        return [i / rate for i in range(count)]
    return [(i + jitter * (rng.random() - 0.5)) / rate for i in range(count)]


def outline_of(points: Sequence[Point2]) -> tuple[float, float, float, float, float]:
    """Middle and half-axes matrix (xx, xy, yy) of an ellipse, from the area moments of many points on it.

    For a regular n-gon in a circle the second moment is (2 + cos(2π/n)) / 12 of its area, for the circle 1/4.
    """
    count = len(points)
    ox, oy = points[0]
    area = mx = my = xx = xy = yy = 0.0
    for (ax, ay), (bx, by) in pairwise([*points, points[0]]):
        ax, ay, bx, by = ax - ox, ay - oy, bx - ox, by - oy
        part = (ax * by - bx * ay) / 2
        area += part
        mx += part * (ax + bx) / 3
        my += part * (ay + by) / 3
        xx += part * (ax * ax + ax * bx + bx * bx) / 6
        yy += part * (ay * ay + ay * by + by * by) / 6
        xy += part * (2 * ax * ay + ax * by + bx * ay + 2 * bx * by) / 12
    mx, my = mx / area, my / area
    grow = 12 / (2 + math.cos(2 * math.pi / count))
    xx, xy, yy = grow * (xx / area - mx * mx), grow * (xy / area - mx * my), grow * (yy / area - my * my)
    root = math.sqrt(xx * yy - xy * xy)
    size = math.sqrt(xx + yy + 2 * root)
    return ox + mx, oy + my, (xx + root) / size, xy / size, (yy + root) / size


@dataclass(frozen=True)
class Noise:
    """What goes wrong between the world and the numbers, 1 SD each (px; m at the joint). ``outline_px``: of
    the outlines of all pictures alike. ``told_px``: what the page says of marks, where that is not true.
    ``flank_m``: of what is behind the rim, what is taken for it."""

    middle_px: float = 0.3
    axes_px: float = 0.4
    mark_px: float = 2.0
    joint_m: float = 0.0
    end_px: float = 1.5
    outline_px: float = 0.0
    told_px: tuple[float, float] | None = None  # of the joint, of the bar's end
    flank_m: float = 0.0


def request_of(
    world: World,
    times: Sequence[float],
    noise: Noise,
    rng: random.Random,
    *,
    shoulder_times: Sequence[float] = (0.0,),
    bar_end: bool = True,
    edge: bool = False,
    lost: Sequence[int] = (),
    stands: str | None = None,
    plates: str = "iron-1",
    still: Sequence[Point3] = (),
) -> dict[str, Any]:
    """A ``film/measure`` request as a page would send it, with chance errors."""

    def off(sd: float) -> float:
        return rng.gauss(0.0, sd)

    wrong = [off(size * noise.outline_px) for size in (0.6, 0.8, 0.8)] if noise.outline_px else [0.0] * 3
    told = noise.told_px or (noise.mark_px, noise.end_px)
    frames: list[dict[str, Any]] = []
    for i, t in enumerate(times):
        if i in lost:
            frames.append({"t": t, "lost": True})
            continue
        x, y, xx, xy, yy = outline_of(world.outer(t, noise.flank_m))
        radial = noise.axes_px / math.sqrt(3)
        mean, across, skew = off(radial), off(math.sqrt(2) * radial), off(math.sqrt(2) * radial)
        mean, across, skew = mean + wrong[0], across + wrong[1], skew + wrong[2]
        xx, yy, xy = xx + mean + across, yy + mean - across, xy + skew
        apart = math.hypot((xx - yy) / 2, xy)
        frames.append(
            {
                "t": t,
                "x": x + off(noise.middle_px),
                "y": y + off(noise.middle_px),
                "sd": noise.middle_px,
                "a": (xx + yy) / 2 + apart,
                "b": (xx + yy) / 2 - apart,
                "tilt": math.degrees(math.atan2(2 * xy, xx - yy) / 2),
                "axes_sd": noise.axes_px,
                "quality": 0.9,
            }
        )
        if still:
            frames[-1]["moved"] = moved_of(world, t, still, times[0], 0.2, rng)
    joint = (world.side * world.half_shoulder_m, off(noise.joint_m), off(noise.joint_m))
    shoulder = []
    for t in shoulder_times:
        x, y = world.eye(t).to_pixel(joint)
        shoulder.append({"t": t, "x": x + off(noise.mark_px), "y": y + off(noise.mark_px), "sd": told[0]})
    marks: dict[str, Any] = {"shoulder": shoulder}
    if bar_end:
        t = times[0]
        x, y = world.bar_end_pixel(t)
        marks["bar_end"] = [{"t": t, "x": x + off(noise.end_px), "y": y + off(noise.end_px), "sd": told[1]}]
    if edge:
        marks["edge"] = [{"x": x + off(1.0), "y": y + off(1.0), "sd": 1.0} for x, y in world.edge_pixels()]
    return {
        "want": "film/measure",
        "unit": "cm",
        "picture": {"width": world.camera.width, "height": world.camera.height},
        "frames": frames,
        "marks": marks,
        "camera": {"feet": world.feet(), "stands": stands, "plates": plates},
    }


def true_speeds(motion: Motion) -> dict[str, tuple[float, float]]:
    """(speed, height above the chest) of a press, m/s and m, by small steps of the known movement: the mean,
    the quickest, and the slow stretch with its peaks where there is one."""
    start = motion.wait_s + motion.down_s + motion.pause_s
    times = [start + motion.press_s * i / 1500 for i in range(1501)]
    up = [motion.bar(t)[1] - motion.bar(start)[1] for t in times]
    speeds = [(motion.bar(t + 1e-5)[1] - motion.bar(t - 1e-5)[1]) / 2e-5 for t in times]

    def passes(height: float) -> int:
        return next(i for i, z in enumerate(up) if z >= height)

    stroke = up[-1]
    took = times[passes(stroke - ENDS_M)] - times[passes(ENDS_M)]
    found = {"mean": ((stroke - 2 * ENDS_M) / took, 0.0)}
    rows = list(zip(speeds, up, strict=True))[
        passes(EDGE_SHARE * stroke) : passes((1 - EDGE_SHARE) * stroke) + 1
    ]
    found["quickest"] = max(rows)
    low = min(
        (i for i in range(1, len(rows) - 1) if rows[i - 1][0] > rows[i][0] <= rows[i + 1][0]),
        key=lambda i: rows[i][0],
        default=None,
    )
    if low is not None:
        peaks = max(rows[:low]), max(rows[low:])
        if min(peaks)[0] - rows[low][0] >= SLOWER * max(peaks)[0]:
            found |= {"first": peaks[0], "slowest": rows[low], "second": peaks[1]}
    return found


def measured(request: dict[str, Any], known: Known | None = None, worlds: int = WORLDS) -> Result:
    """What the core makes of a request of a press, without the door."""
    return measure(read_clip(request, PRESS_FILM.marks), known or Known(), PRESS_FILM, worlds=worlds)


def true_numbers(world: World) -> dict[str, float]:
    """What the film check should find for one whole rep of the world, m."""
    motion = world.motion
    (low_y, low_z), (high_y, high_z) = motion.way(0.0), motion.way(1.0)
    rows = [motion.way(i / 200) for i in range(201)]
    area = sum((abs(a[0]) + abs(b[0])) / 2 * (b[1] - a[1]) for a, b in pairwise(rows))
    return {
        "touch": low_y,
        "range_of_motion": high_z - low_z,
        "mean_arm": area / (high_z - low_z),
        "arm_sticking": motion.way(0.5)[0],
        "chest_height": low_z,
        "lockout": high_y,
    }
