"""What a suggestion of a lift from the legs holds."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Generic, TypeVar

from shortlever.errors import InputError
from shortlever.lifts.interval import Spread
from shortlever.lifts.legs.measure import Assessment
from shortlever.lifts.limit import Reason
from shortlever.say import PLAIN, Said

CHOICES = 9  # places of the dial that are shown
NOTICEABLE = 0.02  # of effort or stroke: less a lifter does not notice (assumption; sets tell 2.5 kg in 100)

S = TypeVar("S")  # a setup
A = TypeVar("A", bound=Assessment)


@dataclass(frozen=True)
class Choice(Generic[S]):
    """One place of the dial: the setup, with arms (m), lean and shin (deg) there, and its effort against the
    least (1 is the least)."""

    preference: float
    setup: S
    hip_arm_m: float
    knee_arm_m: float
    back_arm_m: float
    trunk_lean_deg: float
    shin_deg: float
    effort: float


@dataclass(frozen=True)
class Band:
    """A choice that is nearly free: from ``low`` to ``high`` (m, or deg where the key says so) effort stays
    within ``within`` of the least, one thing changed at a time."""

    key: str
    low: float
    high: float
    within: float


@dataclass(frozen=True)
class Step:
    """What one part of the change from the present setup does: ratios after / before of stroke and effort."""

    key: str
    stroke: float
    effort: float


@dataclass(frozen=True)
class Gain:
    """The suggestion against the present setup, as ratios suggested / present (below 1 is less).

    ``steps``: the setup's parts changed one after the other. ``stay``: nothing of it is noticeable.
    """

    stroke: float
    effort: float
    hip_arm: float
    back_arm: float
    lean_deg: float
    steps: tuple[Step, ...]

    @property
    def stay(self) -> bool:
        """Whether nothing of it is noticeable."""
        return max(abs(self.effort - 1), abs(self.stroke - 1)) < NOTICEABLE


G = TypeVar("G", bound=Gain)


@dataclass(frozen=True, kw_only=True)
class Suggestion(Generic[S, A, G]):
    """A setup with its measures, what bound it, the dial's other places, what is nearly free, and the present
    setup."""

    setup: S
    measures: A
    binding: tuple[Reason, ...]
    frontier: tuple[Choice[S], ...]
    bands: tuple[Band, ...]
    preference: float
    current: A | None = None
    gain: G | None = None
    doubt: Spread | None = None
    warnings: tuple[tuple[str, str, Said], ...] = ()

    def plain(self) -> dict[str, object]:
        """The suggestion as an object that can travel as JSON (SI, degrees where named), said in English."""
        found: dict[str, object] = PLAIN.all(self.told())
        return found

    def told(self) -> dict[str, Any]:
        """The same with its sentences still to be said."""
        got, doubt = self.measures.told(), self.doubt
        next_one = doubt.next_measurement if doubt else None
        return {
            "setup": got["setup"],
            "marks": got["marks"],
            "measures": got,
            "current": self.current.told() if self.current else None,
            "gain": asdict(self.gain) | {"stay": self.gain.stay} if self.gain else None,
            "bands": [asdict(band) for band in self.bands],
            "frontier": [asdict(choice) for choice in self.frontier],
            "binding": [one.told() for one in self.binding],
            "intervals": {n: [i.low, i.high] for n, i in doubt.intervals.items()} if doubt else None,
            "next_measurement": asdict(next_one) if next_one else None,
            "preference": self.preference,
            "warnings": [{"field": f, "code": c, "message": m} for f, c, m in self.warnings],
        }


def check_preference(preference: object, remedy: Said) -> None:
    """Raises InputError for a place of the dial outside 0 to 1."""
    if not isinstance(preference, int | float) or not 0 <= preference <= 1:
        said = Said("preference_out_of_range", {"given": repr(preference)})
        raise InputError("preference", "out_of_range", f"{preference!r}"[:24], said, remedy)
