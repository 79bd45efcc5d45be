"""The dial as a picture: what each place costs hip and back, each place to pick."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from shortlever.draw.tradeoff import tradeoff as picture
from shortlever.lifts.form import Part
from shortlever.lifts.legs.advice import Choice
from shortlever.lifts.legs.shown import parts_of
from shortlever.lifts.legs.words import LegWords
from shortlever.say import Said

P = TypeVar("P", bound=Choice[Any])


def tradeoff(
    words: LegWords[Any, Any],
    frontier: Sequence[P],
    parts: Sequence[Part],
    said: Callable[[P], Said],
    set_by: Callable[[P], float],
    shown_m: float,
    suggested_m: float,
    across: Callable[[P], float],
    across_said: Said,
) -> dict[str, object]:
    """SVG text, and the choices with their numbers as texts; ``at`` is the one nearest to what is shown.

    Each point carries data-choice with its place in ``choices``, which run along the dial. ``said``: a place
    in words; ``set_by``: the length that the dial moves (m), ``shown_m`` and ``suggested_m``: that of the
    setups; ``across``: what is drawn to the right (m).
    """
    settable: dict[float, P] = {}  # places that a lifter would set alike are one choice
    for choice in frontier:
        settable.setdefault(words.set_m(set_by(choice)), choice)
    choices = list(settable.values())

    def nearest(value_m: float) -> int:
        return min(range(len(choices)), key=lambda i: abs(set_by(choices[i]) - value_m))

    at, suggested = nearest(shown_m), nearest(suggested_m)
    return {
        "svg": picture(
            [(across(c), c.hip_arm_m + c.back_arm_m) for c in choices],
            at,
            suggested,
            Said(f"{words.key}_trade_title", {"places": len(choices)}),
            across_said,
            Said("squat_trade_rest", {"unit": words.unit}),
        ),
        "at": at,
        "suggested": suggested,
        "choices": [{**parts_of(c.setup, parts), "text": said(c)} for c in choices],
    }
