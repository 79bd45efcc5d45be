"""The way from the present setup to the suggestion: small steps, each with what to feel for."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.setting import that_can_be_set
from shortlever.say import Said

# No step moves the hands or the bar further (common practice, no source), and each is tried for a week.
GRIP_STEP_M, TOUCH_STEP_M, DAYS = 0.03, 0.02, 7


@dataclass(frozen=True)
class Way:
    """The setups of the steps with the days after the beginning on which they start; what to feel for."""

    steps: tuple[tuple[int, Setup], ...]
    feel: tuple[Said, ...]


def way_to(press: Press, now: Setup, new: Setup, unit: str) -> Way | None:
    """The way from ``now`` to ``new``, the last step being ``new``; None where one step is enough.

    Grip and touch go together; no step touches nearer than its grip allows.
    """
    wider, higher = new.grip_m - now.grip_m, now.touch_m - new.touch_m
    steps = math.ceil(max(abs(wider) / GRIP_STEP_M, abs(higher) / TOUCH_STEP_M) - 1e-9)
    if steps < 2:
        return None
    feel = []
    if abs(wider) >= GRIP_STEP_M / 2:
        feel.append(Said("feel_wider") if wider > 0 else Said("feel_narrower"))
    if abs(higher) >= TOUCH_STEP_M / 2:
        feel.append(Said("feel_higher") if higher > 0 else Said("feel_lower"))
    found = []
    for i in range(1, steps + 1):
        share = i / steps
        grip = now.grip_m + share * wider
        touch = max(now.touch_m - share * higher, press.nearest_touch_m(grip))
        setup = new if i == steps else that_can_be_set(press, Setup(grip, touch, new.load_kg), unit)
        found.append((DAYS * (i - 1), setup))
    return Way(tuple(found), tuple(feel))
