"""Reading and writing lengths, masses and angles with their units.

Inside the project everything is SI (m, kg, N, N·m, rad). This module is the only place that knows
centimetres, inches, pounds and degrees. One inch is 0.0254 m and one pound 0.45359237 kg exactly
(International Yard and Pound Agreement, 1959).

Inches are said as a tape shows them, one rule for all that is said: to the nearest eighth, as a whole
number and a fraction in lowest terms (``on_tape``); what a lifter sets is rounded to quarters before that.
Decimals of inches stay where a program or a spreadsheet reads (CSV, JSON, links) and at the ends of a chart's
axes.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable
from typing import Any

INCH_M = 0.0254
POUND_KG = 0.45359237
GRAVITY_M_S2 = 9.80665  # standard gravity, 3rd CGPM 1901

LENGTH_UNITS = {
    "mm": 0.001,
    "cm": 0.01,
    "m": 1.0,
    "in": INCH_M,
    "inch": INCH_M,
    "inches": INCH_M,
    '"': INCH_M,
    "ft": 12 * INCH_M,
    "foot": 12 * INCH_M,
    "feet": 12 * INCH_M,
    "'": 12 * INCH_M,
}
MASS_UNITS = {"kg": 1.0, "g": 0.001, "lb": POUND_KG, "lbs": POUND_KG, "st": 14 * POUND_KG}

DEGREE = "°"
ANGLE_UNITS = dict.fromkeys((DEGREE, "deg", "degree", "degrees"), math.pi / 180)  # in rad

MAX_TYPED_CHARACTERS = 40

_VULGAR = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_TERM = re.compile(
    r"""\s*(?P<sign>[+-]?)\s*
    (?:(?P<alone>\d{1,2})\s*/\s*(?P<of>\d{1,2})
    |(?P<number>\d+(?:[.,]\d+)?|[.,]\d+)(?:\s+(?P<top>\d{1,2})\s*/\s*(?P<bottom>\d{1,2}))?)
    \s*(?P<unit>[a-z"'°]*)\.?\s*""",
    re.VERBOSE,
)


class UnreadableError(ValueError):
    """A text that is not one unambiguous quantity; ``args[0]`` says why in a few words, for a developer; the
    catalogue says it as "unreadable_CODE" with ``values``."""

    def __init__(self, why: str, code: str, **values: object) -> None:
        super().__init__(why)
        self.code = f"unreadable_{code}"
        self.values = values


def _tidy(text: str) -> str:
    for glyph, plain in _VULGAR.items():
        text = text.replace(glyph, plain)
    if any(unicodedata.decomposition(c).startswith(("<super>", "<sub>")) for c in text):
        raise UnreadableError("raised or lowered digits", "digits")
    text = unicodedata.normalize("NFKC", text).lower().strip()
    for fancy, plain in (("−", "-"), ("–", "-"), ("’", "'"), ("′", "'"), ("''", '"'), ("”", '"'), ("″", '"')):
        text = text.replace(fancy, plain)
    return text


def read_quantity(text: str, units: dict[str, float], bare_unit: str) -> float:
    """Read one quantity, such as ``61``, ``61,5 cm``, ``24 1/2 in`` or ``5 ft 10 in``; return it in SI.

    ``units`` maps unit names to their SI size, ``bare_unit`` is used where no unit is typed. A comma or a
    point may mark decimals. Raises UnreadableError where the text is not exactly one such quantity.

    >>> round(read_quantity("24 1/2 in", LENGTH_UNITS, "cm"), 4)
    0.6223
    >>> read_quantity("61,5", LENGTH_UNITS, "cm")
    0.615
    """
    if len(text) > MAX_TYPED_CHARACTERS:
        raise UnreadableError(
            f"longer than {MAX_TYPED_CHARACTERS} characters", "long", most=MAX_TYPED_CHARACTERS
        )
    tidy = _tidy(text)
    if not tidy:
        raise UnreadableError("empty", "empty")
    total, last_size, position = 0.0, math.inf, 0
    while position < len(tidy):
        match = _TERM.match(tidy, position)
        if match is None or match.end() == position:
            raise UnreadableError("not a number", "number")
        unit = match["unit"] or bare_unit
        if unit not in units:
            raise UnreadableError(f"unknown unit “{unit}”", "unit", unit=unit)
        top, bottom = match["top"] or match["alone"], match["bottom"] or match["of"]
        if top and (int(bottom) == 0 or int(top) >= int(bottom)):
            raise UnreadableError("not a fraction", "fraction")
        size = units[unit]
        if position and (size >= last_size or match["sign"] or not match["unit"]):
            raise UnreadableError("more than one number", "several")
        value = float((match["number"] or "0").replace(",", "."))
        if top:
            value += int(top) / int(bottom)
        total += (-value if match["sign"] == "-" else value) * size
        last_size, position = size, match.end()
    return float(f"{total:.9g}")


def plain_number(value: Any) -> Any:
    """A number of another library (numpy's, a Decimal, a Fraction) as a float; all else as it is.

    >>> from decimal import Decimal
    >>> plain_number(Decimal("0.665")), plain_number("0.665")
    (0.665, '0.665')
    """
    if type(value) in (int, float, bool, str) or not hasattr(value, "__float__"):
        return value
    try:
        return float(value)
    except (TypeError, ValueError):  # a table of several, a gap in one
        return value


def with_plain_numbers(holder: object, names: Iterable[str]) -> None:
    """``plain_number`` of attributes of a frozen object that is being made."""
    for name in names:
        object.__setattr__(holder, name, plain_number(getattr(holder, name)))


def to_unit(value_m: float, unit: str) -> float:
    """A length in m expressed in ``unit`` (a key of LENGTH_UNITS)."""
    return value_m / LENGTH_UNITS[unit]


def settable(value_m: float, unit: str) -> float:
    """A length in m rounded to what a lifter can set, in ``unit``: 0.5 cm or 1/4 in."""
    step = 0.25 if unit == "in" else 0.5
    return round(to_unit(value_m, unit) / step) * step


def settable_step_m(unit: str) -> float:
    """What a lifter can set: 0.5 cm or a quarter inch, in m."""
    return 0.25 * LENGTH_UNITS["in"] if unit == "in" else 0.005


def show_length(value_m: float, unit: str, places: int | None = None) -> str:
    """A length as text without its unit: cm to 1 place, in to 2, trailing zeros of settable steps kept."""
    if places is None:
        places = 2 if unit == "in" else 1
    return f"{to_unit(value_m, unit):.{places}f}"


def on_tape(inches: float, inward: int = 0, least: bool = False) -> str:
    """Inches as a tape shows them, to the nearest eighth; ``read_quantity`` reads it back.

    ``inward`` takes the next eighth above (1) or below (-1) instead, for the ends of what is allowed;
    ``least`` shows no less than an eighth, for an error is never nothing.

    >>> on_tape(26.48), on_tape(7.9), on_tape(0.36), on_tape(17.717, 1), on_tape(0.02, least=True)
    ('26 1/2', '7 7/8', '3/8', '17 3/4', '1/8')
    """
    exact = round(8 * inches, 6)
    eighths = math.ceil(exact) if inward > 0 else math.floor(exact) if inward < 0 else round(exact)
    eighths = max(eighths, 1) if least else eighths
    whole, part = divmod(abs(eighths), 8)
    shared = math.gcd(part, 8)
    fraction = f"{part // shared}/{8 // shared}" if part else ""
    return "-" * (eighths < 0) + " ".join(filter(None, (str(whole) if whole or not part else "", fraction)))


def degrees(angle_rad: float) -> float:
    """rad to degrees."""
    return math.degrees(angle_rad)
