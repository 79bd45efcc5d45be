"""One lifter fitted: the press, the suggestion, the setup that can be set, what it measures, and its rep."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shortlever.fitting.request import Reading
from shortlever.lifts.bench.advice import Suggestion, suggest_press
from shortlever.lifts.bench.measure import Assessment, Setup, assess_press
from shortlever.lifts.bench.press import Press, Rep
from shortlever.lifts.bench.search import DEFAULT_PREFERENCE, Search
from shortlever.person.body import Body
from shortlever.units import settable_step_m


@dataclass(frozen=True)
class Measured:
    """A setup with its measures and its rep."""

    setup: Setup
    got: Assessment
    rep: Rep


@dataclass(frozen=True)
class Fit:
    """What is shown of a lifter. ``picked``: the setup is the person's own choice, not the suggestion."""

    press: Press
    advice: Suggestion
    shown: Measured
    picked: bool


def fit(reading: Reading, request: Mapping[str, Any], with_frontier: bool = True) -> Fit:
    """The lifter of a request without errors, fitted.

    Raises InfeasibleError where no setup keeps every limit, and InputError for a body that cannot be.
    """
    press = press_of(reading)
    advice = suggest_press(press, preference_of(request), with_frontier=with_frontier)
    picked = chosen(press, request, advice.setup)
    setup = that_can_be_set(press, picked or advice.setup, reading.unit)
    return Fit(press, advice, measured(press, setup), picked is not None)


def press_of(reading: Reading) -> Press:
    """The press of a lifter under the gear that was read, at body weight."""
    assert reading.tape is not None
    body = Body.from_tape(reading.tape)
    return Press(body, reading.gear, reading.comfort, load_kg=body.body_mass_kg)


def preference_of(request: Mapping[str, Any]) -> float:
    """The dial of a request, 0 to 1."""
    value = request.get("preference", DEFAULT_PREFERENCE)
    return float(value) if isinstance(value, int | float) and 0 <= value <= 1 else DEFAULT_PREFERENCE


def measured(press: Press, setup: Setup) -> Measured:
    """A setup measured; its rep is computed once. Raises InfeasibleError where the arms cannot reach it."""
    rep = press.rep(setup.grip_m, setup.touch_m, setup.sideways_ratio)
    return Measured(setup, assess_press(press, setup, rep), rep)


def present_setup(fitted: Fit, present: Mapping[str, float]) -> Measured | None:
    """The present setup measured, where any of it is given; the half not given is taken as shown.

    Raises InfeasibleError where the arms cannot reach it.
    """
    if not present:
        return None
    shown, press = fitted.shown.setup, fitted.press
    tape = present.get("current_touch")
    touch = press.chest.y_at_tape_m(tape) if tape is not None else shown.touch_m
    return measured(press, Setup(present.get("current_grip", shown.grip_m), max(touch, 0.0), shown.load_kg))


def that_can_be_set(press: Press, setup: Setup, unit: str) -> Setup:
    """A setup rounded to what a lifter can set: grip down, touch away from the shoulders."""
    step, chest = settable_step_m(unit), press.chest
    grip = math.floor(setup.grip_m / step + 1e-6) * step
    tape = math.ceil(chest.tape_m(setup.touch_m) / step - 1e-6) * step
    return Setup(grip, chest.y_at_tape_m(tape), setup.load_kg)


def chosen(press: Press, request: Mapping[str, Any], suggested: Setup) -> Setup | None:
    """The setup picked from the trade-off, pulled inside the limits; None where none was picked."""
    choice = request.get("choice")
    if not isinstance(choice, Mapping):
        return None
    values = [choice.get("grip_m"), choice.get("touch_m")]
    if not all(isinstance(v, int | float) and abs(v) < 1e6 for v in values):
        return None
    search = Search(press)
    grip = min(max(float(values[0]), search.narrowest), search.widest)  # type: ignore[arg-type]
    near = search.nearest(grip)
    touch = min(max(float(values[1]), near), max(search.furthest_m, near))  # type: ignore[arg-type]
    return Setup(grip, touch, suggested.load_kg)
