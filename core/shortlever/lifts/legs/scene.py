"""What a lift from the legs is drawn from, to scale: shoes, the lifter's legs, trunk and head, the bar.

Joints are computed; outlines and widths are drawn by eye: nothing is measured off them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Protocol

from shortlever.draw.chart import Frame, label, limb
from shortlever.draw.svg import Drawing, Point, area, curve, dot, line, places
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, BALL_OF_FOOT, Standing
from shortlever.lifts.legs.leg import Knee, Leg, Vector
from shortlever.say import Text

SHANK_M, THIGH_M, TRUNK_M = 0.10, 0.15, 0.20  # how thick they are drawn
HEAD_M, HALF_FOOT_M = 0.105, 0.045  # radius; half a shoe's breadth
PUSH_M = 0.30  # how long the floor's push is drawn
TOE = 5  # of the points of a foot from above
TOES_M, UNDER_M, TICK_M = 0.34, 0.055, 0.02  # of a foot's direction from its heel; of the dimension under it
FRONT, OVER = ((0, -1), (2, -1)), ((0, 1), (1, -1))  # (axis, sign) right and down, as in ``draw.chart``
FLOOR_M, EDGE = 1.42, 5.0  # across the picture from above, where feet need no more; free beside it


class Pose(Protocol):
    """What is drawn of an instant."""

    @property
    def hip(self) -> Vector:
        """The right hip joint, m."""

    @property
    def knee(self) -> Knee:
        """The right knee."""

    @property
    def lean_rad(self) -> float:
        """The trunk from the vertical."""


def mirrored(point: Vector) -> Vector:
    """The same of the left side."""
    return -point[0], point[1], point[2]


def leg_of(leg: Leg, pose: Pose) -> tuple[Vector, Vector, Vector]:
    """Ankle, knee and hip of the right leg, m."""
    return leg.ankle, pose.knee.at, pose.hip


def trunk_of(body: Standing, pose: Pose) -> tuple[Vector, Vector, Vector]:
    """Middle of the hips, of the shoulder joints, and of the head, m."""
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)

    def along(far: float) -> Vector:
        return 0.0, pose.hip[1] + far * sine, pose.hip[2] + far * cosine

    return along(0.0), along(body.shoulder_m), along(body.neck_m + HEAD_M)


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


def heel_of(leg: Leg) -> tuple[float, float]:
    """The middle of the right heel's edge on the floor, m: right of the middle, ahead of the ankles."""
    far = ANKLE_OF_FOOT * leg.body.foot_m
    return leg.ankle[0] - far * leg.sin, -far * leg.cos


def sole_from_above(leg: Leg, mirror: bool) -> list[Vector]:
    """A foot from above, m, from the heel along its inner side (``TOE``: the place of the toes) and back."""
    body, sign = leg.body, -1.0 if mirror else 1.0
    shape = (
        *((0.0, -0.3), (0.06, -0.66), (0.4, -0.68), (BALL_OF_FOOT, -1.0), (0.92, -0.85), (0.99, -0.4)),
        *((0.98, 0.1), (0.88, 0.7), (BALL_OF_FOOT, 1.0), (0.4, 0.76), (0.06, 0.66), (0.0, 0.3)),
    )
    found = []
    for share, aside in shape:
        far, across = (share - ANKLE_OF_FOOT) * body.foot_m, aside * HALF_FOOT_M
        x = leg.ankle[0] + far * leg.sin + across * leg.cos
        found.append((sign * x, far * leg.cos - across * leg.sin, 0.0))
    return found


def from_the_side(body: Standing, leg: Leg, pose: Pose, frame: Frame) -> list[Drawing]:
    """Shoe, leg, trunk and head."""
    per, (hips, shoulders, head) = frame.per_m, trunk_of(body, pose)
    ankle, knee, hip = (frame.at(p) for p in leg_of(leg, pose))
    out: list[Drawing] = [area("fig-body", (frame.at(p) for p in shoe_from_the_side(leg)), "shoe")]
    out += limb("fig-limb", (ankle, knee), SHANK_M * per, "shank")
    out += limb("fig-limb", (knee, hip), THIGH_M * per, "thigh")
    out += limb("fig-limb", (frame.at(hips), frame.at(shoulders)), TRUNK_M * per, "trunk")
    out.append(dot("fig-body", frame.at(head), HEAD_M * per, "head"))
    return out


def feet_of(leg: Leg, frame: Frame, key: str) -> dict[str, list[Point]]:
    """What is drawn of the feet in one drawing, by the names of its parts."""
    if key == "above":
        outlines = {"shoe": sole_from_above(leg, False), "other-shoe": sole_from_above(leg, True)}
        outlines |= _measured(leg)
    else:
        outlines = {"shoe": shoe_from_the_side(leg)}
        if key == "front":
            outlines["other-shoe"] = [mirrored(p) for p in outlines["shoe"]]
    return {part: [frame.at(p) for p in outline] for part, outline in outlines.items()}


def shoes(leg: Leg, frame: Frame) -> list[Drawing]:
    """Both shoes from the front."""
    return [area("fig-body", points, part) for part, points in feet_of(leg, frame, "front").items()]


def frame_from_above(legs: Iterable[Leg], size: Point) -> Frame:
    """The frame from above: of one width for usual feet, wider for those that would leave it."""
    outlines = (part for leg in legs for part in (sole_from_above(leg, False), _measured(leg)["toe-line"]))
    widest = max(x for outline in outlines for x, _, _ in outline)
    width, height = size
    return Frame((width - 2 * EDGE) / max(FLOOR_M, 2 * widest), width / 2, height / 2, OVER)


def soles(leg: Leg, frame: Frame, kind: str = "fig-body") -> list[Drawing]:
    """Both feet from above."""
    outlines = feet_of(leg, frame, "above")
    return [area(kind, outlines[part], part) for part in ("shoe", "other-shoe")]


def _measured(leg: Leg) -> dict[str, list[Vector]]:
    """How far the heels are apart and how far the right toes point out, as lines on the floor, m."""
    (x, y), turn = heel_of(leg), leg.feet.turn_rad
    low, ticks = y - UNDER_M, (y - UNDER_M + TICK_M, y - UNDER_M - TICK_M)

    def from_heel(sign: float, angle: float) -> Vector:
        return sign * (x + TOES_M * math.sin(angle)), y + TOES_M * math.cos(angle), 0.0

    gap = [(-x, ticks[0]), (-x, ticks[1]), (-x, low), (x, low), (x, ticks[0]), (x, ticks[1])]
    return {
        "heel-gap": [(across, ahead, 0.0) for across, ahead in gap],
        "straight": [(x, y, 0.0), from_heel(1.0, 0.0)],
        "toe-line": [(x, y, 0.0), from_heel(1.0, turn)],
        "other-toe-line": [(-x, y, 0.0), from_heel(-1.0, turn)],
        "toe-arc": [from_heel(1.0, turn * i / 12) for i in range(13)],
    }


def measured_feet(leg: Leg, frame: Frame, heels: Text, turn: Text, width: float) -> list[Drawing]:
    """From above, on the feet: the distance of the heels, how far the toes point out, and both in words, in
    a picture as wide as ``width``."""
    outlines = feet_of(leg, frame, "above")
    out: list[Drawing] = [
        curve(kind, outlines[part], part)
        for part, kind in (
            ("straight", "fig-path"),
            ("toe-line", "fig-toes"),
            ("other-toe-line", "fig-toes"),
            ("toe-arc", "fig-arc"),
            ("heel-gap", "fig-stroke"),
        )
    ]
    (x, top), low = outlines["straight"][1], outlines["heel-gap"][2][1]
    out += label((min(x + 8.0, width - 128.0), top - 8.0), "start", turn)
    return out + label((width / 2, low + 24.0), "middle", heels)


def legs(leg: Leg, pose: Pose, frame: Frame, kind: str = "fig-limb") -> list[Drawing]:
    """Both legs, from the front or from above."""
    out: list[Drawing] = []
    for part, mirror in (("", False), ("other-", True)):
        ankle, knee, hip = (frame.at(mirrored(p) if mirror else p) for p in leg_of(leg, pose))
        out += limb(kind, (ankle, knee), SHANK_M * frame.per_m, f"{part}shank")
        out += limb(kind, (knee, hip), THIGH_M * frame.per_m, f"{part}thigh")
    return out


def trunk_outline(body: Standing, pose: Pose) -> list[Vector]:
    """Hips and shoulders, m."""
    half, (_, shoulders, _) = body.half_shoulder_m + 0.04, trunk_of(body, pose)
    wide = pose.hip[0] + 0.07
    (_, hy, hz), (_, sy, sz) = pose.hip, shoulders
    shape = [
        (wide, hy, hz),
        (0.75 * half, (hy + sy) / 2, (hz + sz) / 2),
        (half, sy, sz),
        (0.5 * half, sy, sz),
    ]
    return [*shape, *(mirrored(p) for p in reversed(shape))]


def trunk(body: Standing, pose: Pose, frame: Frame, kind: str = "fig-body") -> list[Drawing]:
    """Hips, shoulders and head, from the front or from above."""
    head = frame.at(trunk_of(body, pose)[2])
    outline = [frame.at(p) for p in trunk_outline(body, pose)]
    return [area(kind, outline, "trunk"), dot(kind, head, HEAD_M * frame.per_m, "head")]


def floors_push(leg: Leg, sideways: float, frame: Frame) -> list[Drawing]:
    """What the floor pushes, from the front: up, and a little inward (share ``sideways``)."""
    out: list[Drawing] = []
    for sign in (1.0, -1.0):
        foot = (sign * leg.ankle[0], 0.0, 0.0)
        tip = (foot[0] - sign * sideways * PUSH_M, 0.0, PUSH_M)
        out.append(line("fig-limit", frame.at(foot), frame.at(tip)))
    return out


def thigh_limit(body: Standing, pose: Pose, cap_rad: float, frame: Frame) -> Drawing:
    """How far comfort lets the left thigh turn out, from above."""
    reach, hip = body.thigh_m, mirrored(pose.hip)
    tip = (hip[0] - reach * math.sin(cap_rad), hip[1] + reach * math.cos(cap_rad), 0.0)
    return line("fig-limit", frame.at(hip), frame.at(tip))


def moving(body: Standing, leg: Leg, pose: Pose, frame: Frame, side: bool) -> dict[str, object]:
    """Where the moving parts of the body are in one pose, by their names."""
    ankle, knee, hip = leg_of(leg, pose)
    hips, shoulders, head = trunk_of(body, pose)
    shape = (hips, shoulders) if side else trunk_outline(body, pose)
    moved: dict[str, object] = {"head": list(frame.at(head)), "trunk": places(frame.at(p) for p in shape)}
    for part, points in (("shank", (ankle, knee)), ("thigh", (knee, hip))):
        moved[part] = places(frame.at(p) for p in points)
        if not side:
            moved[f"other-{part}"] = places(frame.at(mirrored(p)) for p in points)
    return moved
