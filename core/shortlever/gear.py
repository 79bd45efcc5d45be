"""Bars, plates and rulebooks: the data of gear.json, whose shape is gear.schema.json.

What a rulebook limits is a lift's own business and stands under its name. The rulebook in force decides.
"""

from __future__ import annotations

import json
import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shortlever.say import Said

# Read when it is imported: a snapshot of memory, from which a browser starts, has no files.
_DATA: Mapping[str, Any] = json.loads(pkgutil.get_data(__name__, "gear.json") or b"")

PLATE_DIAMETER_M = 0.450  # IPF technical rules, largest disc (second-hand)


@dataclass(frozen=True)
class Bar:
    """A bar: diameter, distance between its ring marks, length between the collars (m).

    ``label``: what the form calls it, by its ring marks.
    """

    name: str
    label: Said
    diameter_m: float
    rings_m: float
    between_collars_m: float
    source: str


@dataclass(frozen=True)
class Rulebook:
    """A rulebook: what the form calls it, where it is from, and what it limits in each lift, by its name."""

    name: str
    label: Said
    source: str
    lifts: Mapping[str, Mapping[str, Any]]


def _called(one: Mapping[str, Any]) -> dict[str, Any]:
    """A bar or a rulebook with its label, in which its own numbers may stand."""
    limits = {key: value for lift in one.get("lifts", {}).values() for key, value in lift.items()}
    numbers = {key: value for key, value in {**limits, **one}.items() if isinstance(value, float)}
    return {**one, "label": Said(one["label"], numbers)}


BARS = {name: Bar(name, **_called(bar)) for name, bar in _DATA["bars"].items()}
RULEBOOKS = {name: Rulebook(name, **_called(book)) for name, book in _DATA["rulebooks"].items()}
