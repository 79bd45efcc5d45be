"""One thing that can be measured on a lifter, and its value read from what was typed. Lengths m, mass kg,
angles rad."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from shortlever.errors import InputError
from shortlever.person.population import Observation
from shortlever.say import Said, Text
from shortlever.units import (
    ANGLE_UNITS,
    DEGREE,
    LENGTH_UNITS,
    MASS_UNITS,
    POUND_KG,
    UnreadableError,
    plain_number,
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
    and without fillers, parted by "|". ``tells``: the dimensions of ``population`` that it is the weighted
    sum of, none where the tables do not have it; ``apart_m`` one standard deviation between the two beyond
    the tape's error. Its drawing stands in the site's pages.
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
    tells: Mapping[str, float] = field(default_factory=dict)
    apart_m: float = 0.0

    def unit(self, length: str) -> str:
        """The unit beside its number where lengths are in cm or in."""
        return {"length": length, "mass": "lb" if length == "in" else "kg", "angle": DEGREE}[self.kind]

    def seen(self, value: float, tape_sd_m: float) -> Observation:
        """What a value (SI) says of the dimensions of ``population``."""
        sd = SCALE_SD_KG if self.kind == "mass" else math.sqrt(tape_sd_m**2 + self.apart_m**2)
        return Observation(self.tells, value, sd)


def read(m: Measure, given: Any, bare_unit: str = "m") -> float:
    """Read one tape number, as a number in ``bare_unit`` or as a text that may carry its unit; return SI.

    Raises InputError naming the field, what was given, what is allowed and what to do.
    """
    given, shown = plain_number(given), "in" if bare_unit == "in" else "cm"
    units = {"length": LENGTH_UNITS, "mass": MASS_UNITS, "angle": ANGLE_UNITS}[m.kind]
    text, of = echo(given), {"label": m.label, "given": echo(given), "allowed": range_of(m)}
    example = Said("tape_give_such", of | {"example": _example(m)})

    def wrong(code: str, message: str, remedy: Said) -> InputError:
        return InputError(m.key, code, text, Said(message, of), remedy, shown)

    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise wrong("not_a_number", "tape_no_number", example)
    if isinstance(given, str):
        bare = bare_unit if m.kind == "length" else m.unit("cm" if bare_unit in ("m", "cm", "mm") else "in")
        try:
            value = read_quantity(given, units, bare)
        except UnreadableError as why:
            of["why"] = Said(why.code, why.values)
            raise wrong("not_a_number", "tape_unreadable", example) from None
    else:
        size = LENGTH_UNITS[bare_unit] if m.kind == "length" else 1.0
        value = given * size if abs(given) < 1e9 else math.inf  # a whole number may be too large for a float
    if not math.isfinite(value) or not m.low <= value <= m.high:
        has_unit = isinstance(given, str) and any(c.isalpha() or c in "'\"″′" for c in given)
        metres = _in_metres(m, value) if bare_unit == "m" and not has_unit else None
        raise wrong("out_of_range", "tape_out_of_range", metres or _remedy(m, value, shown, has_unit))
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


def refuse(m: Measure, value: Any) -> None:
    """Refuse what is not a number in the range of the tape number; texts are for ``read_tape``."""
    if isinstance(value, str):
        raise InputError(
            m.key,
            "not_a_number",
            echo(value),
            Said("tape_holds_numbers", {"label": m.label, "given": echo(value)}),
            Said("tape_holds_numbers_remedy"),
        )
    read(m, value)


def echo(given: Any) -> str:
    """What was given, short enough to be told."""
    text = given.strip() if isinstance(given, str) else repr(given)
    return text if len(text) <= 24 else text[:20] + "…"


def _in_metres(m: Measure, number: float) -> Said | None:
    """For a length that was given in another unit than metres; None where none would make it possible."""
    for unit in ("cm", "mm", "in"):
        value = number * LENGTH_UNITS[unit]
        if m.kind == "length" and m.low <= value <= m.high:
            return Said("if_not_in_metres", {"metres": value, "number": number, "unit": unit})
    return None


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
            return Said("if_in_unit", {"number": number, "unit": unit})
    if m.low <= value * 10 <= m.high:
        return Said("if_digit_missing", {"number": number * 10, "unit": shown})
    return again
