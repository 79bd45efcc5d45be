"""Bars, plates and rulebooks: the data of gear.json, whose shape is gear.schema.json.

What a rulebook limits is a lift's own business and stands under its name. The rulebook in force decides.
"""

from __future__ import annotations

import json
import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

# Read when it is imported: a snapshot of memory, from which a browser starts, has no files.
_DATA: Mapping[str, Any] = json.loads(pkgutil.get_data(__name__, "gear.json") or b"")

PLATE_DIAMETER_M = 0.450  # IPF technical rules, largest disc (second-hand)


@dataclass(frozen=True)
class Bar:
    """A bar: diameter, how far apart each pair of its ring marks is, length between the sleeves (m).

    ``label``: what the form calls it, by its ring marks.
    """

    name: str
    label: str
    diameter_m: float
    rings_m: tuple[float, ...]
    between_collars_m: float
    source: str


@dataclass(frozen=True)
class Rulebook:
    """A rulebook: what the form calls it, where it is from, and what it limits in each lift, by its name."""

    name: str
    label: str
    source: str
    lifts: Mapping[str, Mapping[str, Any]]


BARS = {name: Bar(name, **{**bar, "rings_m": tuple(bar["rings_m"])}) for name, bar in _DATA["bars"].items()}
RULEBOOKS = {name: Rulebook(name, **book) for name, book in _DATA["rulebooks"].items()}
