"""What one pulls with: the bar, how high it lies, and what the rulebook says of the deadlift."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever import gear
from shortlever.gear import BARS, PLATE_DIAMETER_M, Bar

__all__ = ["BARS", "RULEBOOKS", "START_M", "Bar", "Gear", "Rules"]

START_M = PLATE_DIAMETER_M / 2  # the bar's middle over the floor, on the largest discs


@dataclass(frozen=True)
class Rules:
    """What a rulebook says of the deadlift, as text."""

    name: str
    contact: str = ""


RULEBOOKS = {name: Rules(name, **book.lifts.get("deadlift", {})) for name, book in gear.RULEBOOKS.items()}


@dataclass(frozen=True)
class Gear:
    """The bar, how high its middle lies at the start (m), and the rulebook in use."""

    bar: Bar = BARS["power"]
    start_m: float = START_M
    rules: Rules = RULEBOOKS["ipf"]
