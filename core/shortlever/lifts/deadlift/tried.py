"""Feet and hands of a style worked out: the grip that clears, the start, the stroke, the room in each
limit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.deadlift.comfort import MOST_EVERSION_RAD
from shortlever.lifts.deadlift.pull import Pose, Pull
from shortlever.lifts.deadlift.rep import lockout
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs.body import ANKLE_OF_FOOT

LIMITS = ("spread", "apart", "evert", "hands", "plates")
ROUNDS = 6
TOE_M = 0.03  # from the middle of the toes to the shoe's outer edge (assumption)


@dataclass(frozen=True)
class Tried:
    """Feet and hands that were worked out (m). ``past_m``: the knee
    outside the ankle; ``rooms``: inside each of LIMITS, rad or tenths of a metre."""

    pull: Pull
    pose: Pose
    effort: float
    stroke_m: float
    past_m: float
    rooms: tuple[float, ...]


def tried(
    puller: Puller,
    style: str,
    stance_m: float,
    turn_rad: float,
    ahead_m: float,
    near: Tried | None = None,
    close_m: float = 5e-4,
) -> Tried | None:
    """Feet with the hands that clear them to ``close_m``; None where the legs hold no start there.

    ``near``: feet that are near, to begin with.
    """
    lean, past = (near.pose.lean_rad, near.past_m) if near else (1.0, 0.02)
    grip, rounds = grip_m(puller, style, stance_m / 2 + past), 0
    while True:
        pull = puller.on(stance_m, turn_rad, grip)
        pose = pull.start(puller.gear.start_m, ahead_m, lean) if pull.reaches else None
        if pose is None:
            return None
        past, lean = max(0.0, pose.knee.at[0] - stance_m / 2), pose.lean_rad
        before, grip, rounds = grip, grip_m(puller, style, stance_m / 2 + past), rounds + 1
        if abs(grip - before) < close_m or rounds == ROUNDS:
            break
    top = lockout(pull, pose.bar[0])
    if top is None:
        return None
    stroke = top[0] - pose.bar[1]
    return Tried(pull, pose, pose.effort, stroke, past, rooms(puller, style, pull, pose))


def grip_m(puller: Puller, style: str, leg_m: float) -> float:
    """Hands plumb, or where conventional ones clear legs that reach so far out, m."""
    plumb = puller.plumb_m
    return max(plumb, 2 * (leg_m + puller.beside_m)) if style == "conventional" else plumb


def rooms(puller: Puller, style: str, pull: Pull, pose: Pose) -> tuple[float, ...]:
    """How far feet and hands are inside each of LIMITS (rad; lengths as tenths of a metre)."""
    leg, comfort = pull.leg, puller.comfort
    spread = spread_rad(pose)
    plates = puller.gear.bar.between_collars_m / 2 - toe_m(pull)
    return (
        comfort.most_spread_rad(style) - spread,
        comfort.align_rad - abs(spread - leg.feet.turn_rad),
        MOST_EVERSION_RAD - abs(pose.knee.evert_rad),
        10 * puller.hands_room_m(style, pull, pose) if style == "sumo" else 1.0,
        10 * plates,
    )


def spread_rad(pose: Pose) -> float:
    """The thigh from straight ahead, seen from above, rad."""
    (hx, hy, _), (kx, ky, _) = pose.hip, pose.knee.at
    return math.atan2(kx - hx, ky - hy)


def toe_m(pull: Pull) -> float:
    """How far the shoe reaches from the midline, m."""
    leg = pull.leg
    return leg.ankle[0] + (1 - ANKLE_OF_FOOT) * leg.body.foot_m * leg.sin + TOE_M
