"""A language: its texts by code, and how it writes numbers, lengths and masses."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from shortlever.units import LENGTH_UNITS, MASS_UNITS, on_tape, show_length

Entry = str | Mapping[str, str]  # a text, or texts by the plural category of the value called "count"


def one_or_other(count: float) -> str:
    """The plural category of a count where one thing has a form of its own (CLDR: English, German, …)."""
    return "one" if count == 1 else "other"


@dataclass(frozen=True, eq=False)
class Language:
    """``texts`` by code, ``plural`` (from a count to the category of an entry, after CLDR), the ``decimal``
    mark, and how a label is written ``inside`` a sentence."""

    texts: Mapping[str, Entry]
    plural: Callable[[float], str] = one_or_other
    decimal: str = "."
    inside: Callable[[str], str] = str.lower

    def text(self, code: str, count: float) -> str:
        """The text of a code, in its form for a count."""
        entry = self.texts[code]
        return entry if isinstance(entry, str) else entry.get(self.plural(count)) or entry["other"]

    def with_unit(self, number: str, unit: str) -> str:
        """A number with its unit."""
        return self.text(f"unit_{unit}", 0).format(number=number)


# What stands in a sentence is one of these; what comes after the colon in ``{name:…}`` reaches __format__.


class Word(str):
    """A text: ``{name}``, ``{name:inside}`` where it is a label inside the sentence, ``{name:.80}`` cut."""

    language: Language

    def __format__(self, spec: str) -> str:
        return self.language.inside(self) if spec == "inside" else str.__format__(self, spec)


class Row(tuple[str, ...]):
    """Texts in a row: ``{name:and}``, parted as the language's "join_and" says."""

    language: Language

    def __format__(self, spec: str) -> str:
        return self.language.text(f"join_{spec or 'comma'}", len(self)).join(self)


class Number(float):
    """A number by Python's own formats, ``{name:.0f}``, with the language's decimal mark."""

    language: Language

    def __format__(self, spec: str) -> str:
        return float.__format__(self, spec).replace(".", self.language.decimal)


class Mass(Number):
    """A mass in kg, said in kg or in whole lb: ``{x_kg}`` without needless places, ``{x_kg:.1f}`` to 1 place
    of kg; ``:low`` and ``:high`` in lb inside what is allowed; ``:bare`` without the unit."""

    unit: str

    def __format__(self, spec: str) -> str:
        words = spec.split()
        value = self / MASS_UNITS[self.unit]
        if self.unit == "lb":
            whole = math.ceil if "low" in words else math.floor if "high" in words else round
            number = f"{whole(value)}"
        else:
            number = f"{value:{next((one for one in words if one.startswith('.')), 'g')}}"
        number = number.replace(".", self.language.decimal)
        return number if "bare" in words else self.language.with_unit(number, self.unit)


class Length(Number):
    """A length in m, said in cm or in inches: cm with a point, inches as a tape shows them (``on_tape``).

    ``{x_m}`` in cm to 1 place; ``:whole`` to none; ``:low`` and ``:high`` to 3 digits, and in inches inside
    what is allowed; ``:margin`` in inches never less than their smallest step; ``:bare`` without the unit;
    ``:wide`` in a column; ``:signed`` with its sign; ``:decimal`` inches in decimals too; ``:plain`` with a
    hyphen for a minus; ``:far`` in metres to 1 place or in whole feet, ``:far fine`` to one place more and
    ``:far whole`` to none. These words may stand together.
    """

    unit: str

    def __format__(self, spec: str) -> str:
        words = spec.split()
        if "far" in words:
            unit = "ft" if self.unit == "in" else "m"
            places = ("fine" in words) - ("whole" in words) + (unit == "m")
            number = f"{self / LENGTH_UNITS[unit]:.{max(places, 0)}f}"
        else:
            unit, number = self.unit, self._number(words)
        if "signed" in words:
            number = ("+" if self >= 0 else "-") + number.lstrip("-")
        number = number.replace(".", self.language.decimal).rjust(5 * ("wide" in words))
        number = number if "plain" in words else number.replace("-", "−")
        return number if "bare" in words else self.language.with_unit(number, unit)

    def _number(self, words: list[str]) -> str:
        whole, bound = "whole" in words, "low" in words or "high" in words
        if self.unit == "in" and "decimal" not in words:
            how = -1 if "high" in words else 1 if "low" in words else 0
            return on_tape(self / LENGTH_UNITS["in"], how, least="margin" in words)
        if bound:
            return f"{self / LENGTH_UNITS[self.unit]:.3g}"
        return show_length(self, self.unit, (self.unit == "in") + 0 if whole else None)
