"""Setups as lifters set them: measured with their rep, rounded to what can be set, inside the limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from shortlever.lifts.squat.marks import heels_m, stance_of_heels_m
from shortlever.lifts.squat.measure import Assessment, Setup, assess_squat, bottom_of
from shortlever.lifts.squat.search import NARROWEST_M, WIDEST_M, Search
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.units import settable_step_m

MOST_SETTABLE_HEEL_M = 0.05


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
    the heel's lift to the nearest, the hips where they then are allowed."""
    step = settable_step_m(unit)
    turn = math.floor(setup.turn_out_deg + 1e-6)
    heels = math.floor(heels_m(squat, setup.stance_m, setup.turn_rad) / step + 1e-6) * step
    rounded = Setup(
        stance_of_heels_m(squat, heels, math.radians(turn)),
        float(turn),
        round(setup.heel_m / step) * step,
        None if setup.sit_back_m is None else round(setup.sit_back_m / step) * step,
    )
    return kept(squat, rounded)


def pulled(squat: Squat, parts: Mapping[str, float]) -> Setup:
    """A setup picked by its parts, pulled inside the limits."""
    stance = min(max(parts["stance_m"], NARROWEST_M), WIDEST_M)
    heel = min(max(parts["heel_m"], 0.0), MOST_SETTABLE_HEEL_M)
    turn = min(max(parts["turn_out_deg"], 0.0), 60.0)
    most = Search(squat).widest_turn(stance, heel)
    if most is not None:
        turn = min(turn, math.degrees(most.turn_rad))
    return kept(squat, Setup(stance, turn, heel, max(parts["sit_back_m"], 0.0)))


def kept(squat: Squat, setup: Setup) -> Setup:
    """A setup with the hips where the limits allow them, nearest to where they were."""
    search = Search(squat).bottoms
    stance = squat.on(setup.stance_m, setup.turn_rad, setup.heel_m)
    ends = search.allowed(stance)
    if ends is None or setup.sit_back_m is None:
        return setup
    low, high = (pose.hip_arm_m for pose in ends)
    return replace(setup, sit_back_m=min(max(setup.sit_back_m, low), high))
