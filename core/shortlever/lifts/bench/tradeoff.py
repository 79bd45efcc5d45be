"""The trade-off as a picture: stroke against mean moment arm of the non-dominated setups, each to pick."""

from __future__ import annotations

from shortlever.draw.svg import Drawing, dot, line, picture, text
from shortlever.lifts.bench.advice import Choice, Suggestion
from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.setting import that_can_be_set
from shortlever.lifts.bench.words import Words
from shortlever.say import Said, Text

WIDTH, HEIGHT = 320, 220
LEFT, RIGHT, TOP, BOTTOM = 56, 14, 34, 48


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
        "svg": _draw(words, choices, at, suggested),
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


def _draw(words: Words, choices: list[Choice], at: int, suggested: int) -> Drawing:
    arms = [c.mean_moment_arm_m for c in choices]
    strokes = [c.range_of_motion_m for c in choices]

    def scale(values: list[float]) -> tuple[float, float]:
        low, high = min(values), max(values)
        room = max(0.08 * (high - low), 0.002)
        return low - room, high + room

    (arm_low, arm_high), (stroke_low, stroke_high) = scale(arms), scale(strokes)

    def place(c: Choice) -> tuple[float, float]:
        x = LEFT + (WIDTH - LEFT - RIGHT) * (c.mean_moment_arm_m - arm_low) / (arm_high - arm_low)
        y = TOP + (HEIGHT - TOP - BOTTOM) * (stroke_high - c.range_of_motion_m) / (stroke_high - stroke_low)
        return round(x, 1), round(y, 1)

    base = HEIGHT - BOTTOM
    title = Said("trade_title", {"setups": len(choices)})

    def label(x: float, y: float, anchor: str, said: Text) -> Drawing:
        return text("trade-label", (x, y), anchor, said)

    def end(value_m: float) -> Said:
        return Said("end_of_axis", {"x_m": value_m})

    shapes = [
        line("trade-axis", (LEFT, base), (WIDTH - RIGHT, base)),
        line("trade-axis", (LEFT, TOP), (LEFT, base)),
        label(LEFT, base + 18, "start", end(arm_low)),
        label(WIDTH - RIGHT, base + 18, "end", end(arm_high)),
        label((LEFT + WIDTH - RIGHT) / 2, base + 38, "middle", Said("trade_arm", {"unit": words.unit})),
        label(LEFT - 6, base, "end", end(stroke_low)),
        label(LEFT - 6, TOP + 10, "end", end(stroke_high)),
        label(6, TOP - 16, "start", Said("trade_stroke", {"unit": words.unit})),
    ]
    for i, c in enumerate(choices):
        kind = "trade-at" if i == at else "trade-suggested" if i == suggested else "trade-point"
        shapes.append(dot(kind, place(c), 9 if i == at else 6, choice=i))
    return picture("trade", (WIDTH, HEIGHT), title, "", shapes)
