"""Sentences: the catalogue, by code, and what is not said yet. A part of it for each file beside this one."""

from __future__ import annotations

import json
import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass, field

from shortlever.units import show_length

# Read when it is imported: a snapshot of memory, from which a browser starts, has no files.
ENGLISH: Mapping[str, str] = {
    code: said
    for part in ("english", "squat", "deadlift")
    for code, said in json.loads(pkgutil.get_data(__name__, f"{part}.json") or b"").items()
}


class _Length(float):
    """A length in m, written in a unit: ``{x_m}`` as usual, ``{x_m:whole}`` without needless places."""

    unit: str

    def __format__(self, spec: str) -> str:
        places = (1 if self.unit == "in" else 0) if spec == "whole" else None
        return f"{show_length(self, self.unit, places)} {self.unit}"


@dataclass(frozen=True)
class Said:
    """A sentence of the catalogue by its code, and what stands in it, in SI: lengths have names ending in _m.

    ``in_unit`` says it; as a text it is in cm.

    >>> far = Said("grip_beyond_reach", {"grip_m": 0.9144})
    >>> str(far), far.in_unit("in")
    ('A grip of 91.4 cm is wider than the arms reach.', 'A grip of 36.00 in is wider than the arms reach.')
    """

    code: str
    values: Mapping[str, float | str | Said] = field(default_factory=dict)

    def in_unit(self, unit: str) -> str:
        """The sentence with its lengths in cm or in."""
        return ENGLISH[self.code].format(**{name: _shown(name, v, unit) for name, v in self.values.items()})

    def __str__(self) -> str:
        return self.in_unit("cm")


def _shown(name: str, value: float | str | Said, unit: str) -> float | str:
    if isinstance(value, Said):
        return value.in_unit(unit)
    if name.endswith("_m") and not isinstance(value, str):
        length = _Length(value)
        length.unit = unit
        return length
    return value
