"""Setups as lifters set them: measured with their rep, rounded to what can be set, inside the limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.measure import Assessment, assess_pull, rep_from, start_of
from shortlever.lifts.deadlift.one_style import AHEADS_M
from shortlever.lifts.deadlift.pull import Pull
from shortlever.lifts.deadlift.rep import Rep
from shortlever.lifts.deadlift.setup import AHEAD_M, LEAST_GRIP_M, MOST_GRIP_M, Puller, Setup
from shortlever.lifts.deadlift.tried import spread_rad, tried
from shortlever.lifts.legs.marks import heels_m, stance_of_heels_m
from shortlever.units import settable_step_m

USUAL_TURNS_RAD = {"conventional": math.radians(12), "sumo": math.radians(42)}  # (practice)
STANCES_M, TURNS_DEG = (0.10, 1.20), (0.0, 65.0)


@dataclass(frozen=True)
class Measured:
    """A setup with its measures, its feet and hands, and its rep from the floor up."""

    setup: Setup
    got: Assessment
    pull: Pull
    rep: Rep


def measured(puller: Puller, setup: Setup) -> Measured:
    """A setup measured. Raises InfeasibleError where it cannot be held."""
    pull, rep = rep_from(puller, setup)
    return Measured(setup, assess_pull(puller, setup, pull, rep), pull, rep)


def that_can_be_set(puller: Puller, setup: Setup, unit: str) -> Setup:
    """A setup rounded to what a lifter can set: heels to the nearest, feet in rather than out, hands outside
    the legs wider, those inside narrower."""
    step, body, turn = settable_step_m(unit), puller.body, math.floor(setup.turn_out_deg + 1e-6)
    heels = round(heels_m(body, setup.stance_m, math.radians(setup.turn_out_deg)) / step) * step
    stance = stance_of_heels_m(body, heels, math.radians(turn))
    clear = cleared(puller, replace(setup, stance_m=stance, turn_out_deg=float(turn)))
    hands = (clear.grip_m + body.hand_breadth_m) / step
    whole = math.ceil(hands - 1e-6) if setup.style == "conventional" else math.floor(hands + 1e-6)
    return replace(clear, grip_m=whole * step - body.hand_breadth_m)


def cleared(puller: Puller, setup: Setup) -> Setup:
    """A setup with hands that clear the legs, as near as may be to where they were."""
    feet = setup.stance_m, math.radians(setup.turn_out_deg)
    found = tried(puller, setup.style, *feet, setup.shoulder_ahead_m, close_m=1e-6)
    if found is None:
        return setup
    nearest = max if setup.style == "conventional" else min
    return replace(setup, grip_m=min(nearest(setup.grip_m, found.pull.grip_m), MOST_GRIP_M))


def pulled(puller: Puller, parts: Mapping[str, float]) -> Setup:
    """A setup picked by its parts, pulled inside the limits. Hands outside the feet are conventional."""
    style = "conventional" if parts["grip_m"] > parts["stance_m"] else "sumo"
    setup = Setup(
        style,
        _inside(parts["stance_m"], STANCES_M),
        _inside(parts["turn_out_deg"], TURNS_DEG),
        _inside(parts["grip_m"], (LEAST_GRIP_M, MOST_GRIP_M)),
        _inside(parts["shoulder_ahead_m"], AHEADS_M),
    )
    most = puller.comfort.most_spread_rad(style)
    for _ in range(8):  # the thigh turns as the foot does, all but
        setup = cleared(puller, setup)
        try:
            over = math.degrees(spread_rad(start_of(puller, setup)[1]) - most)
        except InfeasibleError:
            break
        if over <= 1e-3:
            break
        setup = replace(setup, turn_out_deg=max(setup.turn_out_deg - over, 0.0))
    return setup


def style_of(puller: Puller, given: Mapping[str, float]) -> str:
    """The style of what is given of a present setup: hands outside the feet are conventional, and so are feet
    too near for hands between them; "" where neither hands nor heels are given."""
    heels, hands = given.get("current_heels"), given.get("current_hands")
    if heels is None:
        return ""
    widest = puller.plumb_m + puller.beside_m if hands is None else hands
    return "sumo" if heels > widest else "conventional"


def present(puller: Puller, given: Mapping[str, float], shown: Setup) -> Setup | None:
    """The present setup. What was not given of it is taken as shown, in another style as it usually is; None
    where nothing is."""
    heels, turn, hands = (given.get(f"current_{name}") for name in ("heels", "turn_out", "hands"))
    if heels is None and turn is None and hands is None:
        return None
    body, style = puller.body, style_of(puller, given) or shown.style
    turn_rad = math.radians(shown.turn_out_deg) if turn is None else turn
    if turn is None and style != shown.style:
        turn_rad = USUAL_TURNS_RAD[style]
    stance = shown.stance_m if heels is None else stance_of_heels_m(body, heels, turn_rad)
    setup = replace(
        shown, style=style, stance_m=stance, turn_out_deg=math.degrees(turn_rad), shoulder_ahead_m=AHEAD_M
    )
    if hands is None:
        return cleared(puller, replace(setup, grip_m=puller.plumb_m))
    return replace(setup, grip_m=hands - body.hand_breadth_m)


def _inside(value: float, ends: tuple[float, float]) -> float:
    return min(max(value, ends[0]), ends[1])
