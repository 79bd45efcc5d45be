"""A lifter's body: joint-to-joint lengths, segment masses and chest heights, from the tape.

Lengths m, masses kg. Nothing here depends on a lift.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shortlever.person.measure import TAPE_SD_M
from shortlever.person.population import INDEX, Estimate, Observation, estimate
from shortlever.person.tape import MEASURES, THUMB_OF_HAND_LENGTH, Tape

# de Leva 1996, J Biomech 29:1223, text below Table 4 (offsets from memory; an arithmetic cross-check against
# the segment lengths of Table 4 passes, see tests/authorities)
SHOULDER_BELOW_ACROMION = 0.104  # share of acromion-radiale
ELBOW_ABOVE_RADIALE = 0.043

# de Leva 1996, Table 4 (second-hand, two copies agree): men, women
UPPER_ARM_MASS = (0.0271, 0.0255)  # share of body mass
FOREARM_MASS = (0.0162, 0.0138)
HAND_MASS = (0.0061, 0.0056)
UPPER_ARM_COM = (0.5772, 0.5754)  # share of the segment from the proximal joint
FOREARM_COM = (0.4574, 0.4559)
WRIST_TO_GRIP = (0.321, 0.325)  # share of hand length; ANSUR II, see tests/authorities

# The shoulder joint lies inside the outer edge of the acromion, where the tape is held: the acromion reaches
# 0.64 to 0.73 of some 50 mm from socket to tubercle (Nyffeler 2006, second-hand), the joint's centre is one
# head radius of 24 mm, SD 2.1, from the socket (Iannotti 1992, 140 shoulders, abstract read).
ACROMION_OUTSIDE_JOINT_M = 0.010
ACROMION_OUTSIDE_JOINT_SD_M = 0.004
# Blades drawn back turn the collar bone by 16 degrees from about 20 (Ludewig 2004 JOSPT 34:140: 15 to 29 in
# movement, abstract read). The range is 15 to 30 (textbooks, second-hand; 9 in a whole-cadaver study of 14
# shoulders, abstract read). On a collar bone of 0.15 m (memory) that brings each joint 0.020 m inward.
COLLAR_BONE_M = 0.15
COLLAR_BONE_REST_RAD = math.radians(20)
COLLAR_BONE_BACK_RAD = math.radians(36)
RETRACTION_NARROWS_M = COLLAR_BONE_M * (math.cos(COLLAR_BONE_REST_RAD) - math.cos(COLLAR_BONE_BACK_RAD))
RETRACTION_NARROWS_SD_M = 0.006
JOINT_WIDTH_SD_M = 0.010  # of the distance between both joints, felt (common practice, no source)
# Shoulder joint above the pad, blades drawn back: acromion to table about 0.06 m (Lewis and Valentine 2007,
# memory), joint about 0.02 m in front of it (Reed 1999 SAE 1999-01-0959, second-hand), blades back about
# -0.01 m; no direct measurement was found. As a share of chest depth so that it grows with the body.
SHOULDER_HEIGHT_OF_CHEST_DEPTH = 0.28
SHOULDER_HEIGHT_SD_M = 0.015
# Breastbone notch: at the height of the shoulder tip along the trunk, at 0.6 of the chest height above the
# pad when lying flat (memory; suprasternale to C7 depth against chest depth).
NOTCH_HEIGHT_OF_CHEST = 0.60
# A tape far from anybody's must not put the chest over the shoulders (ANSUR II: 0.08 m at least).
LEAST_CHEST_DROP_M = 0.07
# The lengths of ``population`` that a lifter lying down is made of, or that tell of them.
LYING = (
    *("stature", "span", "shoulder_breadth", "upper_arm", "forearm_to_grip"),
    *("chest_depth", "chest_drop", "hand_breadth", "hand_length"),
)


def blades_forward(raise_m: float) -> float:
    """How far a shoulder joint moves outward when drawn-back blades let it forward by ``raise_m``, m."""
    sine = math.sin(COLLAR_BONE_BACK_RAD) - raise_m / COLLAR_BONE_M
    return COLLAR_BONE_M * (math.sqrt(1 - sine * sine) - math.cos(COLLAR_BONE_BACK_RAD))


@dataclass(frozen=True)
class Arm:
    """One arm: joint-to-joint lengths in m, masses in kg, centres of mass as share from the upper joint.

    ``fore`` runs from the elbow axis to the middle of the grip and includes the hand.
    """

    upper_m: float
    fore_m: float
    upper_mass_kg: float
    fore_mass_kg: float
    upper_com: float
    fore_com: float

    @property
    def reach_m(self) -> float:
        """Shoulder joint to grip with the elbow straight, m."""
        return self.upper_m + self.fore_m


@dataclass(frozen=True)
class Body:
    """Constants of one lifter, lying down (frame of the model: y toward the feet, z up; m, kg).

    ``half_shoulder_m``: shoulder joint from the midline, blades drawn back. ``shoulder_height_m``: shoulder
    joint above the pad. ``chest_flat_m`` and ``chest_arched_m``: breastbone above the pad at ``chest_y_m``
    toward the feet from the shoulder line. ``notch_y_m`` and ``notch_height_m``: the breastbone notch.
    ``measured``: the tape keys that were given; ``sd_m``: standard deviation of each estimated length.

    >>> body = Body.from_tape(Tape(arm_length=0.665, shoulder_breadth=0.416, sex="male"))
    >>> round(body.right.upper_m, 3), round(body.half_shoulder_m, 3)
    (0.286, 0.178)
    """

    right: Arm
    left: Arm
    biacromial_m: float
    half_shoulder_m: float
    shoulder_height_m: float
    chest_y_m: float
    chest_flat_m: float
    chest_arched_m: float
    notch_y_m: float
    notch_height_m: float
    body_mass_kg: float
    stature_m: float
    hand_breadth_m: float
    thumb_m: float
    measured: tuple[str, ...] = ()
    sd_m: tuple[tuple[str, float], ...] = ()

    @property
    def symmetric(self) -> bool:
        """Whether both arms are the same."""
        return self.right == self.left

    @property
    def reach_m(self) -> float:
        """The shorter arm's shoulder joint to grip, elbow straight, m: it decides the lockout."""
        return min(self.right.reach_m, self.left.reach_m)

    @staticmethod
    def from_tape(tape: Tape, tape_sd_m: float = TAPE_SD_M) -> Body:
        """The most likely body for a tape; what was not measured comes from ANSUR II (``population``)."""
        return from_estimate(estimate(observations(tape, tape_sd_m), tape.sex), tape)


def observations(tape: Tape, tape_sd_m: float = TAPE_SD_M) -> list[Observation]:
    """What the tape says about the dimensions of ``population``."""
    return told(tape.given(), tape_sd_m)


def told(given: Mapping[str, float], tape_sd_m: float = TAPE_SD_M) -> list[Observation]:
    """The same of tape numbers (SI) by their keys."""
    return [MEASURES[key].seen(value, tape_sd_m) for key, value in given.items() if MEASURES[key].tells]


def likely(given: Mapping[str, float], sex: str | None = None) -> dict[str, float]:
    """What each tape number is likely to be on a body with the numbers ``given``, as the model takes it where
    it is not taped; of nobody's numbers the middle of all people. SI; keys of MEASURES.

    >>> few, more = likely({}), likely({"arm_length": 0.70})
    >>> round(few["stature"], 2), round(more["stature"], 2)
    (1.69, 1.81)
    """
    found = estimate(told(given), sex)
    body = from_estimate(found, Tape())
    assumed = {
        "chest_arched": given.get("chest_flat", body.chest_flat_m),
        "shoulder_height": body.shoulder_height_m,
        "joint_width": 2 * body.half_shoulder_m,
    }
    for key, m in MEASURES.items():
        if m.tells:
            assumed[key] = found.foretold(m.seen(0.0, 0.0))[0]
    return {key: value for key, value in assumed.items() if key not in given}


@dataclass(frozen=True)
class Offsets:
    """What to add to the heights above the pad and to the shoulder's place, m: their error, to study it."""

    chest_flat_m: float = 0.0
    chest_arched_m: float = 0.0
    shoulder_height_m: float = 0.0
    half_shoulder_m: float = 0.0


def from_estimate(found: Estimate, tape: Tape, offsets: Offsets | None = None) -> Body:
    """The body that an estimate of the dimensions describes; chest and shoulder heights as the tape says."""
    off = offsets or Offsets()
    value = {name: found.mean[i] for name, i in INDEX.items()}
    lightest, heaviest = MEASURES["body_mass"].low, MEASURES["body_mass"].high
    mass = min(max(value["body_mass"], lightest), heaviest)  # a straight line would go on below nothing

    def by_sex(pair: tuple[float, float]) -> float:
        return found.male * pair[0] + (1 - found.male) * pair[1]

    def arm(side: str) -> Arm:
        acromion_radiale, radiale_grip = _side_lengths(value, getattr(tape, side) or {})
        upper = acromion_radiale * (1 - SHOULDER_BELOW_ACROMION - ELBOW_ABOVE_RADIALE)
        fore = radiale_grip + acromion_radiale * ELBOW_ABOVE_RADIALE
        to_wrist = fore - by_sex(WRIST_TO_GRIP) * value["hand_length"]
        fore_mass, hand_mass = by_sex(FOREARM_MASS) * mass, by_sex(HAND_MASS) * mass
        moment = fore_mass * by_sex(FOREARM_COM) * to_wrist + hand_mass * fore
        return Arm(
            upper_m=upper,
            fore_m=fore,
            upper_mass_kg=by_sex(UPPER_ARM_MASS) * mass,
            fore_mass_kg=fore_mass + hand_mass,
            upper_com=by_sex(UPPER_ARM_COM),
            fore_com=moment / ((fore_mass + hand_mass) * fore),
        )

    if tape.chest_flat is not None:
        chest_flat = tape.chest_flat
    else:  # an arch does not lower the chest, so an arched number caps the estimate
        chest_flat = min(value["chest_depth"], tape.chest_arched or value["chest_depth"])
    chest_flat += off.chest_flat_m
    shoulder_height = tape.shoulder_height or SHOULDER_HEIGHT_OF_CHEST_DEPTH * value["chest_depth"]
    shoulder_below = value["upper_arm"] * SHOULDER_BELOW_ACROMION
    if tape.joint_width is not None:
        half_shoulder = tape.joint_width / 2
    else:
        half_shoulder = value["shoulder_breadth"] / 2 - ACROMION_OUTSIDE_JOINT_M - RETRACTION_NARROWS_M
    return Body(
        right=arm("right"),
        left=arm("left"),
        biacromial_m=value["shoulder_breadth"],
        half_shoulder_m=half_shoulder + off.half_shoulder_m,
        shoulder_height_m=shoulder_height + off.shoulder_height_m,
        chest_y_m=max(value["chest_drop"], LEAST_CHEST_DROP_M) - shoulder_below,
        chest_flat_m=chest_flat,
        chest_arched_m=chest_flat if tape.chest_arched is None else tape.chest_arched + off.chest_arched_m,
        notch_y_m=-shoulder_below,
        notch_height_m=NOTCH_HEIGHT_OF_CHEST * chest_flat,
        body_mass_kg=mass,
        stature_m=value["stature"],
        hand_breadth_m=value["hand_breadth"],
        thumb_m=tape.thumb_length
        if tape.thumb_length is not None
        else THUMB_OF_HAND_LENGTH * value["hand_length"],
        measured=tuple(tape.given()),
        sd_m=tuple((name, found.sd(name)) for name in LYING),
    )


def _side_lengths(value: dict[str, float], own: object) -> tuple[float, float]:
    """Acromion-radiale and radiale-grip of one side; a side's own arm length is shared out in proportion."""
    upper, fore = value["upper_arm"], value["forearm_to_grip"]
    if isinstance(own, dict) and own:
        whole = own.get("arm_length")
        if "upper_arm" in own:
            upper = own["upper_arm"]
            fore = own.get("forearm_to_grip", whole - upper if whole else fore)
        elif "forearm_to_grip" in own:
            fore = own["forearm_to_grip"]
            upper = whole - fore if whole else upper
        elif whole:
            upper, fore = (part * whole / (upper + fore) for part in (upper, fore))
    return upper, fore
