"""The suggestion: in each style feet and hands from the search, hips where the dial stands; which style, if
one is to be named; reasons, and what is nearly free."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts.deadlift.comfort import STYLES
from shortlever.lifts.deadlift.gain import Gain, gain_of
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.one_style import (
    DEFAULT_PREFERENCE,
    Band,
    Best,
    Choice,
    bands,
    best_of,
    frontier,
)
from shortlever.lifts.deadlift.reasons import WINS, Reason, reasons
from shortlever.lifts.deadlift.setup import Puller, Setup
from shortlever.lifts.legs.spread import Doubt
from shortlever.say import PLAIN, Said


@dataclass(frozen=True)
class Suggestion:
    """A setup with its measures, what bound it, the dial's other places and what is nearly free; the best
    setup of the other style, and ``winner``: the style to be named, "" where sets have to decide.

    ``effort_ratio``: the other style's effort over this one's, None where it holds none; then ``other_why``.
    """

    setup: Setup
    measures: Assessment
    binding: tuple[Reason, ...]
    frontier: tuple[Choice, ...]
    bands: tuple[Band, ...]
    preference: float
    winner: str
    other: Assessment | None = None
    effort_ratio: float | None = None
    other_why: Said | None = None
    current: Assessment | None = None
    gain: Gain | None = None
    doubt: Doubt | None = None
    warnings: tuple[tuple[str, str, Said], ...] = ()

    def plain(self) -> dict[str, object]:
        """The suggestion as an object that can travel as JSON (SI, degrees where named), said in English."""
        found: dict[str, object] = PLAIN.all(self.told())
        return found

    def told(self) -> dict[str, object]:
        """The same with its sentences still to be said."""
        got, doubt = self.measures.told(), self.doubt
        next_one = doubt.next_measurement if doubt else None
        return {
            "setup": got["setup"],
            "marks": got["marks"],
            "measures": got,
            "winner": self.winner or None,
            "effort_ratio": self.effort_ratio,
            "other": self.other.told() if self.other else None,
            "other_why": self.other_why,
            "current": self.current.told() if self.current else None,
            "gain": asdict(self.gain) if self.gain else None,
            "bands": [asdict(band) for band in self.bands],
            "frontier": [asdict(choice) for choice in self.frontier],
            "binding": [{"code": one.code, "message": one.said} for one in self.binding],
            "intervals": {n: [i.low, i.high] for n, i in doubt.intervals.items()} if doubt else None,
            "next_measurement": asdict(next_one) if next_one else None,
            "preference": self.preference,
            "warnings": [{"field": f, "code": c, "message": m} for f, c, m in self.warnings],
        }


def suggest_pull(
    puller: Puller,
    preference: float = DEFAULT_PREFERENCE,
    current: Setup | None = None,
    *,
    with_frontier: bool = True,
) -> Suggestion:
    """The suggestion for one lifter: in the puller's style, or in the present one, or in the one of less
    effort.

    Raises InputError for a preference outside 0 to 1, InfeasibleError where no style holds a start.
    """
    if not isinstance(preference, int | float) or not 0 <= preference <= 1:
        raise InputError(
            "preference",
            "out_of_range",
            f"{preference!r}"[:24],
            Said("preference_out_of_range", {"given": repr(preference)}),
            Said("pull_preference_remedy"),
        )
    found: dict[str, Best] = {}
    why: dict[str, InfeasibleError] = {}
    for one in STYLES:
        try:
            found[one] = best_of(puller, one, preference)
        except InfeasibleError as none:
            why[one] = none
    wanted = puller.style or (current.style if current else "")
    if not found or puller.style in why:
        raise why[puller.style or STYLES[0]]
    shown = wanted if wanted in found else min(found, key=lambda one: _rank(found[one]))
    best = found[shown]
    other = next((one for one in found if one != shown), None)
    ratio = found[other].measures.effort / best.measures.effort if other else None
    now = assess_pull(puller, current) if current else None
    return Suggestion(
        setup=best.setup,
        measures=best.measures,
        binding=tuple(reasons(puller, best, ratio)),
        frontier=tuple(frontier(puller, best)) if with_frontier else (),
        bands=tuple(bands(puller, best)),
        preference=preference,
        winner=winner(shown, other, ratio),
        other=found[other].measures if other else None,
        effort_ratio=ratio,
        other_why=next((none.said for none in why.values()), None),
        current=now,
        gain=gain_of(puller, best.measures, now) if now else None,
    )


def _rank(best: Best) -> tuple[bool, float]:
    """A style that keeps every limit comes first, then that of less effort."""
    return any(limit.broken for limit in best.measures.limits), best.measures.effort


def winner(shown: str, other: str | None, ratio: float | None) -> str:
    """The style that is named: only one whose effort is less by more than WINS."""
    if other is None or ratio is None:
        return shown
    return shown if ratio > 1 + WINS else other if ratio < 1 / (1 + WINS) else ""
