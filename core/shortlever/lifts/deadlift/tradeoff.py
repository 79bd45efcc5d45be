"""The trade-off as a picture: hip height at the start against hip and back arm along the dial, each place to
pick."""

from __future__ import annotations

from shortlever.draw.tradeoff import tradeoff as picture
from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.measure import Assessment
from shortlever.lifts.deadlift.one_style import Choice
from shortlever.lifts.deadlift.words import Words
from shortlever.say import Said


def tradeoff(words: Words, advice: Suggestion, shown: Assessment) -> dict[str, object]:
    """SVG text, and the choices with their numbers as texts; ``at`` is the one nearest to what is shown.

    Each point carries data-choice with its place in ``choices``; the list runs from the lowest hips to the
    highest.
    """
    settable: dict[float, Choice] = {}  # places that a lifter would set alike are one choice
    for choice in advice.frontier:
        settable.setdefault(words.set_m(choice.hip_height_m), choice)
    choices = list(settable.values())

    def nearest(hips: float) -> int:
        return min(range(len(choices)), key=lambda i: abs(choices[i].hip_height_m - hips))

    at, suggested = nearest(shown.hip_height_m), nearest(advice.measures.hip_height_m)
    return {
        "svg": picture(
            [(c.hip_height_m, c.hip_arm_m + c.back_arm_m) for c in choices],
            at,
            suggested,
            Said("pull_trade_title", {"places": len(choices)}),
            Said("pull_trade_hips", {"unit": words.unit}),
            Said("squat_trade_rest", {"unit": words.unit}),
        ),
        "at": at,
        "suggested": suggested,
        "choices": [
            {
                "stance_m": round(c.setup.stance_m, 6),
                "turn_out_deg": round(c.setup.turn_out_deg, 6),
                "grip_m": round(c.setup.grip_m, 6),
                "shoulder_ahead_m": round(c.setup.shoulder_ahead_m, 6),
                "text": words.choice(c),
            }
            for c in choices
        ],
    }
