"""What a pull is drawn from, to scale: floor, shoes, the lifter's body, the bar with its plates.

Joints are computed; outlines and widths are drawn by eye: nothing is measured off them.
"""

from __future__ import annotations

import math

from shortlever.draw.chart import Frame, limb
from shortlever.draw.svg import Drawing, Point, area, blob, dot, line
from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.deadlift.pull import Pose, Pull
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, BALL_OF_FOOT
from shortlever.lifts.legs.leg import Leg, Vector

SHANK_M, THIGH_M, TRUNK_M, ARM_M = 0.10, 0.15, 0.20, 0.075  # how thick they are drawn
HEAD_M, HAND_M, HALF_FOOT_M = 0.105, 0.042, 0.045  # radii; half a shoe's breadth
SLEEVE_M, PLATE_WIDTH_M, COLLAR_M = 0.415, 0.054, 0.03  # IWF equipment (memory)
Line = tuple[Point, Point]


def mirrored(point: Vector) -> Vector:
    """The same of the left side."""
    return -point[0], point[1], point[2]


def leg_of(pull: Pull, pose: Pose) -> tuple[Vector, Vector, Vector]:
    """Ankle, knee and hip of the right leg, m."""
    return pull.leg.ankle, pose.knee.at, pose.hip


def arm_of(pull: Pull, pose: Pose) -> tuple[Vector, Vector]:
    """Shoulder joint and middle of the right hand, m."""
    return (pull.body.half_shoulder_m, *pose.shoulder), (pull.grip_m / 2, *pose.bar)


def trunk_of(pull: Pull, pose: Pose) -> tuple[Vector, Vector, Vector]:
    """Middle of the hips, of the shoulder joints, and of the head, m."""
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)

    def along(far: float) -> Vector:
        return 0.0, pose.hip[1] + far * sine, pose.hip[2] + far * cosine

    return along(0.0), along(pull.body.shoulder_m), along(pull.body.neck_m + HEAD_M)


def low_back_of(pull: Pull, pose: Pose) -> Vector:
    """L5/S1, m."""
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)
    up, back = pull.l5s1_up, pull.l5s1_back
    return 0.0, pose.bar[0] - pose.back_arm_m, pose.hip[2] + up * cosine + back * sine


def shoe_from_the_side(leg: Leg) -> list[Vector]:
    """Heel, toes and instep, m."""
    body, sole = leg.body, leg.feet.sole_m

    def along(share: float, z: float) -> Vector:
        far = (share - ANKLE_OF_FOOT) * body.foot_m
        return leg.ankle[0] + far * leg.sin, far * leg.cos, z

    return [
        along(-0.03, 0.0),
        along(1.03, 0.0),
        along(1.0, sole + 0.03),
        along(BALL_OF_FOOT, sole + 0.055),
        along(ANKLE_OF_FOOT + 0.12, leg.ankle[2] + 0.02),
        along(-0.01, leg.ankle[2] + 0.01),
    ]


def sole_from_above(leg: Leg, mirror: bool) -> list[Vector]:
    """A foot from above, m."""
    body, sign = leg.body, -1.0 if mirror else 1.0
    shape = ((0.0, -0.7), (BALL_OF_FOOT, -1.0), (1.0, -0.4), (0.94, 0.5), (BALL_OF_FOOT, 1.0), (0.0, 0.7))
    found = []
    for share, aside in shape:
        far, across = (share - ANKLE_OF_FOOT) * body.foot_m, aside * HALF_FOOT_M
        x = leg.ankle[0] + far * leg.sin + across * leg.cos
        found.append((sign * x, far * leg.cos - across * leg.sin, 0.0))
    return found


def from_the_side(pull: Pull, pose: Pose, frame: Frame) -> list[Drawing]:
    """Shoe, leg, trunk, head and arm."""
    per, (hips, shoulders, head) = frame.per_m, trunk_of(pull, pose)
    ankle, knee, hip = (frame.at(p) for p in leg_of(pull, pose))
    out: list[Drawing] = [area("fig-body", (frame.at(p) for p in shoe_from_the_side(pull.leg)))]
    out += limb("fig-limb", (ankle, knee), SHANK_M * per, "shank")
    out += limb("fig-limb", (knee, hip), THIGH_M * per, "thigh")
    out += limb("fig-limb", (frame.at(hips), frame.at(shoulders)), TRUNK_M * per, "trunk")
    out.append(dot("fig-body", frame.at(head), HEAD_M * per, "head"))
    return out


def arms(pull: Pull, pose: Pose, frame: Frame, both: bool = True) -> list[Drawing]:
    """Straight arms with the hands round the bar."""
    out: list[Drawing] = []
    for part, mirror in (("arm", False), ("other-arm", True))[: 1 + both]:
        at = [frame.at(mirrored(p) if mirror else p) for p in arm_of(pull, pose)]
        hand = part.replace("arm", "hand")
        out += limb("fig-arm", at, ARM_M * frame.per_m, part)
        out.append(dot("fig-hand", at[1], HAND_M * frame.per_m, hand))
    return out


def legs(pull: Pull, pose: Pose, frame: Frame) -> list[Drawing]:
    """Both legs, from the front or from above."""
    out: list[Drawing] = []
    for part, mirror in (("", False), ("other-", True)):
        ankle, knee, hip = (frame.at(mirrored(p) if mirror else p) for p in leg_of(pull, pose))
        out += limb("fig-limb", (ankle, knee), SHANK_M * frame.per_m, f"{part}shank")
        out += limb("fig-limb", (knee, hip), THIGH_M * frame.per_m, f"{part}thigh")
    return out


def trunk(pull: Pull, pose: Pose, frame: Frame) -> list[Drawing]:
    """Hips, shoulders and head, from the front or from above."""
    half, (_, shoulders, head) = pull.body.half_shoulder_m + 0.04, trunk_of(pull, pose)
    wide = pose.hip[0] + 0.07
    (_, hy, hz), (_, sy, sz) = pose.hip, shoulders
    shape = [
        (wide, hy, hz),
        (0.75 * half, (hy + sy) / 2, (hz + sz) / 2),
        (half, sy, sz),
        (0.5 * half, sy, sz),
    ]
    outline = [*shape, *(mirrored(p) for p in reversed(shape))]
    return [
        blob("fig-body", [frame.at(p) for p in outline]),
        dot("fig-body", frame.at(head), HEAD_M * frame.per_m, "head"),
    ]


def bar_parts(puller: Puller, frame: Frame, y: float, z: float) -> dict[str, Line]:
    """The bar across the picture, to scale: the bar, its rings, its sleeves, a plate a side."""
    bar, radius = puller.gear.bar, round(PLATE_DIAMETER_M / 2 * frame.per_m, 1)
    inner = bar.between_collars_m / 2

    def at(x: float) -> Point:
        return frame.at((x, y, z))

    def upright(x: float, half: float) -> Line:
        a, b = at(x)
        return (a, round(b - half, 1)), (a, round(b + half, 1))

    parts = {"bar-across": (at(-inner), at(inner))}
    for side_of, word in ((1, "right"), (-1, "left")):
        parts[f"sleeve-{word}"] = at(side_of * inner), at(side_of * (inner + SLEEVE_M))
        parts[f"disc-{word}"] = upright(side_of * (inner + COLLAR_M + PLATE_WIDTH_M / 2), radius)
        for i, rings in enumerate(bar.rings_m):
            parts[f"ring-{word}-{i}"] = upright(side_of * rings / 2, 5.0)
    return parts


def bar_across(puller: Puller, frame: Frame, y: float, z: float) -> list[Drawing]:
    """The drawn ``bar_parts``."""
    parts = bar_parts(puller, frame, y, z)
    return [line(f"fig-{name.split('-')[0]}", a, b, name) for name, (a, b) in parts.items()]
