"""How the work of a lift is shared among the joints of the legs, by virtual work."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from shortlever.lifts.legs.body import ANKLE_OF_FOOT
from shortlever.lifts.legs.leg import Leg, Vector
from shortlever.lifts.legs.statics import below_joints, cross, dot, pressure_at
from shortlever.units import GRAVITY_M_S2

JOINTS = ("hip", "knee", "ankle")
Frame = tuple[Vector, Vector, Vector]
Instant = tuple[Vector, Vector, float, float]  # hip, knee (m), trunk lean (rad), sideways share


def _unit(a: Vector) -> Vector:
    size = math.sqrt(dot(a, a))
    return a[0] / size, a[1] / size, a[2] / size


def _frames(leg: Leg, hip: Vector, knee: Vector) -> tuple[Frame, Frame]:
    """The axes of thigh and shank: both share the knee's."""
    t = _unit((hip[0] - knee[0], hip[1] - knee[1], hip[2] - knee[2]))
    s = _unit((knee[0] - leg.ankle[0], knee[1] - leg.ankle[1], knee[2] - leg.ankle[2]))
    axis = _unit(cross(s, t))
    return (axis, t, cross(axis, t)), (axis, s, cross(axis, s))


def _turned(a: Frame, b: Frame) -> Vector:
    """The rotation from one frame to another near it, as a vector (rad), to second order."""
    x, y, z = (
        0.5 * sum(cross(before, after)[i] for before, after in zip(a, b, strict=True)) for i in range(3)
    )
    return x, y, z


def work_j(
    leg: Leg, instants: Sequence[Instant], weight_n: float, along_m: Sequence[float] | None = None
) -> dict[str, float]:
    """Work of the joints of both legs from pose to pose (J), the ankles' at the floor included.

    ``along_m``: where the feet are pressed at each instant, from the ankle; the middle where None. Hip:
    moment times the trunk's turn less the thigh's; knee: the thigh's less the shank's; ankle: the shank's.
    The sum is what all weights are raised by, to second order in the steps, where they lie over what is
    pressed.
    """
    body, half = leg.body, weight_n / 2
    pressed = along_m or [leg.middle_m] * len(instants)
    ahead = (body.segments.foot_com - ANKLE_OF_FOOT) * body.foot_m
    foot_n = body.segments.foot * body.body_mass_kg * GRAVITY_M_S2

    def moments(one: Instant, along: float) -> tuple[Vector, Vector, Vector]:
        hip, knee, _, k = one
        hip_0, hip_1, knee_0, knee_1 = below_joints(leg, knee, hip, half, along)
        at = pressure_at(leg, along)
        x, y = at[0] - leg.ankle[0], at[1] - leg.ankle[1]
        ankle = (
            y * half - ahead * leg.cos * foot_n,
            ahead * leg.sin * foot_n - x * half + k * leg.ankle[2] * half,
            k * y * half,
        )
        return _sum(hip_0, hip_1, k), _sum(knee_0, knee_1, k), ankle

    done = dict.fromkeys(JOINTS, 0.0)
    before, frames = moments(instants[0], pressed[0]), _frames(leg, instants[0][0], instants[0][1])
    for (here, there), along in zip(itertools.pairwise(instants), pressed[1:], strict=True):
        after, frames_after = moments(there, along), _frames(leg, there[0], there[1])
        thigh, shank = (_turned(a, b) for a, b in zip(frames, frames_after, strict=True))
        trunk = (here[2] - there[2], 0.0, 0.0)  # leaning forward turns against x
        for joint, a, b, turn in zip(
            JOINTS, before, after, (_sum(trunk, thigh, -1.0), _sum(thigh, shank, -1.0), shank), strict=True
        ):
            done[joint] += dot(_sum(a, b, 1.0), turn)  # both legs, of the mean of both moments
        before, frames = after, frames_after
    return done


def _sum(a: Vector, b: Vector, share: float) -> Vector:
    return a[0] + share * b[0], a[1] + share * b[1], a[2] + share * b[2]
