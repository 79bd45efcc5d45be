"""Setups as a lifter sets them: measured with their rep, rounded to what can be set, inside the limits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.bench.measure import Assessment, Setup, assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import Rep
from shortlever.lifts.bench.search import Search
from shortlever.units import settable_step_m


@dataclass(frozen=True)
class Measured:
    """A setup with its measures and its rep."""

    setup: Setup
    got: Assessment
    rep: Rep


def measured(press: Press, setup: Setup) -> Measured:
    """A setup measured; its rep is computed once. Raises InfeasibleError where the arms cannot reach it."""
    rep = press.rep(setup.grip_m, setup.touch_m, setup.sideways_ratio)
    return Measured(setup, assess_press(press, setup, rep), rep)


def that_can_be_set(press: Press, setup: Setup, unit: str) -> Setup:
    """A setup rounded to what a lifter can set: grip down, touch away from the shoulders."""
    step, chest = settable_step_m(unit), press.chest
    grip = math.floor(setup.grip_m / step + 1e-6) * step
    tape = math.ceil(chest.tape_m(setup.touch_m) / step - 1e-6) * step
    return Setup(grip, chest.y_at_tape_m(tape), setup.load_kg)


def pulled(press: Press, grip_m: float, touch_m: float, load_kg: float) -> Setup:
    """A setup picked from the trade-off, pulled inside the limits."""
    search = Search(press)
    grip = min(max(grip_m, search.narrowest), search.widest)
    near = search.nearest(grip)
    return Setup(grip, min(max(touch_m, near), max(search.furthest_m, near)), load_kg)
