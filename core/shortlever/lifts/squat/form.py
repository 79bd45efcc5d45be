"""The form of the squat: its tape numbers, the present setup, the bar on the back, the depth, the hips."""

from __future__ import annotations

import math

from shortlever.lifts.lift import SEX, Choice, Field, Part
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES
from shortlever.say import Said

# The present setup is typed as a lifter can measure it.
CURRENT_HEELS = Measure(
    "current_heels",
    Said("squat_current_heels"),
    Said("squat_current_heels_how"),
    0.05,
    1.20,
    example=40.0,
    letter="g",
    names="current heels|present heels|heels|heels apart|heel heel|stance|current stance|present stance|"
    "stance width|heel distance",
)
CURRENT_TURN_OUT = Measure(
    "current_turn_out",
    Said("squat_current_turn_out"),
    Said("squat_current_turn_out_how"),
    0.0,
    math.radians(75),
    kind="angle",
    example=25.0,
    letter="t",
    names="current turn out|present turn out|turn out|turnout|toe angle|toes out|foot angle",
)
CURRENT_HEEL = Measure(
    "current_heel",
    Said("squat_current_heel"),
    Said("squat_current_heel_how"),
    0.0,
    0.06,
    example=0.0,
    letter="e",
    names="current heel|present shoe heel|shoe heel|heel|heel lift|heel height|shoe",
)
FIELDS = (
    Field(MEASURES["stature"], "tape", required=True),
    Field(MEASURES["body_mass"], "tape", required=True),
    Field(MEASURES["hip_bone_height"], "heights"),
    Field(MEASURES["shoulder_tip_height"], "heights"),
    Field(MEASURES["knee_bump_height"], "heights"),
    Field(MEASURES["arm_length"], "heights"),
    Field(MEASURES["knee_to_wall"], "heights"),
    Field(CURRENT_HEELS, "present"),
    Field(CURRENT_TURN_OUT, "present"),
    Field(CURRENT_HEEL, "present"),
    Field(MEASURES["foot_length"], "more"),
    Field(MEASURES["hip_breadth"], "more"),
    Field(MEASURES["sitting_height"], "more"),
    Field(MEASURES["crotch_height"], "more"),
    Field(MEASURES["hand_breadth"], "more"),
)
CHOICES = (
    Choice(
        "bar_position",
        Said("squat_bar_position"),
        {"low": Said("squat_bar_position_low"), "high": Said("squat_bar_position_high")},
        "low",
        "o",
        "bar position|bar on the back|bar height|high or low bar|bar back",
        {"low bar": "low", "lowbar": "low", "high bar": "high", "highbar": "high", "traps": "high"},
    ),
    Choice(
        "depth",
        Said("squat_depth"),
        {"rule": Said("squat_depth_rule"), "level": Said("squat_depth_level")},
        "rule",
        "r",
        "depth|squat depth",
        {"rulebook": "rule", "below the knee": "rule", "parallel": "level", "training": "level"},
    ),
    Choice(
        "hips",
        Said("squat_hips"),
        {name: Said(f"comfort_{name}") for name in ("careful", "usual", "loose")},
        "usual",
        "c",
        "hips|hip comfort|hip setting|comfort",
        {"careful past trouble": "careful", "normal": "usual", "loose knowingly": "loose"},
        Said("bench_comfort_heading"),
    ),
    SEX,
)
PARTS = (
    Part("stance_m", "i", 0),
    Part("turn_out_deg", "j", 0, 1.0),
    Part("heel_m", "h", 0),
    Part("sit_back_m", "b", 0),
)
LEANINGS = (Said("squat_leans_knees"), Said("squat_leans_between"), Said("squat_leans_hips"))
EXAMPLE_TRIAL: tuple[dict[str, object], ...] = (
    {
        "label": Said("squat_setup", {"heels_m": 0.38, "turn_deg": 20.0, "back_m": 0.22}),
        "index": 1.29,
        "stroke_m": 0.51,
        "present": True,
    },
    {
        "label": Said("squat_setup", {"heels_m": 0.47, "turn_deg": 35.0, "back_m": 0.195}),
        "index": 1.31,
        "stroke_m": 0.49,
    },
)
UNCLEAR = {
    "hip": ("hip_bone_height", "hip_breadth", "hips"),
    "knee": ("knee_bump_height", "knee_to_wall"),
    "leg": ("hip_bone_height", "crotch_height"),
    "leg length": ("hip_bone_height", "crotch_height"),
    "shoulder height": ("shoulder_tip_height",),
    "ankle": ("knee_to_wall",),
}
LOOKS_OURS = frozenset(
    ("stance", "heel", "heels", "toe", "toes", "foot", "feet", "knee", "hip", "hips", "leg", "ankle", "squat")
)
EXAMPLE = {"stature": "168", "body_mass": "75"}
INVENTED = (
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
            "current_heels": 38,
            "current_turn_out": 25,
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
            "current_heels": 42,
            "current_turn_out": 20,
            "current_heel": 1.5,
        },
        "male",
    ),
    ("Edda Quell", {"stature": 154, "body_mass": 57, "arm_length": 55.5}, "female"),
    (
        "Tomas Halden",
        {"stature": 194, "body_mass": 105, "arm_length": 72, "current_heels": 55, "current_turn_out": 35},
        "male",
    ),
)
