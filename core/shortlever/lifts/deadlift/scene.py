"""What only a pull is drawn with: arms with the hands round the bar, and the low back."""

from __future__ import annotations

import math

from shortlever.draw.chart import Frame, limb
from shortlever.draw.svg import Drawing, Point, dot
from shortlever.lifts.deadlift.pull import Pose, Pull
from shortlever.lifts.legs import scene as legs
from shortlever.lifts.legs.leg import Vector

ARM_M, HAND_M = 0.075, 0.042  # how thick an arm is drawn, a hand's radius


def arm_of(pull: Pull, pose: Pose) -> tuple[Vector, Vector]:
    """Shoulder joint and middle of the right hand, m."""
    return (pull.body.half_shoulder_m, *pose.shoulder), (pull.grip_m / 2, *pose.bar)


def low_back_of(pull: Pull, pose: Pose) -> Vector:
    """L5/S1, m."""
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)
    up, back = pull.l5s1_up, pull.l5s1_back
    return 0.0, pose.bar[0] - pose.back_arm_m, pose.hip[2] + up * cosine + back * sine


def _sides(pull: Pull, pose: Pose, frame: Frame, both: bool) -> list[tuple[str, list[Point]]]:
    """Shoulder joint and hand as they are drawn, by the beginning of their names."""
    sides = (("", False), ("other-", True))[: 1 + both]
    return [
        (name, [frame.at(legs.mirrored(p) if mirror else p) for p in arm_of(pull, pose)])
        for name, mirror in sides
    ]


def hands(pull: Pull, pose: Pose, frame: Frame, both: bool = True) -> list[Drawing]:
    """Hands round the bar."""
    found = _sides(pull, pose, frame, both)
    return [dot("fig-hand", at[1], HAND_M * frame.per_m, f"{name}hand") for name, at in found]


def arms(pull: Pull, pose: Pose, frame: Frame, both: bool = True, kind: str = "fig-arm") -> list[Drawing]:
    """Straight arms, without their hands."""
    out: list[Drawing] = []
    for name, at in _sides(pull, pose, frame, both):
        out += limb(kind, at, ARM_M * frame.per_m, f"{name}arm")
    return out
