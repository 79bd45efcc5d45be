"""One thing that can be measured on a lifter, and its value read from what was typed. Lengths m, mass kg."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from shortlever.errors import InputError
from shortlever.person.population import Observation
from shortlever.units import LENGTH_UNITS, MASS_UNITS, UnreadableError, read_quantity, to_unit

TAPE_SD_M = 0.005  # one standard deviation of a self-measured limb (common practice, no source)
SCALE_SD_KG = 1.0  # bathroom scale and time of day (common practice, no source)


@dataclass(frozen=True)
class Measure:
    """One thing that can be measured: its name, how, what is possible (SI), and an example (cm or kg).

    ``letter``: its key in a link, for ever. ``names``: what a sheet's column may call it, words in any order
    and without fillers, parted by "|". ``tells``: the dimensions of ``population`` that it is the weighted
    sum of, none where the tables do not have it; ``apart_m`` one standard deviation between the two beyond
    the tape's error. Its drawing stands in the site's pages.
    """

    key: str
    label: str
    how: str
    low: float
    high: float
    kind: str = "length"
    example: float = 0.0
    letter: str = ""
    names: str = ""
    tells: Mapping[str, float] = field(default_factory=dict)
    apart_m: float = 0.0

    def seen(self, value: float, tape_sd_m: float) -> Observation:
        """What a value (SI) says of the dimensions of ``population``."""
        sd = SCALE_SD_KG if self.kind == "mass" else math.sqrt(tape_sd_m**2 + self.apart_m**2)
        return Observation(self.tells, value, sd)


def read(m: Measure, given: Any, bare_unit: str = "m") -> float:
    """Read one tape number, as a number in ``bare_unit`` or as a text that may carry its unit; return SI.

    Raises InputError naming the field, what was given, what is allowed and what to do.
    """
    units, shown = (MASS_UNITS, "kg") if m.kind == "mass" else (LENGTH_UNITS, bare_unit)
    if m.kind == "length" and shown in ("m", "mm"):
        shown = "cm"
    low, high = _shown(m.low, shown), _shown(m.high, shown)
    allowed = f"{low} to {high} {shown}"
    text = echo(given)
    example = (
        f"{low.split('.')[0]} {shown}" if shown == "kg" else _shown((m.low + m.high) / 2, shown) + f" {shown}"
    )
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise InputError(
            m.key,
            "not_a_number",
            text,
            f"{m.label}: “{text}” is not a number.",
            f"Give {allowed}, such as {example}.",
        )
    if isinstance(given, str):
        bare = bare_unit if m.kind == "length" else ("kg" if bare_unit in ("m", "cm", "mm") else "lb")
        try:
            value = read_quantity(given, units, bare)
        except UnreadableError as why:
            raise InputError(
                m.key,
                "not_a_number",
                text,
                f"{m.label}: cannot read “{text}” ({why.args[0]}). Allowed: {allowed}.",
                f"Type one number, such as {example}.",
            ) from None
    else:
        size = LENGTH_UNITS[bare_unit] if m.kind == "length" else 1.0
        value = given * size if abs(given) < 1e9 else math.inf  # a whole number may be too large for a float
    if not math.isfinite(value) or not m.low <= value <= m.high:
        raise InputError(
            m.key,
            "out_of_range",
            text,
            f"{m.label}: “{text}” is outside {allowed}.",
            _remedy(
                m, value, shown, isinstance(given, str) and any(c.isalpha() or c in "'\"″′" for c in given)
            ),
        )
    return value


def refuse(m: Measure, value: Any) -> None:
    """Refuse what is not a number in the range of the tape number; texts are for ``read_tape``."""
    if isinstance(value, str):
        raise InputError(
            m.key,
            "not_a_number",
            echo(value),
            f"{m.label}: “{echo(value)}” is a text; a Tape holds metres and kilograms.",
            "Give a number, or read the texts with read_tape.",
        )
    read(m, value)


def _shown(value: float, unit: str) -> str:
    return f"{value:g}" if unit == "kg" else f"{to_unit(value, unit):.3g}"


def echo(given: Any) -> str:
    """What was given, short enough to be told."""
    text = given.strip() if isinstance(given, str) else repr(given)
    return text if len(text) <= 24 else text[:20] + "…"


def _remedy(m: Measure, value: float, shown: str, has_unit: bool) -> str:
    """The most likely slip: another unit (where none was typed), or the tape itself."""
    if has_unit or not math.isfinite(value):
        return "Weigh again." if m.kind == "mass" else f"Measure again: {m.how}."
    if m.kind == "mass":
        if m.low <= value * MASS_UNITS["lb"] <= m.high:
            return f"If it is in pounds, add the unit: “{value:g} lb”."
        return "Weigh again and give kilograms, or pounds with “lb”."
    number = to_unit(value, shown)
    for unit in ("cm", "mm", "in", "m"):
        if unit != shown and m.low <= number * LENGTH_UNITS[unit] <= m.high:
            return f"If it is in {unit}, add the unit: “{number:g} {unit}”. Otherwise measure again: {m.how}."
    if m.low <= value * 10 <= m.high:
        return f"If a digit is missing, type {number * 10:g} {shown}. Otherwise measure again: {m.how}."
    return f"Measure again: {m.how}."
