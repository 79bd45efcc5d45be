"""What the core says to inputs that page scripts treat as well, for node --test to compare with.

build.py writes it anew before every run: `PYTHONPATH=core .venv/bin/python -m tests.page.from_core`.
"""

from __future__ import annotations

import json
import math
import random
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from shortlever.film.ellipse import Ellipse
from shortlever.person.tape import read_measure
from shortlever.trials import TrialLog, fair_order, to_json
from shortlever.units import LENGTH_UNITS, MASS_UNITS, UnreadableError, read_quantity, show_length
from shortlever.view import sets
from site_src.make import ground

FILE = ground.WORK / "from_core.json"
FOLDINGS = 200
T = TypeVar("T")
Change = dict[str, Any]

DAYS = ("2031-05-05", "2031-05-09", "2031-05-12")
TODAY = DAYS[-1]
LOADS = ("60", "62,5", "100", " 97.5 ", "135 lb", "60 KG", "61 1/4", "220lbs", "45 lb.", "61 3/2")
READABLE = ("61", "61,5", " 24 1/2 ", "0.5", "24 1/2 in", "61 cm", '24"')
TEXTS = (*READABLE, "1/4", "1 100/3", "1 3/2", "2′ 1", "", "wide", "6.1.2", "1 2")


class Draws:
    """Draws that are the same with every Python: only `random()` is promised to stay."""

    def __init__(self, seed: int) -> None:
        self._next: Callable[[], float] = random.Random(seed).random

    def below(self, count: int) -> int:
        return int(self._next() * count)

    def one_of(self, some: Sequence[T]) -> T:
        return some[self.below(len(some))]


def entry(draw: Draws) -> Change:
    return {
        "candidate": draw.one_of("AABBCD"),
        "load": draw.one_of(LOADS),
        "unit": draw.one_of(("kg", "lb")),
        "reps": draw.one_of(("5", "3", " 8", "1")),
        "reserve": draw.one_of(("2", "0", "1,5", "3", "1 1/2")),
        "touched": draw.below(4) > 0,
        "pain": draw.below(8) == 0,
    }


def change(draw: Draws, place: int) -> Change:
    """One tap, whether it fits or not."""
    number = 1 + draw.below(6)
    setup = draw.below(5)
    key = draw.one_of("ABCD")
    found: Change = draw.one_of(
        (
            {"what": "add_set", "set": entry(draw)},
            {"what": "add_set", "set": entry(draw)},
            {"what": "add_set", "set": entry(draw)},
            {"what": "edit_set", "number": number, "set": entry(draw)},
            {"what": "delete_set", "number": number},
            {"what": "attach_film", "number": number, "measured": {"touch_m": 0.15, "mean_arm_m": 0.08}},
            {
                "what": "add_candidate",
                "candidate": {
                    "label": f"Setup {setup}",
                    "index": 5 + setup / 8,
                    "stroke_m": 0.33,
                    "mean_arm_m": 0.08,
                    "present": draw.below(2) == 0,
                },
            },
            {"what": "remove_candidate", "candidate": key},
            {"what": "clear_pain", "candidate": key},
            {"what": "formula", "formula": draw.one_of(("epley", "brzycki"))},
            {"what": "new_trial", "keep": draw.one_of((None, key))},
            {"what": "undo"},
            {"what": "undo"},
        )
    )
    return {**found, "at": f"{DAYS[min(place // 8, 2)]}T18:{place:02d}:00+02:00"}


def state(log: TrialLog) -> Change:
    """What the page's own folding must give as well."""
    plain = json.loads(to_json(log))
    names = ("candidates", "sets", "next_number", "formula", "earlier")
    return {name: plain[name] for name in names} | {
        "can_undo": sets._undoes(log) is not None,
        "coming": sets.coming(log, TODAY),
    }


def folding(seed: int) -> Change:
    """Some taps folded into a log, then more of them that wait; and what the core makes of all."""
    draw = Draws(seed)
    first = [
        {
            "what": "add_candidate",
            "at": f"{DAYS[0]}T17:00:00+02:00",
            "candidate": {"label": f"Setup {i}", "index": 5 + i / 8},
        }
        for i in range(2 + draw.below(3))
    ]
    folded = [*first, *(change(draw, place) for place in range(draw.below(14)))]
    pending = [change(draw, 8 + place) for place in range(1 + draw.below(14))]
    log, _ = sets.fold(TrialLog(), folded)
    after, refused = sets.fold(log, pending)
    return {
        "log": to_json(log),
        "pending": pending,
        "refused": [one["place"] for one in refused],
        "state": state(after),
    }


def lengths() -> list[Change]:
    """How a text is read where the unit switch stands at cm or in: metres, or null."""
    found = []
    for text in TEXTS:
        read: Change = {"text": text}
        for unit in ("cm", "in"):
            try:
                read[unit] = read_quantity(text, LENGTH_UNITS, unit)
            except UnreadableError:
                read[unit] = None
        found.append(read)
    return found


def masses() -> list[Change]:
    """Loads as read where kilograms or pounds are chosen: kg, or null."""
    found = []
    for text in LOADS:
        for unit in ("kg", "lb"):
            try:
                read = read_quantity(text, MASS_UNITS, unit)
            except UnreadableError:
                read = None
            found.append({"text": text, "unit": unit, "kg": read})
    return found


def tape_texts() -> list[Change]:
    """Fields of the tape as typed under one unit, read by the core (SI)."""
    return [
        {"key": key, "text": text, "unit": unit, "value": read_measure(key, text, unit)}
        for key, text, unit in (
            ("arm_length", "62", "cm"), ("arm_length", "24 1/2", "in"), ("shoulder_breadth", "39,5", "cm"),
            ("shoulder_breadth", "15.5", "in"), ("stature", "180 cm", "in"), ("stature", "5 ft 11 in", "cm"),
            ("body_mass", "80", "cm"), ("body_mass", "176", "in"), ("body_mass", "176 lb", "cm"),
        )
    ]  # fmt: skip


def ellipses() -> list[Change]:
    """Semi-axes and tilt (degrees) with the matrix of the unit circle's picture, and back from it."""
    found = []
    for a, b, tilt in ((9, 7, 0), (120, 80, 30), (64, 63, -45), (50, 20, 90), (31, 12, -89), (40, 40, 0)):
        half = Ellipse(0, 0, a, b, math.radians(tilt)).half_axes()
        back = Ellipse.from_half_axes(0, 0, half)
        axes = (back.a, back.b, math.degrees(back.tilt))
        found.append({"a": a, "b": b, "tilt": tilt, "half": half, "axes": axes})
    return found


def orders() -> list[Change]:
    return [
        {"keys": keys, "session": session, "order": fair_order(keys, session)}
        for keys in ("AB", "ACD", "ABCD")
        for session in range(5)
    ]


def everything() -> Change:
    return {
        "today": TODAY,
        "foldings": [folding(seed) for seed in range(FOLDINGS)],
        "lengths": lengths(),
        "masses": masses(),
        "shown": [
            {"m": m} | {unit: show_length(m, unit) for unit in ("cm", "in")} for m in (0.62, 0.1, 0.3937)
        ],
        "tape_texts": tape_texts(),
        "ellipses": ellipses(),
        "orders": orders(),
    }


if __name__ == "__main__":
    FILE.write_text(json.dumps(everything(), ensure_ascii=False), encoding="utf-8")
