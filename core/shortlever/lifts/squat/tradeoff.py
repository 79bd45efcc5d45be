"""The trade-off as a picture: knee arm against hip and back arm along the dial, each place to pick."""

from __future__ import annotations

from shortlever.draw.tradeoff import tradeoff as picture
from shortlever.lifts.legs.advice import Choice
from shortlever.lifts.squat.advice import Suggestion
from shortlever.lifts.squat.measure import Setup
from shortlever.lifts.squat.words import Words
from shortlever.say import Said


def tradeoff(words: Words, advice: Suggestion, chosen: Setup) -> dict[str, object]:
    """SVG text, and the choices with their numbers as texts; ``at`` is the one nearest to what is shown.

    Each point carries data-choice with its place in ``choices``; the list runs from the knees' end to the
    hips' end of the dial.
    """
    settable: dict[float, Choice[Setup]] = {}  # places that a lifter would set alike are one choice
    for choice in advice.frontier:
        settable.setdefault(words.set_m(choice.hip_arm_m), choice)
    choices = list(settable.values())

    def nearest(back: float | None) -> int:
        return min(range(len(choices)), key=lambda i: abs(choices[i].hip_arm_m - (back or 0.0)))

    at, suggested = nearest(chosen.sit_back_m), nearest(advice.setup.sit_back_m)
    return {
        "svg": picture(
            [(c.knee_arm_m, c.hip_arm_m + c.back_arm_m) for c in choices],
            at,
            suggested,
            Said("squat_trade_title", {"places": len(choices)}),
            Said("squat_trade_knee", {"unit": words.unit}),
            Said("squat_trade_rest", {"unit": words.unit}),
        ),
        "at": at,
        "suggested": suggested,
        "choices": [
            {
                "stance_m": round(c.setup.stance_m, 6),
                "turn_out_deg": round(c.setup.turn_out_deg, 6),
                "heel_m": round(c.setup.heel_m, 6),
                "sit_back_m": round(c.hip_arm_m, 6),
                "text": words.choice(c),
            }
            for c in choices
        ],
    }
