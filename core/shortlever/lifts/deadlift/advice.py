"""The suggestion: in each style feet and hands from the search, hips where the dial stands; which style, if
one is to be named; reasons, and what is nearly free."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.comfort import STYLES
from shortlever.lifts.deadlift.gain import gain_of
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.one_style import (
    DEFAULT_PREFERENCE,
    Best,
    Choice,
    bands,
    best_of,
    frontier,
)
from shortlever.lifts.deadlift.reasons import WINS, reasons
from shortlever.lifts.deadlift.setup import Puller, Setup
from shortlever.lifts.legs import advice as legs
from shortlever.lifts.legs.advice import Gain, check_preference
from shortlever.say import Said


@dataclass(frozen=True, kw_only=True)
class Suggestion(legs.Suggestion[Setup, Assessment, Gain]):
    """That of every lift from the legs, and the best setup of the other style; ``winner``: the style to be
    named, "" where sets have to decide.

    ``effort_ratio``: the other style's effort over this one's, None where it holds none; then ``other_why``.
    """

    winner: str
    frontier: tuple[Choice, ...]
    other: Assessment | None = None
    effort_ratio: float | None = None
    other_why: Said | None = None

    def told(self) -> dict[str, object]:
        """The suggestion as plain parts, with its sentences still to be said."""
        return super().told() | {
            "winner": self.winner or None,
            "effort_ratio": self.effort_ratio,
            "other": self.other.told() if self.other else None,
            "other_why": self.other_why,
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
    check_preference(preference, Said("pull_preference_remedy"))
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
