"""Setups as lifters set them: measured with their rep, rounded to what can be set, inside the limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from shortlever.lifts.legs.marks import heels_m, stance_of_heels_m
from shortlever.lifts.squat.measure import Assessment, Setup, assess_squat, bottom_of
from shortlever.lifts.squat.search import MOST_TURN_RAD, NARROWEST_M, WIDEST_M, Search
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.units import settable_step_m

MOST_SETTABLE_HEEL_M = 0.04
TURNS = 4


@dataclass(frozen=True)
class Measured:
    """A setup with its measures, its feet and its rep from the bottom up."""

    setup: Setup
    got: Assessment
    stance: Stance
    rep: list[Pose]


def measured(squat: Squat, setup: Setup) -> Measured:
    """A setup measured. Raises InfeasibleError where there is no such bottom."""
    stance, _, bottom = bottom_of(squat, setup)
    got = assess_squat(squat, setup)
    return Measured(got.setup, got, stance, stance.rep(bottom))


def that_can_be_set(squat: Squat, setup: Setup, unit: str) -> Setup:
    """A setup rounded to what a lifter can set: heels together rather than apart, feet in rather than out,
    the heel's lift to the nearest, the hips to the nearest that the limits then allow."""
    step = settable_step_m(unit)
    turn = math.floor(setup.turn_out_deg + 1e-6)
    heels = math.floor(heels_m(squat.body, setup.stance_m, setup.turn_rad) / step + 1e-6) * step
    feet = Setup(
        stance_of_heels_m(squat.body, heels, math.radians(turn)),
        float(turn),
        round(setup.heel_m / step) * step,
    )
    if setup.sit_back_m is None:
        return feet
    back = round(setup.sit_back_m / step) * step
    ends = _ends(squat, feet)
    if ends and not ends[0] <= back <= ends[1]:
        low, high = math.ceil(ends[0] / step) * step, math.floor(ends[1] / step) * step
        back = min(max(back, low), high) if low <= high else ends[0]
    return replace(feet, sit_back_m=back)


def pulled(squat: Squat, parts: Mapping[str, float]) -> Setup:
    """A setup picked by its parts, pulled inside the limits."""
    stance = min(max(parts["stance_m"], NARROWEST_M), WIDEST_M)
    heel = min(max(parts["heel_m"], 0.0), MOST_SETTABLE_HEEL_M)
    turn = min(max(parts["turn_out_deg"], 0.0), math.degrees(MOST_TURN_RAD))
    setup, search = Setup(stance, turn, heel, max(parts["sit_back_m"], 0.0)), Search(squat)
    for _ in range(TURNS):  # the thigh turns a little with the hips, too
        setup = kept(squat, setup)
        pose = bottom_of(squat, setup)[2]
        room = math.degrees(search.spread_room(setup.turn_rad, pose))
        if room >= 0 or setup.turn_out_deg <= 0:
            break
        setup = replace(setup, turn_out_deg=max(setup.turn_out_deg + room, 0.0))
    return kept(squat, setup)


def kept(squat: Squat, setup: Setup) -> Setup:
    """A setup with the hips where the limits allow them, nearest to where they were."""
    ends = _ends(squat, setup)
    if ends is None or setup.sit_back_m is None:
        return setup
    return replace(setup, sit_back_m=min(max(setup.sit_back_m, ends[0]), ends[1]))


def _ends(squat: Squat, setup: Setup) -> tuple[float, float] | None:
    """How far the hips may sit back at least and at most on these feet, m; None where no bottom is inside."""
    ends = Search(squat).bottoms.allowed(squat.on(setup.stance_m, setup.turn_rad, setup.heel_m))
    return None if ends is None else (ends[0].hip_arm_m, ends[1].hip_arm_m)
