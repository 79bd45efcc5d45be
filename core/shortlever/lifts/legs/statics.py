"""What the joints of a leg bear in a pose: moments by r x F with the leg's own weight, and the joint effort.

Per leg: hip and knee moments along the knee's axis (extension), across and along the thigh; the ankle's along
the foot. The floor pushes each foot up with half the whole weight, and sideways with a share of that which
lifts nothing (friction); of that share the one of least effort is taken, within PUSH. Effort is the root of
the sum over joint actions of (moment / strength)².
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.legs.body import ANKLE_OF_FOOT
from shortlever.lifts.legs.leg import Leg, Vector
from shortlever.lifts.legs.strength import (
    ADDUCTION,
    BACK,
    DORSIFLEXION,
    HIP_EXTENSION,
    KNEE_EXTENSION,
    KNEE_FLEXION,
    PLANTARFLEXION,
    ROTATION,
    VALGUS,
    share,
)
from shortlever.units import GRAVITY_M_S2

LUMBAR = 0.20  # share of the trunk-thigh flexion that the lumbar spine gives (memory)
PUSH = 0.10  # the largest sideways share of a foot's force (assumption; see the sweep in the model page)
HAMSTRINGS = 0.20  # knee flexion moment that is free, per hip extension moment: the hamstrings give both
STRAIGHT = 1e-9


@dataclass(frozen=True, slots=True)
class Bearing:
    """What a pose asks of the joints; N·m per leg (``back``: L5/S1, whole), + as the load bends the joint.

    ``sideways``: outward / vertical force of the floor's push inward on each foot, as a share.
    ``hip_flexion_rad``: between trunk and thigh in space, 0 standing; ``knee_bend_rad``: 0 straight.
    ``parts``: moment / strength of hip, knee, adduction, rotation, valgus, ankle, back. ``effort``: the root
    of the sum of their squares. ``half_n``: the vertical force on a foot (N).
    """

    hip: float
    knee: float
    adduction: float
    rotation: float
    valgus: float
    ankle: float
    back: float
    sideways: float
    hip_flexion_rad: float
    knee_bend_rad: float
    hip_sagittal: float
    knee_sagittal: float
    half_n: float
    parts: tuple[float, float, float, float, float, float, float]
    effort: float


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def dot(a: Vector, b: Vector) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _towards(a: Vector, b: Vector, length: float) -> Vector:
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length, (b[2] - a[2]) / length


def pressure_at(leg: Leg, along_m: float) -> Vector:
    """The centre of pressure so far from under the ankle along the foot, m."""
    return leg.ankle[0] + along_m * leg.sin, leg.ankle[1] + along_m * leg.cos, 0.0


def below_joints(
    leg: Leg, knee: Vector, hip: Vector, half_n: float, along_m: float
) -> tuple[Vector, Vector, Vector, Vector]:
    """Moments of all that acts below hip and knee about them (N·m): hip's and its change with the sideways
    share, then the knee's. ``half_n``: vertical force on the foot, ``along_m``: its place from the ankle."""
    body = leg.body
    parts, weight = body.segments, body.body_mass_kg * GRAVITY_M_S2
    at = pressure_at(leg, along_m)
    thigh, shank, foot = parts.thigh * weight, parts.shank * weight, parts.foot * weight
    up = 1 - parts.shank_com
    sx, sy = leg.ankle[0] + up * (knee[0] - leg.ankle[0]), leg.ankle[1] + up * (knee[1] - leg.ankle[1])
    ahead = (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m
    fx, fy = leg.ankle[0] + ahead * leg.sin, leg.ankle[1] + ahead * leg.cos
    up = 1 - parts.thigh_com
    tx, ty = knee[0] + up * (hip[0] - knee[0]), knee[1] + up * (hip[1] - knee[1])

    def about(joint: Vector, thigh_n: float) -> tuple[Vector, Vector]:
        x, y, z = joint
        first = (at[1] - y) * half_n - (sy - y) * shank - (fy - y) * foot - (ty - y) * thigh_n
        second = (sx - x) * shank + (fx - x) * foot + (tx - x) * thigh_n - (at[0] - x) * half_n
        # the push inward, -half_n along x, at the floor
        return (first, second, 0.0), (0.0, z * half_n, (at[1] - y) * half_n)

    return *about(hip, thigh), *about(knee, 0.0)


def bearing(
    leg: Leg, knee: Vector, hip: Vector, lean_rad: float, weight_n: float, back_n_m: float, along_m: float
) -> Bearing:
    """What a pose asks of the joints. ``weight_n``: whole weight on both feet; ``back_n_m``: at L5/S1;
    ``along_m``: centre of pressure from the ankle along the foot; ``lean_rad``: of the trunk, forward."""
    body, half = leg.body, weight_n / 2
    scale = body.body_mass_kg * GRAVITY_M_S2 * body.stature_m
    hip_0, hip_1, knee_0, knee_1 = below_joints(leg, knee, hip, half, along_m)
    t, s = _towards(knee, hip, body.thigh_m), _towards(leg.ankle, knee, body.shank_m)
    axis = cross(s, t)
    size = math.sqrt(dot(axis, axis))
    axis = (axis[0] / size, axis[1] / size, axis[2] / size) if size > STRAIGHT else (1.0, 0.0, 0.0)
    across, valgus = cross(t, axis), cross(s, axis)
    sine, cosine = math.sin(lean_rad), math.cos(lean_rad)
    flexion = math.acos(max(-1.0, min(1.0, t[1] * sine + t[2] * cosine)))
    bend = math.acos(max(-1.0, min(1.0, dot(s, t))))
    # strength by the flexion of a thigh that is not turned out: the muscle model gains nothing from abduction
    plain = math.pi / 2 + lean_rad - math.asin(max(-1.0, min(1.0, t[2])))
    floor = body.floor
    strong_hip = share(HIP_EXTENSION, plain * (1 - LUMBAR), floor) * scale
    strong_knee = share(KNEE_EXTENSION, bend, floor) * scale
    asked = (
        (dot(hip_0, axis), dot(hip_1, axis), strong_hip),
        (-dot(knee_0, axis), -dot(knee_1, axis), strong_knee),
        (dot(hip_0, across), dot(hip_1, across), ADDUCTION * scale),
        (dot(hip_0, t), dot(hip_1, t), ROTATION * scale),
        (dot(knee_0, valgus), dot(knee_1, valgus), VALGUS * scale),
    )
    over = under = 0.0
    for still, moves, strong in asked:
        weighed = moves / (strong * strong)
        over += still * weighed
        under += moves * weighed
    k = max(-PUSH, min(PUSH, -over / under)) if under > 0 else 0.0
    h, kn, ad, ro, va = [still + k * moves for still, moves, _ in asked]
    if kn >= 0:
        knee_part = kn / strong_knee
    else:
        knee_part = -max(0.0, -kn - HAMSTRINGS * max(0.0, h)) / (share(KNEE_FLEXION, bend, floor) * scale)
    ankle = along_m * half
    shin = math.asin(max(-1.0, min(1.0, s[1] * leg.cos + s[0] * leg.sin))) - leg.tilt_rad
    strong_ankle = share(PLANTARFLEXION if ankle >= 0 else DORSIFLEXION, shin, floor) * scale
    parts = (
        h / strong_hip,
        knee_part,
        ad / (ADDUCTION * scale),
        ro / (ROTATION * scale),
        va / (VALGUS * scale),
        ankle / strong_ankle,
        back_n_m / (BACK * scale),
    )
    return Bearing(
        hip=h,
        knee=kn,
        adduction=ad,
        rotation=ro,
        valgus=va,
        ankle=ankle,
        back=back_n_m,
        sideways=k,
        hip_flexion_rad=flexion,
        knee_bend_rad=bend,
        hip_sagittal=hip_0[0],
        knee_sagittal=-knee_0[0],
        half_n=half,
        parts=parts,
        effort=math.hypot(*parts),
    )
