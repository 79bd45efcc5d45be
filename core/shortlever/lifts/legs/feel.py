"""A grid of setups to go between with a finger, one thing that can be moved after the other.

What a later axis may do depends on where the earlier ones stand; along an axis the part of the setup that it
moves goes in equal steps from where one limit stops it to where another does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from shortlever.lifts.lift import Axis, Handle
from shortlever.lifts.limit import Limit
from shortlever.say import Said

Place = tuple[float, ...]  # parts of a setup, in the order of the axes (m or rad)

FEET = (
    Handle("front", "shoe", 0, point=4),
    Handle("front", "other-shoe", 0, point=4),
    Handle("above", "shoe", 0, point=0),
    Handle("above", "other-shoe", 0, point=0),
)


@dataclass(frozen=True)
class Ends:
    """How far one thing can be moved, and what stops it at either end."""

    low: float
    high: float
    stops_low: Said
    stops_high: Said


@dataclass(frozen=True)
class Freedom:
    """One thing that can be moved: as in ``Axis``, and its ends where the axes before it stand so."""

    key: str
    part: str
    steps: int
    ends: Callable[[Place], Ends]


def grid(freedoms: Sequence[Freedom]) -> tuple[tuple[Axis, ...], list[Place]]:
    """The axes, and the places of all setups, the last axis running fastest."""
    axes: list[Axis] = []
    places: list[Place] = [()]
    for one in freedoms:
        found = [one.ends(place) for place in places]
        stops = (_once(end.stops_low for end in found), _once(end.stops_high for end in found))
        axes.append(Axis(one.key, one.part, one.steps, *stops))
        places = [
            (*place, end.low + (end.high - end.low) * i / (one.steps - 1))
            for place, end in zip(places, found, strict=True)
            for i in range(one.steps)
        ]
    return tuple(axes), places


def _once(said: Iterable[Said]) -> list[Said]:
    """One sentence where all are the same."""
    every = list(said)
    return every[:1] if all(one == every[0] for one in every) else every


def stopped_by(limits: Iterable[Limit], names: Sequence[str], otherwise: Said) -> Said:
    """The limit of these names with the least room left, where it is all but none (deg); or ``otherwise``."""
    left = [one for one in limits if one.name in names]
    nearest = min(left, key=lambda one: one.margin, default=None)
    if nearest is None or nearest.margin > NO_ROOM_DEG:
        return otherwise
    return Said("felt_stops", {"why": nearest.reason})


NO_ROOM_DEG = 0.3
STANCE_STEP_M = 0.03


def furthest(keeps: Callable[[float], bool], start: float, end: float) -> float:
    """How far from a start toward an end something is kept, to a millimetre."""
    way = STANCE_STEP_M if end > start else -STANCE_STEP_M
    inside = start
    while abs(end - inside) > abs(way) and keeps(inside + way):
        inside += way
    outside = inside + way if abs(end - inside) > abs(way) else end
    if keeps(outside):
        return outside
    for _ in range(5):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if keeps(middle) else (inside, middle)
    return inside
