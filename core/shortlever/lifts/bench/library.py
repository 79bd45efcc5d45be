"""The bench press as a library: ``assess`` a setup, ``suggest`` one."""

from __future__ import annotations

from dataclasses import replace

from shortlever.lifts.bench.advice import Suggestion, suggest_press
from shortlever.lifts.bench.doubt import doubt_of
from shortlever.lifts.bench.gear import Gear
from shortlever.lifts.bench.limits import COMFORTS, Comfort
from shortlever.lifts.bench.measure import Assessment, Setup, assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.search import DEFAULT_PREFERENCE
from shortlever.person.body import Body
from shortlever.person.tape import Tape

__all__ = ["Assessment", "Comfort", "Gear", "Setup", "Suggestion", "assess", "suggest"]


def assess(
    lifter: Tape | Body,
    setup: Setup,
    *,
    gear: Gear | None = None,
    comfort: Comfort = COMFORTS["usual"],
) -> Assessment:
    """All measures of one setup for one lifter (units in the names, SI; angles in degrees).

    Raises InfeasibleError where the arms cannot reach the bar at the chest or at lockout; a setup that only
    breaks a limit is measured all the same and says so in ``limits``. Definitions: README and model docs.

    >>> measures = assess(Tape(arm_length=0.665, shoulder_breadth=0.416), Setup(grip_m=0.71, touch_m=0.128))
    >>> measures.moment_arm_m
    0.128
    """
    body = lifter if isinstance(lifter, Body) else Body.from_tape(lifter)
    return assess_press(Press(body, gear or Gear(), comfort, setup.load_kg), setup)


def suggest(
    lifter: Tape | Body,
    *,
    gear: Gear | None = None,
    comfort: Comfort = COMFORTS["usual"],
    preference: float = DEFAULT_PREFERENCE,
    load_kg: float | None = None,
    current: Setup | None = None,
    with_intervals: bool = False,
) -> Suggestion:
    """The suggested setup for one lifter, its measures and its reasons.

    ``preference`` 0 asks for the shortest stroke, 1 for the shortest moment arm. ``load_kg`` (default: body
    weight) only sets how much the arms weigh against the bar. ``current`` is compared where it is given.
    ``with_intervals`` carries tape error and estimated dimensions through (slower; needs a Tape). Raises
    InputError for a preference outside 0 to 1 and InfeasibleError where no setup fits inside all limits.

    >>> suggest(Tape(arm_length=0.55, shoulder_breadth=0.34)).setup.grip_m < 0.75
    True
    """
    body = lifter if isinstance(lifter, Body) else Body.from_tape(lifter)
    load = body.body_mass_kg if load_kg is None else Setup(0.5, 0.1, load_kg).load_kg  # checks the load
    press = Press(body, gear or Gear(), comfort, load)
    advice = suggest_press(press, preference, current)
    if isinstance(lifter, Tape):
        doubt = doubt_of(press, lifter, preference) if with_intervals else None
        advice = replace(advice, doubt=doubt, warnings=tuple(lifter.warnings()))
    return advice
