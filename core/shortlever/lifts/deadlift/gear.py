"""What one pulls with: the bar, and how high it lies. No rulebook limits feet or hands in the deadlift."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.gear import BARS, PLATE_DIAMETER_M, Bar

__all__ = ["BARS", "START_M", "Bar", "Gear"]

START_M = PLATE_DIAMETER_M / 2  # the bar's middle over the floor, on the largest discs


@dataclass(frozen=True)
class Gear:
    """The bar, and how high its middle lies at the start (m)."""

    bar: Bar = BARS["power"]
    start_m: float = START_M
