"""The trade-off as a picture: hip height at the start against hip and back arm along the dial, each place to
pick."""

from __future__ import annotations

from shortlever.draw.svg import Drawing, dot, line, picture, text
from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.measure import Assessment
from shortlever.lifts.deadlift.one_style import Choice
from shortlever.lifts.deadlift.words import Words
from shortlever.say import Said, Text

WIDTH, HEIGHT = 320, 220
LEFT, RIGHT, TOP, BOTTOM = 56, 14, 34, 48


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
        "svg": _draw(words, choices, at, suggested),
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


def _draw(words: Words, choices: list[Choice], at: int, suggested: int) -> Drawing:
    hips = [c.hip_height_m for c in choices]
    arms = [c.hip_arm_m + c.back_arm_m for c in choices]

    def scale(values: list[float]) -> tuple[float, float]:
        room = max(0.08 * (max(values) - min(values)), 0.002)
        return min(values) - room, max(values) + room

    (low_x, high_x), (low_y, high_y) = scale(hips), scale(arms)

    def place(hip: float, arm: float) -> tuple[float, float]:
        x = LEFT + (WIDTH - LEFT - RIGHT) * (hip - low_x) / (high_x - low_x)
        y = TOP + (HEIGHT - TOP - BOTTOM) * (high_y - arm) / (high_y - low_y)
        return round(x, 1), round(y, 1)

    base = HEIGHT - BOTTOM

    def label(x: float, y: float, anchor: str, said: Text) -> Drawing:
        return text("trade-label", (x, y), anchor, said)

    def end(value_m: float) -> Said:
        return Said("end_of_axis", {"x_m": value_m})

    shapes: list[Drawing] = [
        line("trade-axis", (LEFT, base), (WIDTH - RIGHT, base)),
        line("trade-axis", (LEFT, TOP), (LEFT, base)),
        label(LEFT, base + 18, "start", end(low_x)),
        label(WIDTH - RIGHT, base + 18, "end", end(high_x)),
        label((LEFT + WIDTH - RIGHT) / 2, base + 38, "middle", Said("pull_trade_hips", {"unit": words.unit})),
        label(LEFT - 6, base, "end", end(low_y)),
        label(LEFT - 6, TOP + 10, "end", end(high_y)),
        label(6, TOP - 16, "start", Said("squat_trade_rest", {"unit": words.unit})),
    ]
    for i, (hip, arm) in enumerate(zip(hips, arms, strict=True)):
        kind = "trade-at" if i == at else "trade-suggested" if i == suggested else "trade-point"
        shapes.append(dot(kind, place(hip, arm), 9 if i == at else 6, choice=i))
    title = Said("pull_trade_title", {"places": len(choices)})
    return picture("trade", (WIDTH, HEIGHT), title, "", shapes)
