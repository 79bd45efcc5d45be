"""The lifts: a package each, and the registry that everything above reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping
from pkgutil import resolve_name

from shortlever.errors import LiftAway
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
from shortlever.lifts.lift import AnyLift, Lift

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

UNNAMED = BENCH_PRESS.key
"""The lift of what names none: there was one only."""

PLACES = {"squat": "shortlever.lifts.squat.lift:SQUAT", "deadlift": "shortlever.lifts.deadlift.lift:DEADLIFT"}
"""Where the further lifts are, by key. A browser fetches them when one is asked for."""


class Lifts(MutableMapping[str, AnyLift]):
    """The lifts by the key that records, links and requests hold; one is imported when it is asked for.

    Asking for one whose modules are not there yet raises ``LiftAway``, in a browser only.
    """

    def __init__(self, here: Mapping[str, AnyLift], places: Mapping[str, str]) -> None:
        self._lifts: dict[str, AnyLift | str] = {**here, **places}

    def __getitem__(self, key: str) -> AnyLift:
        lift = self._lifts[key]
        if isinstance(lift, str):
            try:
                lift = self._lifts[key] = resolve_name(lift)
            except ModuleNotFoundError as missing:
                raise LiftAway(key) from missing
        return lift

    def __setitem__(self, key: str, lift: AnyLift) -> None:
        self._lifts[key] = lift

    def __delitem__(self, key: str) -> None:
        del self._lifts[key]

    def __contains__(self, key: object) -> bool:
        return key in self._lifts

    def __iter__(self) -> Iterator[str]:
        return iter(self._lifts)

    def __len__(self) -> int:
        return len(self._lifts)


LIFTS = Lifts({UNNAMED: BENCH_PRESS}, PLACES)
"""All of them."""


def lift_named(key: str) -> AnyLift:
    """The lift of that key; the one of what names none where this version does not know it."""
    return LIFTS.get(key, LIFTS[UNNAMED])
