"""The lifts: a package each, and the registry that everything above reads."""

from __future__ import annotations

from shortlever.lifts.bench.library import (
    Assessment,
    Comfort,
    Gear,
    Setup,
    Suggestion,
    assess,
    suggest,
)
from shortlever.lifts.bench.lift import BENCH_PRESS
from shortlever.lifts.deadlift.lift import DEADLIFT
from shortlever.lifts.lift import AnyLift, Lift
from shortlever.lifts.squat.lift import SQUAT

__all__ = [
    "LIFTS",
    "UNNAMED",
    "AnyLift",
    "Assessment",
    "Comfort",
    "Gear",
    "Lift",
    "Setup",
    "Suggestion",
    "assess",
    "lift_named",
    "suggest",
]

LIFTS: dict[str, AnyLift] = {one.key: one for one in (BENCH_PRESS, SQUAT, DEADLIFT)}
"""By the key that records, links and requests hold."""

UNNAMED = BENCH_PRESS.key
"""The lift of what names none: there was one only."""


def lift_named(key: str) -> AnyLift:
    """The lift of that key; the one of what names none where this version does not know it."""
    return LIFTS.get(key, LIFTS[UNNAMED])
