"""The trade-off as a picture: stroke against mean moment arm of the non-dominated setups, each to pick."""

from __future__ import annotations

from shortlever.draw.tradeoff import tradeoff as picture
from shortlever.lifts.bench.advice import Choice, Suggestion
from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.setting import that_can_be_set
from shortlever.lifts.bench.words import Words
from shortlever.say import Said


def tradeoff(words: Words, advice: Suggestion, chosen: tuple[float, float]) -> dict[str, object]:
    """SVG text, and the choices with their numbers as texts; ``at`` is the one nearest to what is shown.

    Each point carries data-choice with its place in ``choices``; the list runs from the shortest arm to the
    shortest stroke.
    """
    chest = words.press.chest
    settable: dict[tuple[float, float], Choice] = {}  # setups that a lifter would set alike are one choice
    for c in advice.frontier:
        setup = that_can_be_set(words.press, Setup(c.grip_m, c.touch_m, advice.setup.load_kg), words.unit)
        settable.setdefault((words.set_m(setup.grip_m), words.set_m(chest.tape_m(setup.touch_m))), c)
    choices = list(settable.values())

    def far(c: Choice) -> float:
        return abs(c.grip_m - chosen[0]) + abs(c.touch_m - chosen[1])

    at = min(range(len(choices)), key=lambda i: far(choices[i]))
    suggested = min(
        range(len(choices)),
        key=lambda i: (
            abs(choices[i].grip_m - advice.setup.grip_m) + abs(choices[i].touch_m - advice.setup.touch_m)
        ),
    )
    return {
        "svg": picture(
            [(c.mean_moment_arm_m, c.range_of_motion_m) for c in choices],
            at,
            suggested,
            Said("trade_title", {"setups": len(choices)}),
            Said("trade_arm", {"unit": words.unit}),
            Said("trade_stroke", {"unit": words.unit}),
        ),
        "at": at,
        "suggested": suggested,
        "choices": [
            {
                "grip_m": round(c.grip_m, 6),
                "touch_m": round(c.touch_m, 6),
                "text": Said(
                    "trade_choice",
                    {
                        "set_grip_m": grip,
                        "set_touch_m": touch,
                        "arm_m": c.mean_moment_arm_m,
                        "stroke_m": c.range_of_motion_m,
                    },
                ),
            }
            for (grip, touch), c in settable.items()
        ],
    }
