"""The body of a lifter who stands: joint-to-joint lengths, segment masses and ankle, from the tape.

Lengths m, masses kg, angles rad. The trunk is one rigid part from the hips to the acromion.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shortlever.errors import InfeasibleError
from shortlever.person.body import (
    ACROMION_OUTSIDE_JOINT_M,
    SHOULDER_BELOW_ACROMION,
    likely,
    observations,
    told,
)
from shortlever.person.measure import TAPE_SD_M
from shortlever.person.population import INDEX, Estimate, estimate
from shortlever.person.tape import MEASURES, Tape
from shortlever.say import Said

REFERENCE_STATURE_M = 1.756  # what is given in m for one man grows with stature from here (ANSUR II, men)

ANKLE_OF_FOOT = 0.25  # ankle joint from the heel, share of foot length (memory)
BALL_OF_FOOT = 0.741  # ball from the heel, share of foot length (ANSUR II, ball of foot length)
MIDDLE_OF_FOOT = 0.50  # over which a lifter balances, share of foot length (common practice, no source)
MIDDLE_OF_FOOT_SD = 0.05  # (assumption)
PATELLA_M = (
    0.055  # knee axis to the front of the knee cap; ANSUR II knee height sitting less epicondyle 0.062
)
HALF_HIP_OF_BREADTH = (
    0.243  # hip joint from the midline, share of hip breadth (Harrington regression, memory)
)
SEAT_TO_HIP_M = 0.100  # hip joint above the seat, sitting (memory)
L5S1_UP, L5S1_BACK_M = 0.20, 0.030  # share of hip-acromion, m behind that line (memory)

# Ankle with the foot flat and the knee over the toes, where knee to wall is not taped (memory; practice)
DORSIFLEXION_RAD = math.radians(40)
DORSIFLEXION_SD_RAD = math.radians(7)
LUNGE_SD_RAD = math.radians(2)  # of one taped: 5 mm of tape at 3.6 degrees a centimetre (practice)


LEAST_SEGMENT_M, LEAST_FOOT_M = 0.20, 0.15  # of a body that a tape may describe


@dataclass(frozen=True)
class Segments:
    """Masses as shares of body mass, centres of mass as shares of the segment from its upper joint; of the
    trunk's parts and the head as shares of hip to neck, upward from the hip."""

    thigh: float
    shank: float
    foot: float
    arm: float
    head: float
    upper_trunk: float
    middle_trunk: float
    lower_trunk: float
    thigh_com: float
    shank_com: float
    foot_com: float
    lower_trunk_at: float
    middle_trunk_at: float
    upper_trunk_at: float
    head_at: float

    def mixed(self, other: Segments, share: float) -> Segments:
        """``share`` of these and the rest of the other's."""
        mine, theirs = vars(self), vars(other)
        return Segments(**{name: share * mine[name] + (1 - share) * theirs[name] for name in mine})


# de Leva 1996, J Biomech 29:1223, Table 4 (second-hand); the places of trunk parts and head are derived from
# its segment lengths. The foot's centre is from the heel.
MEN = Segments(
    0.1416, 0.0433, 0.0137, 0.0494, 0.0694, 0.1596, 0.1633, 0.1117,
    0.4095, 0.4459, 0.4415, 0.0938, 0.4379, 0.7968, 1.2012,
)  # fmt: skip
WOMEN = Segments(
    0.1478, 0.0481, 0.0129, 0.0449, 0.0668, 0.1545, 0.1465, 0.1247,
    0.3612, 0.4416, 0.4014, 0.150, 0.4785, 0.8128, 1.2045,
)  # fmt: skip


@dataclass(frozen=True)
class Standing:
    """Constants of one lifter who stands (m, kg, rad).

    ``trunk_m``, ``neck_m`` and ``shoulder_m``: hip joint to acromion, to the neck (C7) and to the shoulder
    joint along the trunk; ``half_hip_m`` and ``half_shoulder_m``: joints from the midline; ``arm_m``:
    shoulder joint to grip. ``crease_m``: the crease of the hip above the hip joint, ``knee_top_m``: the top
    of the knee above its joint, thigh level. ``dorsiflexion_rad``: how far the shin leans over a flat foot at
    most. ``measured``: the tape keys that were given. ``middle``, ``floor``: what is assumed of balance and
    of strength at the ends of range (see ``strength``), to study it.

    >>> body = Standing.from_tape(Tape(stature=1.756, body_mass=85.5, sex="male"))
    >>> round(body.thigh_m, 3), round(body.shank_m, 3), round(body.trunk_m, 3)
    (0.409, 0.419, 0.54)
    """

    stature_m: float
    body_mass_kg: float
    shank_m: float
    thigh_m: float
    ankle_height_m: float
    foot_m: float
    half_hip_m: float
    trunk_m: float
    neck_m: float
    shoulder_m: float
    half_shoulder_m: float
    arm_m: float
    crease_m: float
    knee_top_m: float
    dorsiflexion_rad: float
    hand_breadth_m: float
    segments: Segments
    measured: tuple[str, ...] = ()
    middle: float = MIDDLE_OF_FOOT
    floor: float = 0.5

    @property
    def size(self) -> float:
        """By how much what is given in m for one man of REFERENCE_STATURE_M grows."""
        return self.stature_m / REFERENCE_STATURE_M

    @property
    def below_knee_m(self) -> float:
        """How far the hip joint is below the knee joint when the crease is level with the knee's top, m."""
        return self.crease_m - self.knee_top_m

    @staticmethod
    def from_tape(tape: Tape, tape_sd_m: float = TAPE_SD_M) -> Standing:
        """The most likely body for a tape; what was not measured comes from ANSUR II (``population``)."""
        return standing(estimate(observations(tape, tape_sd_m), tape.sex), tape)


def standing(
    found: Estimate, tape: Tape, *, more_rad: float = 0.0, middle: float = MIDDLE_OF_FOOT, floor: float = 0.5
) -> Standing:
    """The body that an estimate of the dimensions describes.

    Raises InfeasibleError for a tape that describes nobody.

    ``more_rad``: dorsiflexion beyond the likely one, to study its error; ``middle`` and ``floor`` likewise.
    """
    value = {name: found.mean[i] for name, i in INDEX.items()}
    scale = MEASURES["body_mass"]
    shank, foot = value["knee_height"] - value["ankle_height"], value["foot_length"]
    size = value["stature"] / REFERENCE_STATURE_M
    if tape.knee_to_wall is None:
        ankle = DORSIFLEXION_RAD
    else:
        ankle = lunge_rad(shank, foot, tape.knee_to_wall, PATELLA_M * size)
    trunk, inside = value["acromion_height"] - value["hip_height"], SHOULDER_BELOW_ACROMION
    thigh = value["hip_height"] - value["knee_height"]
    if min(shank, thigh, trunk) < LEAST_SEGMENT_M or foot < LEAST_FOOT_M or value["hip_breadth"] <= 0:
        parts = {"shank_m": shank, "thigh_m": thigh, "trunk_m": trunk, "foot_m": foot}
        raise InfeasibleError(Said("legs_no_body", parts))
    return Standing(
        stature_m=value["stature"],
        body_mass_kg=min(max(value["body_mass"], scale.low), scale.high),
        shank_m=shank,
        thigh_m=thigh,
        ankle_height_m=value["ankle_height"],
        foot_m=foot,
        half_hip_m=HALF_HIP_OF_BREADTH * value["hip_breadth"],
        trunk_m=trunk,
        neck_m=value["neck_height"] - value["hip_height"],
        shoulder_m=trunk - inside * value["upper_arm"],
        half_shoulder_m=value["shoulder_breadth"] / 2 - ACROMION_OUTSIDE_JOINT_M,
        arm_m=(1 - inside) * value["upper_arm"] + value["forearm_to_grip"],
        crease_m=value["thigh_clearance"] - SEAT_TO_HIP_M * size,
        knee_top_m=value["knee_height_sitting"] - value["knee_height"],
        dorsiflexion_rad=ankle + more_rad,
        hand_breadth_m=value["hand_breadth"],
        segments=MEN.mixed(WOMEN, found.male),
        measured=tuple(tape.given()),
        middle=middle,
        floor=floor,
    )


def likely_of_legs(given: Mapping[str, float], sex: str | None) -> dict[str, float]:
    """See ``likely``; with knee to wall, of an ankle as it is taken where it is not taped.

    >>> round(likely_of_legs({}, "male")["knee_to_wall"], 3)
    0.108
    """
    found = likely(given, sex)
    if "knee_to_wall" in given:
        return found
    mean = estimate(told(given), sex).mean
    value = {name: mean[i] for name, i in INDEX.items()}
    patella = PATELLA_M * value["stature"] / REFERENCE_STATURE_M
    shank, foot = value["knee_height"] - value["ankle_height"], value["foot_length"]
    reach = shank * math.sin(DORSIFLEXION_RAD) + patella * math.cos(DORSIFLEXION_RAD)
    return found | {"knee_to_wall": reach - (1 - ANKLE_OF_FOOT) * foot}


def lunge_rad(shank_m: float, foot_m: float, knee_to_wall_m: float, patella_m: float) -> float:
    """Dorsiflexion from the distance of big toe and wall with the knee at the wall and the heel down, rad.

    The knee cap reaches as far as toes and distance: shank sin + patella cos = (1 - ANKLE_OF_FOOT) foot +
    distance, solved in closed form; a distance beyond the leg's reach gives the shin level.

    >>> round(math.degrees(lunge_rad(0.419, 0.271, 0.12, 0.055)))
    42
    """
    reach = (1 - ANKLE_OF_FOOT) * foot_m + knee_to_wall_m
    size = math.hypot(shank_m, patella_m)
    return math.asin(min(reach / size, 1.0)) - math.atan2(patella_m, shank_m)
