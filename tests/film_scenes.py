"""Paints made-up side-on clips of a bench press: for tests of the tracker, the screen and the whole chain.

``Painter(world, look).frame(t)`` is one picture (height, width, 3 RGB bytes). The geometry is that of
``tests.core.film_world``; here every pixel's ray is cut with the plate's plane, so that rims come out
anti-aliased and with true perspective whatever the angle. numpy only.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from shortlever.lifts.bench.press import Press
from tests.core.film_world import (
    Camera,
    Motion,
    Point3,
    World,
    camera_at,
    planned_path,
    some_press,
)

Picture = NDArray[np.float32]  # red, green, blue; rows; columns
Colour = tuple[int, int, int]

GRAIN_ROOM = 97  # px by which the sheet of grain is larger than a picture
PLATE_COLOURS: dict[str, Colour] = {
    "red": (176, 34, 40),
    "blue": (30, 66, 150),
    "yellow": (222, 184, 40),
    "green": (38, 120, 62),
    "black": (34, 34, 36),
    "iron": (92, 94, 98),
    "chalk": (206, 204, 198),
}


@dataclass(frozen=True)
class Look:
    """How a clip looks: plate colour, light, grain (SD in grey levels), shutter time (s), what is in the way.

    ``occluder``: "none", "post" (an upright of the rack before the plate) or "hand" (a spotter's forearm).
    ``thickness_m``: of the stack of plates behind the rim face. ``seed`` fixes the background and the grain.
    """

    plate: str = "red"
    background: Colour = (96, 100, 104)
    light: float = 1.0
    grain: float = 4.0
    shutter_s: float = 1 / 120
    occluder: str = "none"
    thickness_m: float = 0.06
    sleeve: bool = True
    person: bool = True
    seed: int = 1


class Painter:
    """Paints the frames of one clip; what stands still is painted once."""

    def __init__(self, world: World, look: Look | None = None, press: Press | None = None) -> None:
        self.world, self.look = world, look or Look()
        self.press = press
        self._still = self._background()
        shape = (world.camera.height + GRAIN_ROOM, world.camera.width + GRAIN_ROOM, 3)
        grain = np.random.default_rng(self.look.seed).standard_normal(shape, np.float32)
        self._grain = np.ascontiguousarray(np.moveaxis(grain, 2, 0)) * np.float32(self.look.grain)

    def _held(self, t: float) -> Painter:
        """A painter for the phone as it is held at a time; what stands still is painted anew."""
        held = copy.copy(self)
        held.world = replace(self.world, camera=self.world.eye(t), shake=None)
        held._still = held._background(wall=True)
        return held

    def frame(self, t: float) -> NDArray[np.uint8]:
        """One picture, RGB bytes; the shutter is open from t - shutter / 2 to t + shutter / 2."""
        if self.world.shake:
            return self._held(t).frame(t)
        look = self.look
        before, after = (
            self.world.camera.to_pixel(self.world.plate(t + s * look.shutter_s)) for s in (-0.5, 0.5)
        )
        steps = max(1, math.ceil(math.dist(before, after)))
        picture = self._moment(t + look.shutter_s * (0.5 / steps - 0.5))
        for i in range(1, steps):
            picture += self._moment(t + look.shutter_s * ((i + 0.5) / steps - 0.5))
        picture *= np.float32(1 / steps)
        if look.grain > 0:  # one sheet of grain, laid on at another place in every frame
            rng = np.random.default_rng([look.seed, round(1e6 * max(t, 0.0))])
            h, w = picture.shape[1:]
            y, x = rng.integers(0, GRAIN_ROOM, 2)
            picture += self._grain[:, y : y + h, x : x + w]
        picture += 0.5
        return np.ascontiguousarray(np.moveaxis(np.clip(picture, 0, 255, out=picture).astype(np.uint8), 0, 2))

    def frames(self, times: Iterable[float]) -> Iterable[NDArray[np.uint8]]:
        """The pictures at some times, one after another."""
        return (self.frame(t) for t in times)

    # what stands still

    def _wall(self) -> NDArray[np.float32]:
        """Light and dark posters of 30 cm on a wall 2 m behind the far plate, as rays meet them."""
        camera, side = self.world.camera, self.world.side
        u, v = straighten(camera, *self._grid((0, 0, camera.width, camera.height)))
        rays = [
            camera.forward[i]
            + (u - camera.width / 2) / camera.focal_px * camera.right[i]
            + (v - camera.height / 2) / camera.focal_px * camera.down[i]
            for i in range(3)
        ]
        depth = (-side * 2.7 - camera.place[0]) / rays[0]
        posters = np.random.default_rng(self.look.seed).normal(0.0, 14.0, (64, 64)).astype(np.float32)
        y, z = ((camera.place[i] + depth * rays[i]) / 0.3 + 32 for i in (1, 2))
        i, j = np.floor(y).astype(int), np.floor(z).astype(int)
        sharp = 0.3 * camera.focal_px / abs(-side * 2.7 - camera.place[0])  # px a poster: edges over one
        a, b = (np.clip((part % 1 - 0.5) * sharp + 0.5, 0, 1) for part in (y, z))
        rows = [(1 - b) * posters[k % 64, j % 64] + b * posters[k % 64, (j + 1) % 64] for k in (i, i + 1)]
        return ((1 - a) * rows[0] + a * rows[1]).astype(np.float32)

    def _background(self, wall: bool = False) -> Picture:
        look, camera = self.look, self.world.camera
        rng = np.random.default_rng(look.seed)
        h, w = camera.height, camera.width
        down = np.linspace(0.9, 1.1, h, dtype=np.float32)[:, None]
        picture = np.ones((3, h, w), np.float32) * np.array(look.background, np.float32)[:, None, None] * down
        coarse = rng.normal(0.0, 14.0, (h // 90 + 2, w // 90 + 2)).astype(
            np.float32
        )  # posters, windows, dirt
        picture += self._wall() if wall else np.kron(coarse, np.ones((90, 90), np.float32))[:h, :w]
        side = self.world.side
        pad = -self.world.bench_below_m
        for y, x in ((-0.42, -0.6), (-0.42, 0.56)):  # the rack's uprights, behind the near plate
            self._box(picture, (side * x, y, pad - 0.43), (side * x, y, pad + 0.75), 0.03, (58, 58, 64))
        edge = self.world.bench_edge_m
        top = [
            (side * edge, -0.3, pad),
            (side * edge, 0.9, pad),
            (-side * edge, 0.9, pad),
            (-side * edge, -0.3, pad),
        ]
        self._polygon(picture, top, (70, 60, 56))
        flank = [*top[:2], (side * edge, 0.9, pad - 0.06), (side * edge, -0.3, pad - 0.06)]
        self._polygon(picture, flank, (44, 38, 36))
        for y in (-0.2, 0.8):
            self._box(picture, (0.0, y, pad - 0.43), (0.0, y, pad - 0.06), 0.03, (64, 66, 70))
        return picture * np.float32(look.light)

    def _box(self, picture: Picture, a: Point3, b: Point3, half_m: float, colour: Colour) -> None:
        self._limb(picture, a, b, half_m, half_m, colour)

    # what moves

    def _moment(self, t: float) -> Picture:
        world, look, side = self.world, self.look, self.world.side
        picture = self._still.copy()
        y, z = world.motion.bar(t)
        self._disc(picture, (-side * world.plate_middle_m, y, z), world.radius_m, (52, 52, 54))
        if look.person:
            self._person(picture, y, z)
        self._limb(picture, (-side * 0.66, y, z), (side * 0.66, y, z), 0.014, 0.014, (150, 152, 156))
        if look.person:
            self._arm(picture, y, z, side)
        self._plate(picture, (side * world.plate_middle_m, y, z), t)
        if look.occluder == "post":
            middle, eye = world.motion.way(0.5), world.camera.place
            x = side * (world.plate_middle_m + 0.3)
            near = 0.3 / (abs(eye[0]) - world.plate_middle_m)
            y = middle[0] + 0.13 + near * (eye[1] - middle[0])  # before the plate, off its middle
            self._limb(picture, (x, y, -0.6), (x, y, 0.9), 0.02, 0.02, (48, 48, 52))
        elif look.occluder == "hand":
            near = side * (world.plate_middle_m + 0.15)
            self._limb(picture, (near, 0.75, 0.55), (near, y + 0.13, z + 0.13), 0.045, 0.035, (188, 140, 112))
        return picture

    def _plate(self, picture: Picture, at: Point3, t: float) -> None:
        """A stack of discs: the flank of the stack, then the face with its rings and lettering."""
        world, look, side = self.world, self.look, self.world.side
        base = PLATE_COLOURS[look.plate]
        flank: Colour = (base[0] * 6 // 10, base[1] * 6 // 10, base[2] * 6 // 10)
        x, y, z = at
        layers = max(2, math.ceil(look.thickness_m / 0.01))
        backs = [look.thickness_m * (layers - i) / layers for i in range(layers)]
        self._stack(picture, [*((x - side * back, y, z) for back in backs), at], world.radius_m, flank, base)
        lighter: Colour = (min(base[0] + 26, 255), min(base[1] + 26, 255), min(base[2] + 26, 255))
        self._disc(picture, at, 0.86 * world.radius_m, lighter)
        self._disc(picture, at, 0.80 * world.radius_m, base)
        turn = 0.4 + 0.05 * t
        for i in range(5):  # lettering, as spots that turn with the plate
            a = turn + 2 * math.pi * i / 5
            spot = (x, y + 0.58 * world.radius_m * math.cos(a), z + 0.58 * world.radius_m * math.sin(a))
            self._disc(picture, spot, 0.018, (230, 228, 220))
        self._disc(picture, at, 0.30 * world.radius_m, (120, 122, 126))
        self._disc(picture, at, 0.035, (58, 58, 60))
        if look.sleeve:
            end = (side * world.bar_end_m, y, z)
            self._limb(picture, at, end, 0.025, 0.025, (164, 166, 170))
            self._disc(picture, end, 0.025, (206, 208, 212))
            self._disc(picture, end, 0.012, (90, 92, 96))

    def _person(self, picture: Picture, y: float, z: float) -> None:
        """Trunk, head, legs and the far arm: blobs that are there to be confused with the plate."""
        side, pad = self.world.side, -self.world.bench_below_m
        self._arm(picture, y, z, -side)
        self._limb(picture, (0.0, -0.24, pad + 0.10), (0.0, -0.20, pad + 0.11), 0.09, 0.095, (196, 150, 122))
        self._limb(picture, (0.0, -0.02, pad + 0.11), (0.0, 0.28, pad + 0.15), 0.11, 0.13, (40, 58, 72))
        self._limb(picture, (0.0, 0.28, pad + 0.15), (0.0, 0.52, pad + 0.10), 0.13, 0.11, (40, 58, 72))
        self._limb(picture, (0.0, 0.52, pad + 0.10), (side * 0.2, 0.86, pad + 0.04), 0.09, 0.06, (28, 30, 36))
        self._limb(
            picture,
            (side * 0.2, 0.86, pad + 0.04),
            (side * 0.2, 0.78, pad - 0.42),
            0.06,
            0.05,
            (196, 150, 122),
        )

    def _arm(self, picture: Picture, y: float, z: float, side: int) -> None:
        shoulder = (side * self.world.half_shoulder_m, 0.0, 0.0)
        hand = (side * 0.40, y, z)
        elbow = self._elbow(y, z, side)
        self._limb(picture, shoulder, elbow, 0.055, 0.045, (196, 150, 122))
        self._limb(picture, elbow, hand, 0.045, 0.032, (206, 160, 130))
        self._limb(picture, hand, (side * 0.43, y, z), 0.045, 0.045, (206, 160, 130))

    def _elbow(self, y: float, z: float, side: int) -> Point3:
        """The elbow of two links, hanging down and toward the feet, on the circle that the links allow."""
        upper, fore = (
            (0.30, 0.34)
            if self.press is None
            else (self.press.body.right.upper_m, self.press.body.right.fore_m)
        )
        a = np.array([side * self.world.half_shoulder_m, 0.0, 0.0])
        b = np.array([side * 0.40, y, z])
        way = b - a
        far = min(float(np.linalg.norm(way)), upper + fore - 1e-6)
        unit = way / np.linalg.norm(way)
        along = (upper**2 - fore**2 + far**2) / (2 * far)
        hang = np.array([side * 0.75, 0.35, -1.0])
        hang -= unit * (hang @ unit)
        elbow = a + unit * along + hang / np.linalg.norm(hang) * math.sqrt(max(upper**2 - along**2, 0.0))
        return float(elbow[0]), float(elbow[1]), float(elbow[2])

    # shapes

    def _blend(
        self, picture: Picture, box: tuple[int, int, int, int], cover: NDArray[np.floating], colour: Colour
    ) -> None:
        x0, y0, x1, y1 = box
        cover = cover.astype(np.float32, copy=False)
        for plane, value in zip(picture, colour, strict=True):
            part = plane[y0:y1, x0:x1]
            part += cover * (np.float32(value * self.look.light) - part)

    def _window(self, points: Sequence[tuple[float, float]], room: float) -> tuple[int, int, int, int] | None:
        camera = self.world.camera
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        x0, x1 = max(math.floor(min(xs) - room), 0), min(math.ceil(max(xs) + room), camera.width)
        y0, y1 = max(math.floor(min(ys) - room), 0), min(math.ceil(max(ys) + room), camera.height)
        return (x0, y0, x1, y1) if x0 < x1 and y0 < y1 else None

    def _grid(self, box: tuple[int, int, int, int]) -> tuple[NDArray[np.floating], NDArray[np.floating]]:
        x0, y0, x1, y1 = box
        across, down = (np.arange(a, b, dtype=np.float32) + np.float32(0.5) for a, b in ((x0, x1), (y0, y1)))
        return np.meshgrid(across, down)

    def _disc(self, picture: Picture, middle: Point3, radius_m: float, colour: Colour) -> None:
        """A disc square to the bar."""
        box = self._round([middle], radius_m)
        if box is not None:
            self._blend(picture, box, self._cover(box, middle, radius_m), colour)

    def _stack(
        self, picture: Picture, middles: Sequence[Point3], radius_m: float, flank: Colour, face: Colour
    ) -> None:
        """Discs one before the other. A pixel at their common edge shows of the ground what none of them
        covers: laid on one after the other they would cover it again and again, and the rim would grow."""
        box = self._round(middles, radius_m)
        if box is None:
            return
        covers = [self._cover(box, middle, radius_m) for middle in middles]
        self._blend(picture, box, np.maximum.reduce(covers), flank)
        x0, y0, x1, y1 = box
        for plane, before, after in zip(picture, flank, face, strict=True):
            plane[y0:y1, x0:x1] += covers[-1].astype(np.float32) * np.float32(
                (after - before) * self.look.light
            )

    def _round(self, middles: Sequence[Point3], radius_m: float) -> tuple[int, int, int, int] | None:
        """The window round discs."""
        turns = [(radius_m * math.cos(a), radius_m * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 25)]
        rims = [self.world.camera.to_pixel((x, y + c, z + s)) for x, y, z in middles for c, s in turns]
        box = self._window(rims, 3.0)
        return None if box is None or min(box[2] - box[0], box[3] - box[1]) < 2 else box

    def _cover(self, box: tuple[int, int, int, int], middle: Point3, radius_m: float) -> NDArray[np.floating]:
        """What a disc covers of each pixel: pixel rays cut with its plane, edge faded over one pixel."""
        camera = self.world.camera
        u, v = straighten(camera, *self._grid(box))
        rays = [
            np.asarray(
                camera.forward[i]
                + (u - camera.width / 2) / camera.focal_px * camera.right[i]
                + (v - camera.height / 2) / camera.focal_px * camera.down[i]
            )
            for i in range(3)
        ]
        depth = (middle[0] - camera.place[0]) / rays[0]
        dy = camera.place[1] + depth * rays[1] - middle[1]
        dz = camera.place[2] + depth * rays[2] - middle[2]
        far = np.sqrt(dy * dy + dz * dz)
        down, right = np.gradient(far)
        step = np.maximum(np.sqrt(down * down + right * right), 1e-9)
        return np.clip((radius_m - far) / step + 0.5, 0, 1)

    def _limb(
        self, picture: Picture, a: Point3, b: Point3, radius_a_m: float, radius_b_m: float, colour: Colour
    ) -> None:
        """A round bar between two points, drawn as a capsule that tapers, darker toward its edges."""
        camera = self.world.camera
        ends = [camera.to_pixel(p) for p in (a, b)]
        sizes = []
        for p, r in ((a, radius_a_m), (b, radius_b_m)):
            depth = sum((p[i] - camera.place[i]) * camera.forward[i] for i in range(3))
            sizes.append(camera.focal_px * r / depth)
        box = self._window(ends, max(sizes) + 2)
        if box is None:
            return
        u, v = self._grid(box)
        way = ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]
        long = max(way[0] ** 2 + way[1] ** 2, 1e-9)
        share = np.clip(((u - ends[0][0]) * way[0] + (v - ends[0][1]) * way[1]) / long, 0, 1)
        far = np.hypot(u - ends[0][0] - share * way[0], v - ends[0][1] - share * way[1])
        wide = sizes[0] + share * (sizes[1] - sizes[0])
        self._blend(picture, box, np.clip(wide - far + 0.5, 0, 1), colour)
        darker: Colour = (colour[0] * 7 // 10, colour[1] * 7 // 10, colour[2] * 7 // 10)
        self._blend(
            picture, box, 0.8 * np.clip(far - 0.6 * wide, 0, 1) * np.clip(wide - far + 0.5, 0, 1), darker
        )

    def _polygon(self, picture: Picture, corners: Sequence[Point3], colour: Colour) -> None:
        """A flat convex shape."""
        points = [self.world.camera.to_pixel(p) for p in corners]
        box = self._window(points, 2.0)
        if box is None:
            return
        u, v = self._grid(box)
        cover = np.full(u.shape, np.inf)
        area = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, [*points[1:], points[0]], strict=True))
        for p, q in zip(points, [*points[1:], points[0]], strict=True):
            size = max(math.dist(p, q), 1e-9)
            inside = ((q[0] - p[0]) * (v - p[1]) - (q[1] - p[1]) * (u - p[0])) / size * math.copysign(1, area)
            cover = np.minimum(cover, inside)
        self._blend(picture, box, np.clip(cover + 0.5, 0, 1), colour)


def straighten(
    camera: Camera, u: NDArray[np.floating], v: NDArray[np.floating]
) -> tuple[NDArray[np.floating], NDArray[np.floating]]:
    """Picture coordinates without the lens's distortion (fixed point)."""
    if camera.distortion == 0:
        return u, v
    x0, y0 = u - camera.width / 2, v - camera.height / 2
    x, y = x0, y0
    for _ in range(8):
        grow = 1 + camera.distortion * 4 * (x * x + y * y) / (camera.width**2 + camera.height**2)
        x, y = x0 / grow, y0 / grow
    return x + camera.width / 2, y + camera.height / 2


def make_world(
    *,
    distance_m: float = 3.5,
    off_deg: float = 0.0,
    tilt_deg: float = 3.0,
    roll_deg: float = 0.0,
    focal_mm: float = 27.0,
    width: int = 1920,
    height: int = 1080,
    side: int = 1,
    motion: Motion | None = None,
    distortion: float = 0.0,
) -> tuple[World, Press]:
    """A world as filmed by a phone: an invented lifter pressing along the core's own plan.

    ``focal_mm`` is the 35 mm equivalent (by the picture's diagonal, 43.27 mm). Held upright where width is
    less than height: choose a distance that still shows the whole plate.
    """
    press = some_press()
    if motion is None:
        motion = Motion(planned_path(press, 0.71, 0.128))
    middle = motion.way(0.5)
    target = (side * 0.69, middle[0], middle[1])
    focal_px = focal_mm / math.hypot(36, 24) * math.hypot(width, height)
    camera = camera_at(
        target,
        distance_m,
        off_deg=off_deg,
        tilt_deg=tilt_deg,
        roll_deg=roll_deg,
        focal_px=focal_px,
        width=width,
        height=height,
        side=side,
        distortion=distortion,
    )
    return World(camera, motion, side=side, half_shoulder_m=press.body.half_shoulder_m), press


def smaller(world: World, width: int) -> World:
    """The same clip at another resolution."""
    camera = world.camera
    factor = width / camera.width
    return replace(
        world,
        camera=replace(
            camera, focal_px=camera.focal_px * factor, width=width, height=round(camera.height * factor)
        ),
    )
