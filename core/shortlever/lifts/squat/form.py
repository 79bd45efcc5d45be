"""The form of the squat: its tape numbers, the present setup, the bar on the back, the depth, the hips."""

from __future__ import annotations

from shortlever.lifts.form import SEX, Choice, Field, Part
from shortlever.lifts.legs import form as legs
from shortlever.lifts.legs.form import FEET, HAND_BREADTH, HIPS, MORE, TAPE, invented, present_feet
from shortlever.person.measure import Measure
from shortlever.say import Said

CURRENT_HEEL = Measure(
    "current_heel",
    Said("squat_current_heel"),
    Said("squat_current_heel_how"),
    0.0,
    0.06,
    example=0.0,
    letter="e",
    names="current shoe heel|current heel|present shoe heel|shoe heel|heel|heel lift|heel height|shoe",
)
FIELDS = (
    *TAPE,
    *present_feet(heels=40.0, turn_out=25.0),
    Field(CURRENT_HEEL, "present"),
    *MORE,
    HAND_BREADTH,
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
    HIPS,
    SEX,
)
PARTS = (*FEET, Part("heel_m", "h", 0), Part("sit_back_m", "b", 0))
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
LOOKS_OURS = legs.LOOKS_OURS | {"squat"}
INVENTED = invented(
    {"current_heels": 38, "current_turn_out": 25},
    {"current_heels": 42, "current_turn_out": 20, "current_heel": 1.5},
    {},
    {"current_heels": 55, "current_turn_out": 35},
)
