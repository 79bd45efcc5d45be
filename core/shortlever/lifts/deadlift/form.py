"""The form of the deadlift: its tape numbers, the present setup, how high the bar lies, style, bar, hips."""

from __future__ import annotations

import math

from shortlever import gear
from shortlever.lifts.lift import SEX, Choice, Field, Part
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES
from shortlever.say import Said

# The present setup and the bar are typed as a lifter can measure them.
CURRENT_HEELS = Measure(
    "current_heels",
    Said("squat_current_heels"),
    Said("squat_current_heels_how"),
    0.05,
    1.20,
    example=28.0,
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
    example=10.0,
    letter="t",
    names="current turn out|present turn out|turn out|turnout|toe angle|toes out|foot angle",
)
CURRENT_HANDS = Measure(
    "current_hands",
    Said("pull_current_hands"),
    Said("pull_current_hands_how"),
    0.28,
    1.20,
    example=60.0,
    letter="p",
    names="current hands|present hands|hands|hands apart|grip|grip width|current grip|present grip|hand hand",
)
BAR_START = Measure(
    "bar_start",
    Said("pull_bar_start"),
    Said("pull_bar_start_how"),
    0.10,
    0.60,
    example=22.5,
    letter="e",
    names="bar start|bar height|bar height start|start height|bar floor",
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
    Field(CURRENT_HANDS, "present"),
    Field(MEASURES["foot_length"], "more"),
    Field(MEASURES["hip_breadth"], "more"),
    Field(MEASURES["sitting_height"], "more"),
    Field(MEASURES["crotch_height"], "more"),
    Field(MEASURES["shoulder_breadth"], "more"),
    Field(MEASURES["hand_breadth"], "more"),
    Field(BAR_START, "gear"),
)
CHOICES = (
    Choice(
        "style",
        Said("pull_style"),
        {"": Said("pull_style_any"), "conventional": Said("pull_conventional"), "sumo": Said("pull_sumo")},
        "",
        "s",
        "style|deadlift style|conventional or sumo",
        {"conv": "conventional", "either": "", "any": "", "both": ""},
    ),
    Choice(
        "bar",
        Said("bench_bar"),
        {name: bar.label for name, bar in gear.BARS.items()},
        "power",
        "o",
        "bar|bar type|ring marks|rings|bar rings",
        {
            "81": "power",
            "81 cm": "power",
            "91": "training",
            "91 cm": "training",
            "81 and 91": "both",
            "no rings": "plain",
        },
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
    Part("grip_m", "h", 0),
    Part("shoulder_ahead_m", "f", 0),
)
LEANINGS = (Said("pull_leans_low"), Said("pull_leans_between"), Said("pull_leans_high"))
CONVENTIONAL = {"heels_m": 0.28, "turn_deg": 8.0, "hands_m": 0.575, "hips_m": 0.64}
SUMO = {"heels_m": 0.55, "turn_deg": 36.0, "hands_m": 0.445, "hips_m": 0.59}
EXAMPLE_TRIAL: tuple[dict[str, object], ...] = (
    {
        "label": Said("pull_setup", {"style": Said("pull_conventional"), **CONVENTIONAL}),
        "index": 1.91,
        "stroke_m": 0.505,
        "present": True,
    },
    {
        "label": Said("pull_setup", {"style": Said("pull_sumo"), **SUMO}),
        "index": 1.90,
        "stroke_m": 0.471,
    },
)
UNCLEAR = {
    "hip": ("hip_bone_height", "hip_breadth", "hips"),
    "knee": ("knee_bump_height", "knee_to_wall"),
    "leg": ("hip_bone_height", "crotch_height"),
    "leg length": ("hip_bone_height", "crotch_height"),
    "shoulder height": ("shoulder_tip_height",),
    "shoulder": ("shoulder_tip_height", "shoulder_breadth"),
    "shoulders": ("shoulder_tip_height", "shoulder_breadth"),
    "ankle": ("knee_to_wall",),
    "hand": ("hand_breadth", "current_hands"),
}
LOOKS_OURS = frozenset(
    ("stance", "heel", "heels", "toe", "toes", "foot", "feet", "knee", "hip", "hips", "leg", "ankle")
) | {"hand", "hands", "grip", "arm", "arms", "deadlift"}
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
            "current_heels": 26,
            "current_turn_out": 10,
            "current_hands": 62,
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
            "current_heels": 70,
            "current_turn_out": 45,
            "current_hands": 46,
        },
        "male",
    ),
    ("Edda Quell", {"stature": 154, "body_mass": 57, "arm_length": 55.5}, "female"),
    (
        "Tomas Halden",
        {"stature": 194, "body_mass": 105, "arm_length": 72, "current_heels": 32, "current_hands": 74},
        "male",
    ),
)
