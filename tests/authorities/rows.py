"""A check as a row of the table, and what makes rows: published values, the average man, verdicts."""

from __future__ import annotations

import functools
import itertools
import tomllib
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from shortlever import Assessment, Body, Comfort, Gear, Setup, Tape, assess
from shortlever.lifts import LIFTS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.press import Press

HERE = Path(__file__).resolve().parent

AGREES, MISSES, REPORTED = "agrees", "misses", "reported"
NOT_COUNTED = "agrees, not counted"  # a parameter was set with this value in view
SLIGHT_ARCH_M = 0.03
BIG_ARCH_M = 0.10
WIDEST_M = 0.81
GRIP_NAMES = ("narrow", "medium", "wide")


@dataclass(frozen=True)
class Row:
    """One check: what was published, what the model gives, and whether the two agree."""

    id: str
    what: str
    body: str
    published: str
    source: str
    known: str
    model: str
    verdict: str

    @property
    def explanation(self) -> str:
        """Why a row misses, "" for every other row."""
        return reasons().get(self.id, "") if self.verdict == MISSES else ""


@functools.cache
def published(name: str) -> dict[str, Any]:
    """One file of published values."""
    return tomllib.loads((HERE / f"{name}.toml").read_text(encoding="utf-8"))


def of_lifts() -> list[ModuleType]:
    """What was checked of each lift, as its value names it: ``GROUPS`` of rows, and ``TABLE``, the file where
    misses are explained and what was fitted is told."""
    named = [lift.evidence for lift in LIFTS.values() if lift.evidence]
    return [import_module(f"tests.authorities.{name}") for name in named]


@functools.cache
def reasons() -> dict[str, str]:
    """The known misses and why each of them misses."""
    return {
        id: entry["because"]
        for one in of_lifts()
        for entry in published(one.TABLE)["why"].values()
        for id in entry["rows"]
    }


def fitted() -> list[dict[str, Any]]:
    """What was set with which checks in view."""
    return [entry for one in of_lifts() for entry in published(one.TABLE)["fitted"]]


def verdict(ok: bool) -> str:
    return AGREES if ok else MISSES


@dataclass(frozen=True)
class Case:
    """Makes rows that share a source."""

    entry: dict[str, Any]

    def row(self, id: str, what: str, body: str, says: str, model: str, found: str) -> Row:
        return Row(id, what, body, says, self.entry["source"], self.entry["known"], model, found)

    def near(
        self,
        id: str,
        what: str,
        body: str,
        value: float,
        tolerance: float,
        model: float,
        unit: str = "m",
        note: str = "",
    ) -> Row:
        """A value with a tolerance."""
        digits = 1 if unit == "°" else 3
        says = f"{value:.{digits}f} ± {tolerance:.{digits}f} {unit}".rstrip()
        text = f"{model:.{digits}f} {unit}".rstrip() + (f" ({note})" if note else "")
        return self.row(id, what, body, says, text, verdict(abs(model - value) <= tolerance))

    def within(
        self,
        id: str,
        what: str,
        body: str,
        low: float,
        high: float,
        model: float,
        unit: str = "m",
        note: str = "",
    ) -> Row:
        """A range."""
        says = f"{low:.3f} to {high:.3f} {unit}".rstrip()
        text = f"{model:.3f} {unit}".rstrip() + (f" ({note})" if note else "")
        return self.row(id, what, body, says, text, verdict(low - 1e-9 <= model <= high + 1e-9))

    def sign(self, id: str, what: str, body: str, says: str, model: str, ok: bool) -> Row:
        """A direction or an order."""
        return self.row(id, what, body, says, model, verdict(ok))


# ---- bodies ------------------------------------------------------------------------------------------------


@functools.cache
def man(arch_m: float = 0.0) -> Body:
    """The mean man of ANSUR II with an arch of so many metres."""
    flat = Body.from_tape(Tape(sex="male"))
    if not arch_m:
        return flat
    return Body.from_tape(Tape(sex="male", chest_arched=flat.chest_flat_m + arch_m))


def press(body: Body, load_kg: float = 100.0, comfort: Comfort = COMFORTS["usual"]) -> Press:
    return Press(body, Gear(), comfort, load_kg)


FLAT, SLIGHT, BIG = "average man, flat", "average man, slight arch", "average man, big arch"
BODIES = ((FLAT, "flat", 0.0), (SLIGHT, "arch", SLIGHT_ARCH_M))


@functools.cache
def measured(arch_m: float, grip_m: float, touch_m: float, load_kg: float = 100.0) -> Assessment:
    """The average man at a given touch."""
    return assess(man(arch_m), Setup(grip_m, touch_m, load_kg))


@functools.cache
def nearest(arch_m: float, grip_m: float, load_kg: float = 100.0) -> Assessment:
    """The average man at the touch nearest to his shoulders that the limits allow."""
    return measured(arch_m, grip_m, press(man(arch_m), load_kg).nearest_touch_m(grip_m), load_kg)


def falling(values: list[float]) -> bool:
    return all(b < a for a, b in itertools.pairwise(values))


ROUNDING_M = 0.0005  # half a millimetre is not a rise


def rise(values: list[float]) -> float:
    """The most that a series rises above anything before it."""
    return max(value - min(values[: i + 1]) for i, value in enumerate(values))


def falls(values: list[float]) -> bool:
    """Falling from first to last, with no rise beyond rounding."""
    return values[-1] < values[0] and rise(values) <= ROUNDING_M


def numbers(values: list[float], digits: int = 3) -> str:
    return " / ".join(f"{v:.{digits}f}" for v in values)
