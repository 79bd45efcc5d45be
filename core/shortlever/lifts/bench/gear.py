"""What one presses with: bar, bench, and what the rulebook limits in the bench press."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever import gear
from shortlever.gear import BARS, Bar

__all__ = [
    "BARS",
    "BENCHES",
    "HAND_OUTSIDE_FOREFINGER_M",
    "RULEBOOKS",
    "Bar",
    "Bench",
    "Gear",
    "Rack",
    "Rules",
]

# The hand's centre of pressure sits outside the forefinger that rules measure (common practice, no source).
HAND_OUTSIDE_FOREFINGER_M = 0.04


@dataclass(frozen=True)
class Bench:
    """A bench: pad height above the floor and pad width (m)."""

    name: str
    height_m: float
    width_m: float
    source: str


@dataclass(frozen=True)
class Rules:
    """What a rulebook limits: forefinger spacing (m), the elbow-depth rule, and contact rules as text."""

    name: str
    max_grip_m: float | None = None
    elbow_depth: bool = False
    contact: str = ""


@dataclass(frozen=True)
class Rack:
    """The hook holes of an upright: the lowest above the floor, and from one to the next (m)."""

    lowest_m: float
    spacing_m: float


BENCHES = {
    "contest": Bench(
        "contest", 0.435, 0.305, "IPF technical rules: height 42-45 cm (memory), width 29-32 cm; middle"
    ),
}
RULEBOOKS = {name: Rules(name, **book.lifts.get("bench", {})) for name, book in gear.RULEBOOKS.items()}


@dataclass(frozen=True)
class Gear:
    """The bar, bench and rulebook in use, and the rack's holes where they were measured."""

    bar: Bar = BARS["power"]
    bench: Bench = BENCHES["contest"]
    rules: Rules = RULEBOOKS["ipf"]
    rack: Rack | None = None

    @property
    def max_grip_m(self) -> float:
        """Widest forefinger spacing allowed by the rulebook, or possible on the bar, m."""
        on_bar = self.bar.between_collars_m - 2 * (HAND_OUTSIDE_FOREFINGER_M + 0.05)
        return min(on_bar, self.rules.max_grip_m) if self.rules.max_grip_m else on_bar
