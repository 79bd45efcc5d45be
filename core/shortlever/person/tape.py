"""The tape: what can be measured on a lifter, in words, with its range and what it tells of a body.

Landmarks follow ISO 7250-1 where it has them. Lengths in m, mass in kg.

Over 300 lines: a number's row and its attribute are added together, so they stand together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shortlever.errors import InputError
from shortlever.person.measure import TAPE_SD_M, Measure, echo, refuse
from shortlever.person.together import refuse_heights, refuse_side, refuse_sum, unlikely
from shortlever.say import Said
from shortlever.units import plain_number, with_plain_numbers

# Lying presses standing chest depth into the pad by little; the spread of the two is not published.
CHEST_LYING_SD_M = 0.010
# Thumb as a share of hand length: 0.0495 m in 51 adults (Chatzioglou 2024 Anat Cell Biol 57(2), abstract
# read: photographs, to its crease); root crease to tip along the thumb 0.36 of hand length (memory).
THUMB_OF_HAND_LENGTH = 0.36
# The knob of the hip is felt through muscle: 10 mm in all, twice what a tape errs elsewhere (assumption).
HIP_BONE_FELT_SD_M = TAPE_SD_M * math.sqrt(3)

# Ranges are wider than ANSUR II's extremes (0.43 m to 0.80 m arms, 0.28 m to 0.49 m shoulders) so that very
# small and very tall lifters fit; a value outside is a slip of the tape or of the unit.
MEASURES: dict[str, Measure] = {
    m.key: m
    for m in (
        Measure(
            "arm_length",
            Said("tape_arm_length"),
            Said("tape_arm_length_how"),
            0.45,
            0.90,
            example=62.0,
            letter="a",
            names="arm length|arm|arms|whole arm|full arm|whole arm length|acromion grip|shoulder grip|"
            "shoulder fist",
            tells={"upper_arm": 1.0, "forearm_to_grip": 1.0},
        ),
        Measure(
            "shoulder_breadth",
            Said("tape_shoulder_breadth"),
            Said("tape_shoulder_breadth_how"),
            0.26,
            0.56,
            example=39.0,
            letter="b",
            names="shoulder breadth|shoulder width|shoulders width|shoulders breadth|biacromial|"
            "biacromial breadth|biacromial width|shoulder shoulder|bi acromial|bi acromial breadth",
            tells={"shoulder_breadth": 1.0},
        ),
        Measure(
            "upper_arm",
            Said("tape_upper_arm"),
            Said("tape_upper_arm_how"),
            0.22,
            0.46,
            example=32.0,
            letter="m",
            names="upper arm|upper arm length|humerus|humerus length|shoulder elbow",
            tells={"upper_arm": 1.0},
        ),
        Measure(
            "forearm_to_grip",
            Said("tape_forearm_to_grip"),
            Said("tape_forearm_to_grip_how"),
            0.22,
            0.48,
            example=31.0,
            letter="w",
            names="forearm grip|forearm|forearm length|lower arm|lower arm length|elbow grip|elbow fist",
            tells={"forearm_to_grip": 1.0},
        ),
        Measure(
            "stature",
            Said("tape_stature"),
            Said("tape_stature_how"),
            1.30,
            2.30,
            example=172.0,
            letter="n",
            names="height|stature|body height|standing height",
            tells={"stature": 1.0},
        ),
        Measure(
            "span",
            Said("tape_span"),
            Said("tape_span_how"),
            1.25,
            2.50,
            example=176.0,
            letter="p",
            names="span|arm span|wing span|fingertip fingertip",
            tells={"span": 1.0},
        ),
        Measure(
            "body_mass",
            Said("tape_body_mass"),
            Said("tape_body_mass_how"),
            35.0,
            260.0,
            kind="mass",
            example=75.0,
            letter="y",
            names="body mass|body weight|weight|mass|bw|bodymass",
            tells={"body_mass": 1.0},
        ),
        Measure(
            "chest_flat",
            Said("tape_chest_flat"),
            Said("tape_chest_flat_how"),
            0.13,
            0.45,
            example=24.0,
            letter="f",
            names="chest flat|chest height flat|flat chest lying|chest lying flat|chest depth",
            tells={"chest_depth": 1.0},
            apart_m=CHEST_LYING_SD_M,
        ),
        Measure(
            "chest_arched",
            Said("tape_chest_arched"),
            Said("tape_chest_arched_how"),
            0.13,
            0.60,
            example=29.0,
            letter="h",
            names="chest arched|chest height arched|chest height arch|chest arch|chest arch height",
        ),
        Measure(
            "shoulder_height",
            Said("tape_shoulder_height"),
            Said("tape_shoulder_height_how"),
            0.02,
            0.18,
            example=7.0,
            letter="s",
            names="shoulder height|shoulder height above pad|shoulder pad|shoulder above pad",
        ),
        Measure(
            "joint_width",
            Said("tape_joint_width"),
            Said("tape_joint_width_how"),
            0.20,
            0.50,
            example=33.0,
            letter="z",
            names="shoulder joints|joint width|shoulder joint width|joints",
        ),
        Measure(
            "hand_breadth",
            Said("tape_hand_breadth"),
            Said("tape_hand_breadth_how"),
            0.06,
            0.12,
            example=8.5,
            letter="d",
            names="hand breadth|hand width|palm width|palm breadth",
            tells={"hand_breadth": 1.0},
        ),
        Measure(
            "thumb_length",
            Said("tape_thumb_length"),
            Said("tape_thumb_length_how"),
            0.04,
            0.10,
            example=6.5,
            names="thumb length|thumb",
            tells={"hand_length": THUMB_OF_HAND_LENGTH},
        ),
        Measure(
            "hip_bone_height",
            Said("tape_hip_bone_height"),
            Said("tape_hip_bone_height_how"),
            0.60,
            1.25,
            example=89.0,
            letter="H",
            names="hip bone height|hip height|trochanter height|trochanterion height|trochanter|hip bone",
            tells={"hip_height": 1.0},
            apart_m=HIP_BONE_FELT_SD_M,
        ),
        Measure(
            "shoulder_tip_height",
            Said("tape_shoulder_tip_height"),
            Said("tape_shoulder_tip_height_how"),
            1.00,
            1.95,
            example=141.0,
            letter="S",
            names="shoulder tip height|acromion height|acromial height|shoulder tip",
            tells={"acromion_height": 1.0},
        ),
        Measure(
            "knee_bump_height",
            Said("tape_knee_bump_height"),
            Said("tape_knee_bump_height_how"),
            0.33,
            0.72,
            example=48.5,
            letter="K",
            names="knee bump height|knee bump|outer knee height|knee height standing|epicondyle height",
            tells={"knee_height": 1.0},
        ),
        Measure(
            "knee_to_wall",
            Said("tape_knee_to_wall"),
            Said("tape_knee_to_wall_how"),
            0.01,
            0.25,
            example=11.0,
            letter="W",
            names="knee wall|knee wall distance|lunge|weight bearing lunge|toe wall|ankle lunge",
        ),
        Measure(
            "foot_length",
            Said("tape_foot_length"),
            Said("tape_foot_length_how"),
            0.18,
            0.36,
            example=26.5,
            letter="F",
            names="foot length|foot",
            tells={"foot_length": 1.0},
        ),
        Measure(
            "hip_breadth",
            Said("tape_hip_breadth"),
            Said("tape_hip_breadth_how"),
            0.24,
            0.55,
            example=34.5,
            letter="B",
            names="hip breadth|hip width|hips width|hips breadth",
            tells={"hip_breadth": 1.0},
        ),
        Measure(
            "sitting_height",
            Said("tape_sitting_height"),
            Said("tape_sitting_height_how"),
            0.65,
            1.15,
            example=91.0,
            letter="Z",
            names="sitting height|seated height|seat head",
            tells={"sitting_height": 1.0},
        ),
        Measure(
            "crotch_height",
            Said("tape_crotch_height"),
            Said("tape_crotch_height_how"),
            0.55,
            1.15,
            example=83.0,
            letter="C",
            names="inseam|crotch height|inside leg|inner leg|leg length inside",
            tells={"crotch_height": 1.0},
        ),
    )
}
SEXES = ("male", "female")


@dataclass(frozen=True)
class Tape:
    """Tape numbers of one lifter; whatever was not measured is None.

    arm_length, shoulder_breadth and the other lengths in m, body_mass in kg, sex "male", "female" or None.
    ``left`` and ``right`` may hold upper_arm, forearm_to_grip or arm_length of one side in m.
    Values are checked: InputError names the field, the value, the range and the remedy.

    >>> Tape(arm_length=0.66, shoulder_breadth=0.41).arm_length
    0.66
    """

    arm_length: float | None = None
    shoulder_breadth: float | None = None
    upper_arm: float | None = None
    forearm_to_grip: float | None = None
    stature: float | None = None
    span: float | None = None
    body_mass: float | None = None
    sex: str | None = None
    chest_flat: float | None = None
    chest_arched: float | None = None
    shoulder_height: float | None = None
    joint_width: float | None = None
    hand_breadth: float | None = None
    thumb_length: float | None = None
    hip_bone_height: float | None = None
    shoulder_tip_height: float | None = None
    knee_bump_height: float | None = None
    knee_to_wall: float | None = None
    foot_length: float | None = None
    hip_breadth: float | None = None
    sitting_height: float | None = None
    crotch_height: float | None = None
    left: Mapping[str, float] | None = None
    right: Mapping[str, float] | None = None

    def __post_init__(self) -> None:
        with_plain_numbers(self, MEASURES)
        for side in ("left", "right"):
            own = getattr(self, side)
            if isinstance(own, Mapping):
                object.__setattr__(self, side, {key: plain_number(value) for key, value in own.items()})
        for key, m in MEASURES.items():
            value = getattr(self, key)
            if value is not None:
                refuse(m, value)
        if self.sex is not None and self.sex not in SEXES:
            raise InputError(
                "sex",
                "not_a_choice",
                echo(self.sex),
                Said("not_a_choice", {"label": Said("sheet_sex"), "given": echo(self.sex)}),
                Said("sex_remedy"),
            )
        for side in ("left", "right"):
            own = getattr(self, side)
            if own is not None:
                refuse_side(side, own, MEASURES)
        refuse_sum("arm_length", vars(self), MEASURES)
        refuse_heights(vars(self), MEASURES)

    def given(self) -> dict[str, float]:
        """The numbers that were measured, in the order of MEASURES (SI)."""
        return {key: getattr(self, key) for key in MEASURES if getattr(self, key) is not None}

    def warnings(self) -> list[tuple[str, str, Said]]:
        """Numbers that are possible one by one but unlikely together: (field, code, what to say)."""
        return [(field, said.code, said) for field, said in unlikely(self.given(), self.sex, MEASURES)]
