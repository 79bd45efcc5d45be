"""Ten invented lifters: what the model tells them, and what a coach would say to it."""

from __future__ import annotations

import functools
import textwrap
from dataclasses import dataclass

from shortlever import Body, Comfort, Gear, Suggestion, Tape, suggest
from shortlever.lifts.bench.gear import BARS, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from tests.authorities.rows import published


@dataclass(frozen=True)
class Lifter:
    """An invented lifter, and what a coach would say to the suggestion (grip and y in m when it was said)."""

    name: str
    tape: Tape
    comfort: Comfort
    gear: Gear
    said_of: tuple[float, ...]
    coach: str


@functools.cache
def lifters() -> tuple[Lifter, ...]:
    """The lifters of lifters.toml."""
    return tuple(
        Lifter(
            entry["name"],
            Tape(**entry["tape"]),
            COMFORTS[entry.get("comfort", "usual")],
            Gear(BARS[entry.get("bar", "power")], rules=RULEBOOKS[entry.get("rules", "ipf")]),
            tuple(entry["said_of"]),
            entry["coach"],
        )
        for entry in published("lifters")["lifter"]
    )


def suggestion(lifter: Lifter) -> Suggestion:
    """What the model tells an invented lifter."""
    return suggest(lifter.tape, gear=lifter.gear, comfort=lifter.comfort)


def lifter_text(lifter: Lifter) -> str:
    """One suggestion and the coach's sentence, marked where the model has moved since it was said."""
    advice = suggestion(lifter)
    m, body = advice.measures, Body.from_tape(lifter.tape)
    broken = ", ".join(limit.name for limit in m.limits if not limit.ok)
    bound = ", ".join(reason.code for reason in advice.binding) or "nothing"
    said = lifter.coach
    grip, touch = lifter.said_of
    if max(abs(grip - m.grip_m), abs(touch - m.touch_m)) > 0.01:
        said += f" (Said of {100 * grip:.1f} cm and y {100 * touch:.1f} cm: look again.)"
    return "\n".join(
        [
            f"{lifter.name}: grip {100 * m.grip_m:.1f} cm ({m.grip_m / body.biacromial_m:.2f} x biacromial)",
            f"    touch {100 * m.touch_tape_m:.1f} cm of tape below the notch (y {100 * m.touch_m:.1f} cm), "
            f"tuck {m.tuck_deg:.0f}°, range of motion {100 * m.range_of_motion_m:.1f} cm, "
            f"mean arm {100 * m.mean_moment_arm_m:.1f} cm",
            f"    index {100 * m.limit_load_index / advice.strongest.limit_load_index:.1f} % of the best, "
            f"stopped by {bound}" + (f", BREAKS {broken}" if broken else ""),
            *textwrap.wrap(f"coach: {said}", 104, initial_indent="    ", subsequent_indent="      "),
        ]
    )


def as_text() -> str:
    return "\n".join(lifter_text(lifter) for lifter in lifters())
