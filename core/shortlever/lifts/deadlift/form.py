"""The form of the deadlift: its tape numbers, the present setup, how high the bar lies, style, bar, hips."""

from __future__ import annotations

from shortlever import gear
from shortlever.lifts.form import SEX, Choice, Field, Part
from shortlever.lifts.legs import form as legs
from shortlever.lifts.legs.form import FEET, HAND_BREADTH, HIPS, MORE, TAPE, invented, present_feet
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES
from shortlever.say import Said

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
    *TAPE,
    *present_feet(heels=28.0, turn_out=10.0),
    Field(CURRENT_HANDS, "present"),
    *MORE,
    Field(MEASURES["shoulder_breadth"], "more"),
    HAND_BREADTH,
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
    HIPS,
    SEX,
)
PARTS = (*FEET, Part("grip_m", "h", 0), Part("shoulder_ahead_m", "f", 0))
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
UNCLEAR = legs.UNCLEAR | {
    "shoulder": ("shoulder_tip_height", "shoulder_breadth"),
    "shoulders": ("shoulder_tip_height", "shoulder_breadth"),
    "hand": ("hand_breadth", "current_hands"),
}
LOOKS_OURS = legs.LOOKS_OURS | {"hand", "hands", "grip", "arm", "arms", "deadlift"}
INVENTED = invented(
    {"current_heels": 26, "current_turn_out": 10, "current_hands": 62},
    {"current_heels": 70, "current_turn_out": 45, "current_hands": 46},
    {},
    {"current_heels": 32, "current_hands": 74},
)
