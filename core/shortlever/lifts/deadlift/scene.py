"""What only a pull is drawn with: arms with the hands round the bar, and the low back."""

from __future__ import annotations

import math

from shortlever.draw.chart import Frame, limb
from shortlever.draw.svg import Drawing, dot
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


def arms(pull: Pull, pose: Pose, frame: Frame, both: bool = True) -> list[Drawing]:
    """Straight arms with the hands round the bar."""
    out: list[Drawing] = []
    for part, mirror in (("arm", False), ("other-arm", True))[: 1 + both]:
        at = [frame.at(legs.mirrored(p) if mirror else p) for p in arm_of(pull, pose)]
        hand = part.replace("arm", "hand")
        out += limb("fig-arm", at, ARM_M * frame.per_m, part)
        out.append(dot("fig-hand", at[1], HAND_M * frame.per_m, hand))
    return out
