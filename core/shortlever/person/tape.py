"""The tape: what can be measured on a lifter, in words, with its range and its error.

Landmarks follow ISO 7250-1 where it has them. Lengths in m, mass in kg.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from shortlever.errors import InputError
from shortlever.say import Said, Text
from shortlever.units import (
    ANGLE_UNITS,
    DEGREE,
    LENGTH_UNITS,
    MASS_UNITS,
    POUND_KG,
    UnreadableError,
    read_quantity,
    to_unit,
)

TAPE_SD_M = 0.005  # one standard deviation of a self-measured limb (common practice, no source)
SCALE_SD_KG = 1.0  # bathroom scale and time of day (common practice, no source)


@dataclass(frozen=True)
class Measure:
    """One thing that can be measured: its name, how, what is possible (SI), and an example (cm, kg or °).

    ``kind``: "length", "mass" or "angle".

    ``letter``: its key in a link, for ever. ``names``: what a sheet's column may call it, words in any order
    and without fillers, parted by "|". Its drawing stands in the site's pages, its weight in what is guessed
    of a body in ``population``.
    """

    key: str
    label: Text
    how: Text
    low: float
    high: float
    kind: str = "length"
    example: float = 0.0
    letter: str = ""
    names: str = ""

    def unit(self, length: str) -> str:
        """The unit beside its number where lengths are in cm or in.

        >>> MEASURES["body_mass"].unit("in")
        'lb'
        """
        return {"length": length, "mass": "lb" if length == "in" else "kg", "angle": DEGREE}[self.kind]


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
        ),
        Measure(
            "thumb_length",
            Said("tape_thumb_length"),
            Said("tape_thumb_length_how"),
            0.04,
            0.10,
            example=6.5,
            names="thumb length|thumb",
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
        ),
    )
}
SEXES = ("male", "female")


def read_measure(key: str, given: Any, bare_unit: str = "m", measure: Measure | None = None) -> float:
    """Read one tape number, as a number in ``bare_unit`` or as a text that may carry its unit; return SI.

    Raises InputError naming the field, what was given, what is allowed and what to do.
    """
    m = measure or MEASURES[key]
    shown = "in" if bare_unit == "in" else "cm"
    units = {"length": LENGTH_UNITS, "mass": MASS_UNITS, "angle": ANGLE_UNITS}[m.kind]
    text, of = _echo(given), {"label": m.label, "given": _echo(given), "allowed": range_of(m)}

    def wrong(code: str, message: str, remedy: Said) -> InputError:
        return InputError(key, code, text, Said(message, of), remedy, shown)

    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise wrong("not_a_number", "tape_no_number", Said("tape_give_such", of | {"example": _example(m)}))
    if isinstance(given, str):
        bare = bare_unit if m.kind == "length" else m.unit("cm" if bare_unit in ("m", "cm", "mm") else "in")
        try:
            value = read_quantity(given, units, bare)
        except UnreadableError as why:
            of["why"] = Said(why.code, why.values)
            remedy = Said("tape_type_one", {"example": _example(m)})
            raise wrong("not_a_number", "tape_unreadable", remedy) from None
    else:
        size = LENGTH_UNITS[bare_unit] if m.kind == "length" else 1.0
        value = given * size if abs(given) < 1e9 else math.inf  # a whole number may be too large for a float
    if not math.isfinite(value) or not m.low <= value <= m.high:
        has_unit = isinstance(given, str) and any(c.isalpha() or c in "'\"″′" for c in given)
        raise wrong("out_of_range", "tape_out_of_range", _remedy(m, value, shown, has_unit))
    return value


def range_of(m: Measure) -> Said:
    """What is possible of a measure, as it is said."""
    if m.kind == "mass":
        return Said("range_of_masses", {"low_kg": m.low, "high_kg": m.high})
    if m.kind == "angle":
        ends = {"low_deg": math.degrees(m.low), "high_deg": math.degrees(m.high)}
        return Said("range_of_angles", ends)
    return Said("range_of_lengths", {"low_m": m.low, "high_m": m.high})


def _example(m: Measure) -> Said:
    if m.kind == "mass":
        return Said("example_mass", {"example_kg": m.low})
    if m.kind == "angle":
        return Said("degrees", {"x_deg": math.degrees(m.low + m.high) / 2})
    return Said("example_length", {"example_m": (m.low + m.high) / 2})


def _echo(given: Any) -> str:
    text = given.strip() if isinstance(given, str) else repr(given)
    return text if len(text) <= 24 else text[:20] + "…"


def _remedy(m: Measure, value: float, shown: str, has_unit: bool) -> Said:
    """The most likely slip: another unit (where none was typed), or the tape itself."""
    again = Said("measure_again", {"how": m.how})
    if has_unit or not math.isfinite(value):
        return Said("weigh_again") if m.kind == "mass" else again
    if m.kind == "angle":
        return again
    if m.kind == "mass":
        typed, other, size = ("lb", "kg", 1 / POUND_KG) if shown == "in" else ("kg", "lb", POUND_KG)
        number = value / MASS_UNITS[typed]
        if m.low <= value * size <= m.high:
            return Said(f"if_in_{other}", {"number": number})
        return Said(f"weigh_again_in_{typed}")
    number = to_unit(value, shown)
    for unit in ("cm", "mm", "in", "m"):
        if unit != shown and m.low <= number * LENGTH_UNITS[unit] <= m.high:
            return Said("if_in_unit", {"number": number, "unit": unit, "how": m.how})
    if m.low <= value * 10 <= m.high:
        return Said("if_digit_missing", {"number": number * 10, "unit": shown, "how": m.how})
    return again


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
        for key in MEASURES:
            value = getattr(self, key)
            if value is not None:
                _checked(key, value)
        if self.sex is not None and self.sex not in SEXES:
            raise InputError(
                "sex",
                "not_a_choice",
                _echo(self.sex),
                Said("not_a_choice", {"label": Said("sheet_sex"), "given": _echo(self.sex)}),
                Said("sex_remedy"),
            )
        for side in ("left", "right"):
            own = getattr(self, side)
            if own is None:
                continue
            _check_side(side, own)
            for key, value in own.items():
                _checked(key, value)
            _check_sum(
                f"{side}.arm_length", own.get("arm_length"), own.get("upper_arm"), own.get("forearm_to_grip")
            )
        _check_sum("arm_length", self.arm_length, self.upper_arm, self.forearm_to_grip)
        for pair in PAIRS:
            _check_pair(self, *pair)

    def given(self) -> dict[str, float]:
        """The numbers that were measured, in the order of MEASURES (SI)."""
        return {key: getattr(self, key) for key in MEASURES if getattr(self, key) is not None}

    def warnings(self) -> list[tuple[str, str, Said]]:
        """Numbers that are possible one by one but unlikely together: (field, code, what to say)."""
        found: list[tuple[str, Said]] = []
        arm, span, upper, fore = self.arm_length, self.span, self.upper_arm, self.forearm_to_grip
        joints, shoulders = self.joint_width, self.shoulder_breadth
        flat, arched = self.chest_flat, self.chest_arched
        if arm and span and span < 2 * arm + 0.10:
            found.append(("arm_length", Said("arm_longer_than_span_allows", {"arm_m": arm, "span_m": span})))
        if fore and upper and not 0.75 < fore / upper < 1.25:
            pair = {"forearm_m": fore, "upper_m": upper}
            found.append(("forearm_to_grip", Said("forearm_unlike_upper_arm", pair)))
        if joints and shoulders and joints > shoulders - 0.01:
            widths = {"joints_m": joints, "shoulders_m": shoulders}
            found.append(("joint_width", Said("joints_outside_shoulders", widths)))
        if flat and arched and arched < flat:
            found.append(("chest_arched", Said("arch_below_flat", {"arched_m": arched, "flat_m": flat})))
        return [(field, said.code, said) for field, said in found]


SIDE_KEYS = ("arm_length", "upper_arm", "forearm_to_grip")
SUM_SLACK_M = 0.06  # by how much upper arm and forearm may miss the whole arm before one must be wrong


def _checked(key: str, value: Any) -> None:
    """Refuse what is not a number in the range of the tape number; texts are for ``read_tape``."""
    if isinstance(value, str):
        raise InputError(
            key,
            "not_a_number",
            _echo(value),
            Said("tape_holds_numbers", {"label": MEASURES[key].label, "given": _echo(value)}),
            Said("tape_holds_numbers_remedy"),
        )
    read_measure(key, value)


def _check_side(side: str, own: Any) -> None:
    if not isinstance(own, Mapping):
        said = Said("side_no_object", {"side": side, "given": _echo(own)})
        raise InputError(side, "not_an_object", _echo(own), said, Said("side_no_object_remedy"))
    for key in own:
        if key not in SIDE_KEYS:
            raise InputError(
                f"{side}.{key}",
                "unknown",
                str(key),
                Said("side_same_on_both", {"given": _echo(str(key))}),
                Said("give_one_of", {"keys": SIDE_KEYS}),
            )


def _check_sum(field: str, whole: float | None, upper: float | None, fore: float | None) -> None:
    """Refuse parts that do not make up the whole arm, or that leave no room for the part not given."""
    if whole is None or (upper is None and fore is None):
        return
    if upper is not None and fore is not None:
        allowed = abs(whole - upper - fore) <= SUM_SLACK_M
        why = Said("parts_add_up", {"parts_m": upper + fore})
    else:
        part, other = (upper, "forearm_to_grip") if upper is not None else (fore, "upper_arm")
        assert part is not None
        left, m = whole - part, MEASURES[other]
        allowed = m.low - SUM_SLACK_M <= left <= m.high + SUM_SLACK_M
        why = Said("part_leaves", {"left_m": left, "other": m.label})
    if not allowed:
        raise InputError(
            field,
            "contradiction",
            f"{whole:g}",
            Said("arm_contradicts", {"whole_m": whole, "why": why}),
            Said("may_differ", {"most_m": SUM_SLACK_M}),
        )


# Two numbers of a body, and by how much the first is larger at least and at most (m): wider than ANSUR II has
# it by half the spread or more, so that what lies outside is a slip.
PAIRS = (
    ("stature", "shoulder_tip_height", 0.16, 0.52),
    ("stature", "hip_bone_height", 0.55, 1.20),
    ("stature", "sitting_height", 0.45, 1.25),
    ("stature", "crotch_height", 0.60, 1.30),
    ("stature", "foot_length", 1.05, 2.05),
    ("shoulder_tip_height", "hip_bone_height", 0.33, 0.80),
    ("shoulder_tip_height", "crotch_height", 0.36, 0.90),
    ("shoulder_tip_height", "sitting_height", 0.25, 0.95),
    ("hip_bone_height", "knee_bump_height", 0.24, 0.62),
    ("crotch_height", "knee_bump_height", 0.18, 0.58),
    ("hip_bone_height", "crotch_height", -0.10, 0.25),
)


def _check_pair(tape: Tape, upper: str, lower: str, least_m: float, most_m: float) -> None:
    """Refuse two heights that no body has together."""
    above, below = getattr(tape, upper), getattr(tape, lower)
    if above is None or below is None or least_m <= above - below <= most_m:
        return
    names = {"upper": MEASURES[upper].label, "lower": MEASURES[lower].label}
    raise InputError(
        lower,
        "contradiction",
        f"{below:g}",
        Said("heights_contradict", names | {"upper_m": above, "lower_m": below}),
        Said("heights_differ", {"least_m": least_m, "most_m": most_m}),
    )


TAPE_KEYS = tuple(f.name for f in fields(Tape))


def read_tape(data: Mapping[str, Any]) -> Tape:
    """A Tape from a JSON object: numbers are m or kg, texts carry their unit (``"62 cm"``, ``"180 lb"``).

    Raises InputError for an unknown key, a value of the wrong kind, or one out of range.
    """
    if not isinstance(data, Mapping):
        said, remedy = Said("tape_no_object"), Said("tape_no_object_remedy")
        raise InputError("tape", "not_an_object", _echo(data), said, remedy)
    values: dict[str, Any] = {}
    for key, given in data.items():
        if key not in TAPE_KEYS:
            raise InputError(
                key,
                "unknown",
                str(key),
                Said("no_tape_number", {"given": _echo(str(key))}),
                Said("no_tape_number_remedy", {"keys": TAPE_KEYS}),
            )
        if given is None:
            continue
        if key in ("left", "right"):
            _check_side(key, given)
            values[key] = {inner: read_measure(inner, value) for inner, value in given.items()}
        elif key == "sex":
            values[key] = given
        else:
            values[key] = read_measure(key, given)
    return Tape(**values)
