"""What the forms of the lifts from the legs ask alike: the tape, where the feet stand, the hips."""

from __future__ import annotations

import math

from shortlever.lifts.form import Choice, Field, Part
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES
from shortlever.say import Said

TAPE = (
    Field(MEASURES["stature"], "tape", required=True),
    Field(MEASURES["body_mass"], "tape", required=True),
    Field(MEASURES["hip_bone_height"], "heights"),
    Field(MEASURES["shoulder_tip_height"], "heights"),
    Field(MEASURES["knee_bump_height"], "heights"),
    Field(MEASURES["arm_length"], "heights"),
    Field(MEASURES["knee_to_wall"], "heights"),
)
MORE = (
    Field(MEASURES["foot_length"], "more"),
    Field(MEASURES["hip_breadth"], "more"),
    Field(MEASURES["sitting_height"], "more"),
    Field(MEASURES["crotch_height"], "more"),
)
HAND_BREADTH = Field(MEASURES["hand_breadth"], "more")
HIPS = Choice(
    "hips",
    Said("squat_hips"),
    {name: Said(f"comfort_{name}") for name in ("careful", "usual", "loose")},
    "usual",
    "c",
    "hips|hip comfort|hip setting|comfort",
    {
        "careful past trouble": "careful",
        "normal": "usual",
        "loose knowingly": "loose",
        "loose at your own call": "loose",
    },
    Said("bench_comfort_heading"),
)
FEET = (Part("stance_m", "i", 0), Part("turn_out_deg", "j", 0, 1.0))
UNCLEAR = {
    "hip": ("hip_bone_height", "hip_breadth", "hips"),
    "knee": ("knee_bump_height", "knee_to_wall"),
    "leg": ("hip_bone_height", "crotch_height"),
    "leg length": ("hip_bone_height", "crotch_height"),
    "shoulder height": ("shoulder_tip_height",),
    "ankle": ("knee_to_wall",),
}
LOOKS_OURS = frozenset(
    ("stance", "heel", "heels", "toe", "toes", "foot", "feet", "knee", "hip", "hips", "leg", "ankle")
)
EXAMPLE = {"stature": "168", "body_mass": "75"}


def present_feet(heels: float, turn_out: float) -> tuple[Field, Field]:
    """The present feet as a lifter can measure them: heels apart (example in cm) and turn-out (in deg)."""
    return (
        Field(
            Measure(
                "current_heels",
                Said("squat_current_heels"),
                Said("squat_current_heels_how"),
                0.05,
                1.20,
                example=heels,
                letter="g",
                names="current heels|present heels|heels|heels apart|heel heel|stance|current stance|"
                "present stance|stance width|heel distance",
            ),
            "present",
        ),
        Field(
            Measure(
                "current_turn_out",
                Said("squat_current_turn_out"),
                Said("squat_current_turn_out_how"),
                0.0,
                math.radians(75),
                kind="angle",
                example=turn_out,
                letter="t",
                names="current toe out|present toe out|toe out|current turn out|present turn out|turn out|"
                "turnout|toe angle|toes out|foot angle",
            ),
            "present",
        ),
    )


def invented(*present: dict[str, float]) -> tuple[tuple[str, dict[str, float], str], ...]:
    """Invented lifters of an example sheet, with their present setups."""
    tapes: tuple[tuple[str, dict[str, float], str], ...] = (
        (
            "Mara Feld",
            {
                "stature": 168,
                "body_mass": 75,
                "hip_bone_height": 87,
                "shoulder_tip_height": 137.5,
                "knee_bump_height": 48,
                "arm_length": 62,
                "knee_to_wall": 11,
            },
            "female",
        ),
        (
            "Jonas Brede",
            {
                "stature": 179,
                "body_mass": 93,
                "hip_bone_height": 92.5,
                "arm_length": 66.5,
                "knee_to_wall": 6,
            },
            "male",
        ),
        ("Edda Quell", {"stature": 154, "body_mass": 57, "arm_length": 55.5}, "female"),
        ("Tomas Halden", {"stature": 194, "body_mass": 105, "arm_length": 72}, "male"),
    )
    return tuple((name, tape | now, sex) for (name, tape, sex), now in zip(tapes, present, strict=True))
