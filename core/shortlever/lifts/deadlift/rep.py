"""A whole pull: from the floor up in a straight line to lockout.

On the way the shoulders go from in front of the bar to behind it, late: by the third power of the way, so
that they are still in front when the bar passes the knee (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.deadlift.pull import THIGH_M, Pose, Pull

BEHIND_M = 0.05  # shoulder joints behind the bar at lockout (common practice, no source)
ROWS = 16  # heights below lockout
LATE = 3
TURNS, TOUCHES_M = 12, 1e-8  # until the hips are where the bar touches the thighs
STRAIGHT = 1 - 1e-7  # of the leg: a knee that is bent so little still has an axis


def lockout(pull: Pull, y: float) -> tuple[float, float] | None:
    """Legs straight, the bar at y on the thighs, arms down: the bar's height (m) and the trunk's lean (rad);
    None where the legs stand too far apart."""
    body, leg = pull.body, pull.leg
    long, aside = (body.shank_m + body.thigh_m) * STRAIGHT, leg.ankle[0] - body.half_hip_m
    hip_y, drop = y - THIGH_M * body.size, pull.drop_m(-BEHIND_M)
    up = lean = 0.0
    for _ in range(TURNS):
        square = long * long - aside * aside - hip_y * hip_y
        sine = (y - BEHIND_M - hip_y) / body.shoulder_m
        if square <= 0 or abs(sine) >= 1:
            return None
        hip = body.half_hip_m, hip_y, leg.ankle[2] + math.sqrt(square)
        knee = leg.knee(hip)
        if knee is None:
            return None
        lean = math.asin(sine)
        up = hip[2] + body.shoulder_m * math.cos(lean) - drop
        off = y - pull.front_m(knee.at, hip, up)
        if abs(off) < TOUCHES_M:
            break
        hip_y += off
    return up, lean


@dataclass(frozen=True)
class Rep:
    """Poses at equally spaced heights of the bar, from the floor to lockout, and the rows at which the bar
    could not clear the legs inside the limits and the nearest pose was taken."""

    poses: tuple[Pose, ...]
    outside: tuple[int, ...]

    @property
    def stroke_m(self) -> float:
        """How far the bar rises, m."""
        return self.poses[-1].bar[1] - self.poses[0].bar[1]

    @property
    def hardest(self) -> Pose:
        """The pose of most effort."""
        return max(self.poses, key=lambda pose: pose.effort)


def rep_of(pull: Pull, start: Pose) -> Rep | None:
    """The rep that begins with a start; None where it cannot be locked out."""
    y, low = start.bar
    found = lockout(pull, y)
    if found is None:
        return None
    high, upright = found
    top = pull.pose(y, high, -BEHIND_M, upright)
    if top is None:
        return None
    poses, outside, lean = [start], [], start.lean_rad
    for i in range(1, ROWS):
        share = i / ROWS
        ahead = start.ahead_m - (start.ahead_m + BEHIND_M) * share**LATE
        z = low + (high - low) * share
        pose = pull.settled(lambda _: y, z, ahead, lean)
        if pose is None:
            outside.append(i)
            pose = pull.nearest(y, z, ahead)
        if pose is None:
            return None
        poses.append(pose)
        lean = pose.lean_rad
    return Rep((*poses, top), tuple(outside))
