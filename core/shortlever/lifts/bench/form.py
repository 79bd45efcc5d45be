"""The form of the bench press: its tape numbers, the present setup, bar and bench, rulebook and shoulders."""

from __future__ import annotations

from shortlever import gear
from shortlever.lifts.form import SEX, Choice, Field, Part
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES
from shortlever.say import Said

# The present setup and the bench are typed as a lifter can measure them.
CURRENT_GRIP = Measure(
    "current_grip",
    Said("bench_current_grip"),
    Said("bench_current_grip_how"),
    0.25,
    1.10,
    example=65.0,
    letter="g",
    names="current grip|present grip|grip|grip width|current grip width|present grip width|grip now",
)
CURRENT_TOUCH = Measure(
    "current_touch",
    Said("bench_current_touch"),
    Said("bench_current_touch_how"),
    0.02,
    0.40,
    example=19.0,
    letter="t",
    names="current touch|present touch|touch|touch point|current touch point|present touch point|touch now",
)
BENCH_HEIGHT = Measure(
    "bench_height",
    Said("bench_bench_height"),
    Said("bench_bench_height_how"),
    0.20,
    0.70,
    example=43.5,
    letter="e",
    names="bench height|pad height|bench",
)
RINGS = Measure(
    "ring_distance",
    Said("bench_ring_distance"),
    Said("bench_ring_distance_how"),
    0.40,
    1.20,
    example=81.0,
    letter="R",
    names="ring distance|rings apart|ring marks measured",
)
LOWEST_HOLE = Measure(
    "lowest_hole",
    Said("bench_lowest_hole"),
    Said("bench_lowest_hole_how"),
    0.10,
    1.60,
    example=70.0,
    letter="H",
    names="lowest hook hole|lowest hole|first hole",
)
HOLE_SPACING = Measure(
    "hole_spacing",
    Said("bench_hole_spacing"),
    Said("bench_hole_spacing_how"),
    0.015,
    0.25,
    example=5.0,
    letter="J",
    names="hole spacing|hook spacing",
)
FIELDS = (
    Field(MEASURES["arm_length"], "tape", required=True),
    Field(MEASURES["shoulder_breadth"], "tape", required=True),
    Field(MEASURES["chest_flat"], "arch"),
    Field(MEASURES["chest_arched"], "arch"),
    Field(CURRENT_GRIP, "present"),
    Field(CURRENT_TOUCH, "present"),
    Field(MEASURES["shoulder_height"], "more"),
    Field(MEASURES["joint_width"], "more"),
    Field(MEASURES["upper_arm"], "more"),
    Field(MEASURES["forearm_to_grip"], "more"),
    Field(MEASURES["stature"], "more"),
    Field(MEASURES["span"], "more"),
    Field(MEASURES["body_mass"], "more"),
    Field(MEASURES["hand_breadth"], "more"),
    Field(BENCH_HEIGHT, "gear"),
    Field(RINGS, "gear"),
    Field(LOWEST_HOLE, "gear"),
    Field(HOLE_SPACING, "gear"),
)
CHOICES = (
    Choice(
        "rules",
        Said("bench_rulebook"),
        {name: book.label for name, book in gear.RULEBOOKS.items()},
        "ipf",
        "r",
        "rules|rulebook|rule book",
        {
            "training": "none",
            "no": "none",
            "none training": "none",
            "81 cm elbow depth": "ipf",
            "81 cm": "spacing",
            "81 cm only": "spacing",
        },
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
            "81 cm apart": "power",
            "power bar": "power",
            "powerlifting": "power",
            "91": "training",
            "91 cm": "training",
            "91 cm apart": "training",
            "training bar": "training",
            "81 and 91": "both",
            "no rings": "plain",
            "no ring": "plain",
        },
    ),
    Choice(
        "comfort",
        Said("bench_comfort"),
        {name: Said(f"comfort_{name}") for name in ("careful", "usual", "loose")},
        "usual",
        "c",
        "comfort|shoulder comfort|comfort setting|shoulder setting",
        {
            "careful past trouble": "careful",
            "normal": "usual",
            "loose knowingly": "loose",
            "loose at your own call": "loose",
        },
        Said("bench_comfort_heading"),
    ),
    SEX,
)
PARTS = (Part("grip_m", "i", 0), Part("touch_m", "j", 1))
LEANINGS = (Said("bench_leans_stroke"), Said("bench_leans_between"), Said("bench_leans_arm"))
EXAMPLE_TRIAL: tuple[dict[str, object], ...] = (
    {
        "label": Said("setup_label", {"grip_m": 0.65, "touch_m": 0.20}),
        "index": 5.0,
        "stroke_m": 0.352,
        "mean_arm_m": 0.093,
        "present": True,
    },
    {
        "label": Said("setup_label", {"grip_m": 0.72, "touch_m": 0.185}),
        "index": 5.1,
        "stroke_m": 0.334,
        "mean_arm_m": 0.082,
    },
)
UNCLEAR = {
    "shoulder": ("shoulder_breadth", "shoulder_height", "joint_width", "comfort"),
    "shoulders": ("shoulder_breadth", "shoulder_height", "joint_width", "comfort"),
    "chest": ("chest_flat", "chest_arched"),
    "chest height": ("chest_flat", "chest_arched"),
    "breastbone height": ("chest_flat", "chest_arched"),
    "reach": ("arm_length", "span"),
    "hand": ("hand_breadth", "thumb_length"),
    "hand size": ("hand_breadth", "thumb_length"),
    "arm height": ("arm_length", "shoulder_height"),
}
LOOKS_OURS = frozenset(
    ("arm", "arms", "shoulder", "shoulders", "chest", "grip", "touch", "forearm", "hand", "thumb", "span")
) | {"bench"}
EXAMPLE = {"arm_length": "62", "shoulder_breadth": "39"}
INVENTED = (
    (
        "Mara Feld",
        {
            "arm_length": 62,
            "shoulder_breadth": 39,
            "chest_flat": 24,
            "chest_arched": 29,
            "body_mass": 75,
            "current_grip": 65,
            "current_touch": 19,
        },
        "female",
    ),
    (
        "Jonas Brede",
        {
            "arm_length": 66.5,
            "shoulder_breadth": 41.5,
            "chest_flat": 25,
            "chest_arched": 28.5,
            "body_mass": 93,
            "current_grip": 70,
            "current_touch": 16.5,
        },
        "male",
    ),
    (
        "Edda Quell",
        {
            "arm_length": 55.5,
            "shoulder_breadth": 35.5,
            "chest_flat": 20.5,
            "chest_arched": 27,
            "body_mass": 57,
        },
        "female",
    ),
    (
        "Tomas Halden",
        {"arm_length": 72, "shoulder_breadth": 43, "chest_flat": 26.5, "body_mass": 105, "current_grip": 76},
        "male",
    ),
)
