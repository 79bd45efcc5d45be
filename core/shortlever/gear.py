"""Bars, benches, plates and rulebooks, as data with source and date. The rulebook in force decides."""

from __future__ import annotations

from dataclasses import dataclass

# The hand's centre of pressure sits outside the forefinger that rules measure (common practice, no source).
HAND_OUTSIDE_FOREFINGER_M = 0.04
PLATE_DIAMETER_M = 0.450  # IPF technical rules, largest disc (second-hand)


@dataclass(frozen=True)
class Bar:
    """A bar: diameter, distance between its ring marks, length between the collars (m)."""

    name: str
    diameter_m: float
    rings_m: float
    between_collars_m: float
    source: str


@dataclass(frozen=True)
class Bench:
    """A bench: pad height above the floor and pad width (m)."""

    name: str
    height_m: float
    width_m: float
    source: str


@dataclass(frozen=True)
class Rulebook:
    """What a rulebook limits: forefinger spacing (m), the elbow-depth rule, and contact rules as text."""

    name: str
    max_grip_m: float | None
    elbow_depth: bool
    contact: str
    source: str


BARS = {
    "power": Bar(
        "power", 0.029, 0.810, 1.310, "IPF technical rules: 28-29 mm, rings 81 cm, 1.31-1.32 m (second-hand)"
    ),
    "training": Bar(
        "training",
        0.028,
        0.910,
        1.310,
        "IWF equipment rules: 28 mm, marks 91 cm, 1.31 m between sleeves (second-hand)",
    ),
}
BENCHES = {
    "contest": Bench(
        "contest", 0.435, 0.305, "IPF technical rules: height 42-45 cm (memory), width 29-32 cm; middle"
    ),
}
RULEBOOKS = {
    "ipf": Rulebook(
        "ipf",
        0.810,
        True,
        "Head, shoulders and buttocks on the bench, feet flat on the floor or blocks, the bar motionless on "
        "the chest or abdominal area.",
        "IPF technical rules, elbow depth since 1 January 2023 (federation news, rule copy: read)",
    ),
    "spacing": Rulebook(
        "spacing",
        0.810,
        False,
        "Forefingers at most 81 cm apart; no elbow-depth rule.",
        "rulebooks before 2023",
    ),
    "none": Rulebook("none", None, False, "No rulebook: the gym's rules and your own care.", "training"),
}


@dataclass(frozen=True)
class Gear:
    """The bar, bench and rulebook in use."""

    bar: Bar = BARS["power"]
    bench: Bench = BENCHES["contest"]
    rules: Rulebook = RULEBOOKS["ipf"]

    @property
    def max_grip_m(self) -> float:
        """Widest forefinger spacing allowed by the rulebook, or possible on the bar, m."""
        on_bar = self.bar.between_collars_m - 2 * (HAND_OUTSIDE_FOREFINGER_M + 0.05)
        return min(on_bar, self.rules.max_grip_m) if self.rules.max_grip_m else on_bar
