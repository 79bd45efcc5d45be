"""A pinhole camera before a bar: from the picture to metres in planes square to the bar, and back.

Camera frame: X right, Y down, Z forward, m. The lifter's axes in it are unit vectors: ``away`` along the bar
from the near plate to the lifter, ``up``, and ``feet`` toward the feet; feet = away × up, which points to the
right of the picture (pictures with the feet on the left are mirrored first). Points in the plane ``beyond_m``
behind the plate's rim face have the coordinates y = feet · P and z = up · P: differences between planes keep
their meaning, since all planes share the two axes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Vector = tuple[float, float, float]
Point = tuple[float, float]


def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def unit(a: Vector) -> Vector:
    """The vector of length 1 along ``a``."""
    size = math.sqrt(dot(a, a))
    return (a[0] / size, a[1] / size, a[2] / size)


@dataclass(frozen=True)
class Lens:
    """Focal length (px), middle of the picture (px), and what the lens bends.

    ``bend`` is the share by which a point in the corner appears further out (+) or in (-) than it should,
    growing with the square of the distance from the middle; ``corner_px`` is that distance.
    """

    focal_px: float
    middle: Point
    corner_px: float
    bend: float = 0.0

    def ray(self, at: Point) -> Vector:
        """Direction of a picture point, with Z = 1."""
        x, y = at[0] - self.middle[0], at[1] - self.middle[1]
        if self.bend:
            # two rounds: at 3 % of bend in a corner the rest is under 0.1 px of 1000
            square = (x * x + y * y) / self.corner_px**2
            grow = 1 + self.bend * square / (1 + self.bend * square) ** 2
            x, y = x / grow, y / grow
        return (x / self.focal_px, y / self.focal_px, 1.0)

    def pixel(self, point: Vector) -> Point:
        """Picture point of a point in the camera frame."""
        x, y = self.focal_px * point[0] / point[2], self.focal_px * point[1] / point[2]
        grow = 1 + self.bend * (x * x + y * y) / self.corner_px**2
        return self.middle[0] + grow * x, self.middle[1] + grow * y


@dataclass(frozen=True)
class View:
    """A lens, the lifter's axes as it sees them, how far along the bar the rim's face is away (m), and how
    much of what is behind it (m) passes for rim where it is seen."""

    lens: Lens
    away: Vector
    up: Vector
    feet: Vector
    plate_m: float
    flank_m: float = 0.0

    def on_plane(self, at: Point, beyond_m: float) -> Point:
        """(y, z) in m of a picture point that lies ``beyond_m`` behind the rim's face (- nearer)."""
        x, y, _ = self.lens.ray(at)
        a, u, f = self.away, self.up, self.feet
        depth = (self.plate_m + beyond_m) / (a[0] * x + a[1] * y + a[2])
        return depth * (f[0] * x + f[1] * y + f[2]), depth * (u[0] * x + u[1] * y + u[2])

    def place(self, y_m: float, z_m: float, beyond_m: float = 0.0) -> Vector:
        """A point in the camera frame."""
        h = self.plate_m + beyond_m
        return (
            y_m * self.feet[0] + z_m * self.up[0] + h * self.away[0],
            y_m * self.feet[1] + z_m * self.up[1] + h * self.away[1],
            y_m * self.feet[2] + z_m * self.up[2] + h * self.away[2],
        )

    def disc_middle(self, at: Point, radius_m: float) -> Point:
        """(y, z) in m of the middle of a disc on the rim's plane whose outline's middle is seen at ``at``.

        A circle's outline is an ellipse, but its middle is not where the circle's middle is seen: with the
        dual conic of the circle, H (c cᵀ - r² diag(1, 1, 0)) Hᵀ, the outline's middle is the picture of
        c - r² (feet_z, up_z) / depth (Hartley and Zisserman 2003, Multiple View Geometry, 2nd ed., 2.2.3,
        8.2).
        """
        y0, z0 = self.on_plane(at, 0.0)
        if self.flank_m:
            (dx, dy), _ = self.flank(y0, z0, radius_m)
            y0, z0 = self.on_plane((at[0] - dx, at[1] - dy), 0.0)
        y, z = y0, z0
        square = radius_m * radius_m
        for _ in range(2):
            depth = y * self.feet[2] + z * self.up[2] + self.plate_m * self.away[2]
            y, z = y0 + square * self.feet[2] / depth, z0 + square * self.up[2] / depth
        return y, z

    def disc_outline(
        self, y_m: float, z_m: float, radius_m: float
    ) -> tuple[Point, tuple[float, float, float]]:
        """Outline of a disc on the rim's plane: its middle (px), and the matrix S (xx, xy, yy; px²) with
        (p - middle)ᵀ S⁻¹ (p - middle) = 1. The lens's bend is left out, and the flank."""
        f = self.lens.focal_px
        p, square = self.place(y_m, z_m), radius_m * radius_m

        def dual(i: int, j: int) -> float:
            return p[i] * p[j] - square * (self.feet[i] * self.feet[j] + self.up[i] * self.up[j])

        base = dual(2, 2)
        mx, my = dual(0, 2) / base, dual(1, 2) / base
        xx, xy, yy = (
            f * f * (m - dual(i, j) / base) for i, j, m in ((0, 0, mx * mx), (0, 1, mx * my), (1, 1, my * my))
        )
        return (self.lens.middle[0] + f * mx, self.lens.middle[1] + f * my), (xx, xy, yy)

    def flank(self, y_m: float, z_m: float, radius_m: float) -> tuple[Point, tuple[float, float, float]]:
        """By how much the flank brings the outline of a disc aside, and makes its half-axes matrix (xx, xy,
        yy) larger; px.

        Its back is seen s px aside of the face and, being further away, q px smaller. So at an angle a from
        there the outline is max(0, s cos a - q) further out; an ellipse takes of this the parts with 1, cos a
        and cos 2a.
        """
        p, away = self.place(y_m, z_m), self.away
        size = self.lens.focal_px * self.flank_m / (p[2] * p[2])
        sx, sy = size * (away[0] * p[2] - p[0] * away[2]), size * (away[1] * p[2] - p[1] * away[2])
        s, q = math.hypot(sx, sy), size * radius_m * away[2]
        if s <= q:
            return (0.0, 0.0), (0.0, 0.0, 0.0)
        turn, high = math.acos(q / s), math.sqrt(1 - (q / s) ** 2)
        aside, grow = (turn - q / s * high) / math.pi, (s * high - q * turn) / math.pi
        c, k = (2 * s * high**3 / (3 * math.pi) * v / (s * s) for v in (sx * sx - sy * sy, 2 * sx * sy))
        return (aside * sx, aside * sy), (grow + c, k, grow - c)


def upright(away: Vector, roll_rad: float) -> tuple[Vector, Vector]:
    """``up`` and ``feet`` for a level bar along ``away``, where plumb lines in the middle of the picture lean
    by ``roll_rad`` from its upright toward the right.

    >>> up, feet = upright((0.0, 0.0, 1.0), 0.0)
    >>> up[1], feet[0]
    (-1.0, 1.0)
    """
    x, y = math.sin(roll_rad), -math.cos(roll_rad)
    up = unit((x, y, -(x * away[0] + y * away[1]) / away[2]))
    return up, cross(away, up)


def along_edge(away: Vector, first: Vector, second: Vector) -> tuple[Vector, Vector] | None:
    """``up`` and ``feet`` for a bar along ``away`` and a level edge square to it, seen along two rays.

    The edge lies in the plane of the two rays, and square to the bar: that leaves one direction. None where
    the rays are one.
    """
    normal = cross(first, second)
    feet = cross(normal, away)
    size = math.sqrt(dot(feet, feet))
    if size < 1e-9:
        return None
    sign = 1.0 if feet[0] >= 0 else -1.0
    feet = (sign * feet[0] / size, sign * feet[1] / size, sign * feet[2] / size)
    return cross(feet, away), feet
