"""The trade-off as a picture: knee arm against hip and back arm along the dial, each place to pick."""

from __future__ import annotations

from shortlever.draw.svg import Drawing, dot, line, picture, text
from shortlever.lifts.squat.advice import Choice, Suggestion
from shortlever.lifts.squat.measure import Setup
from shortlever.lifts.squat.words import Words
from shortlever.say import Said, Text

WIDTH, HEIGHT = 320, 220
LEFT, RIGHT, TOP, BOTTOM = 56, 14, 34, 48


def tradeoff(words: Words, advice: Suggestion, chosen: Setup) -> dict[str, object]:
    """SVG text, and the choices with their numbers as texts; ``at`` is the one nearest to what is shown.

    Each point carries data-choice with its place in ``choices``; the list runs from the knees' end to the
    hips' end of the dial.
    """
    settable: dict[float, Choice] = {}  # places that a lifter would set alike are one choice
    for choice in advice.frontier:
        settable.setdefault(words.set_m(choice.hip_arm_m), choice)
    choices = list(settable.values())

    def nearest(back: float | None) -> int:
        return min(range(len(choices)), key=lambda i: abs(choices[i].hip_arm_m - (back or 0.0)))

    at, suggested = nearest(chosen.sit_back_m), nearest(advice.setup.sit_back_m)
    return {
        "svg": _draw(words, choices, at, suggested),
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


def _draw(words: Words, choices: list[Choice], at: int, suggested: int) -> Drawing:
    knees = [c.knee_arm_m for c in choices]
    others = [c.hip_arm_m + c.back_arm_m for c in choices]

    def scale(values: list[float]) -> tuple[float, float]:
        room = max(0.08 * (max(values) - min(values)), 0.002)
        return min(values) - room, max(values) + room

    (low_x, high_x), (low_y, high_y) = scale(knees), scale(others)

    def place(c: Choice) -> tuple[float, float]:
        x = LEFT + (WIDTH - LEFT - RIGHT) * (c.knee_arm_m - low_x) / (high_x - low_x)
        y = TOP + (HEIGHT - TOP - BOTTOM) * (high_y - c.hip_arm_m - c.back_arm_m) / (high_y - low_y)
        return round(x, 1), round(y, 1)

    base = HEIGHT - BOTTOM
    title = Said("squat_trade_title", {"places": len(choices)})

    def label(x: float, y: float, anchor: str, said: Text) -> Drawing:
        return text("trade-label", (x, y), anchor, said)

    def end(value_m: float) -> Said:
        return Said("end_of_axis", {"x_m": value_m})

    shapes = [
        line("trade-axis", (LEFT, base), (WIDTH - RIGHT, base)),
        line("trade-axis", (LEFT, TOP), (LEFT, base)),
        label(LEFT, base + 18, "start", end(low_x)),
        label(WIDTH - RIGHT, base + 18, "end", end(high_x)),
        label(
            (LEFT + WIDTH - RIGHT) / 2, base + 38, "middle", Said("squat_trade_knee", {"unit": words.unit})
        ),
        label(LEFT - 6, base, "end", end(low_y)),
        label(LEFT - 6, TOP + 10, "end", end(high_y)),
        label(6, TOP - 16, "start", Said("squat_trade_rest", {"unit": words.unit})),
    ]
    for i, c in enumerate(choices):
        kind = "trade-at" if i == at else "trade-suggested" if i == suggested else "trade-point"
        shapes.append(dot(kind, place(c), 9 if i == at else 6, choice=i))
    return picture("trade", (WIDTH, HEIGHT), title, "", shapes)
