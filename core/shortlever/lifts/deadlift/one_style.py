"""The best setup of one style: feet and hands from the search, hips where the dial stands; and what is nearly
free there."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.comfort import MOST_FLEXION_RAD
from shortlever.lifts.deadlift.measure import Assessment, assess_pull, start_of
from shortlever.lifts.deadlift.pull import Pose
from shortlever.lifts.deadlift.search import SLACK, Feet, Search
from shortlever.lifts.deadlift.setup import AHEAD_M, MOST_GRIP_M, Puller, Setup
from shortlever.lifts.deadlift.tried import tried
from shortlever.lifts.legs import advice as legs
from shortlever.lifts.legs.advice import CHOICES, Band
from shortlever.lifts.legs.marks import heels_m
from shortlever.numerics import crossing
from shortlever.say import Said

DEFAULT_PREFERENCE = 0.5
AHEADS_M = (0.0, 0.11)  # shoulders in front of the bar, that the dial may ask for (practice)
HIPS_SLACK = 0.01  # of effort, within which the hips are free
ROUGH = 1e-4  # of effort, of the dial's ends


@dataclass(frozen=True)
class Choice(legs.Choice[Setup]):
    """One place of the dial: that of every lift from the legs, and the hips' height at the start (m)."""

    hip_height_m: float


@dataclass(frozen=True)
class Best:
    """The best setup of one style: its feet, how far in front of the bar the shoulders may be (m),
    measures."""

    feet: Feet
    aheads_m: tuple[float, float]
    setup: Setup
    measures: Assessment


def best_of(puller: Puller, style: str, preference: float) -> Best:
    """The best setup of a style. Raises InfeasibleError where it holds no start."""
    feet = Search(puller, style).solve()
    setup, aheads = setup_of(puller, style, feet, preference)
    return Best(feet, aheads, setup, assess_pull(puller, setup))


def setup_of(puller: Puller, style: str, feet: Feet, preference: float) -> tuple[Setup, tuple[float, float]]:
    """The setup on these feet where the dial stands, and the ends of the dial (shoulders ahead, m)."""
    setup, usual = usual_on(puller, style, feet)
    aheads = aheads_m(puller, setup, usual)
    return replace(setup, shoulder_ahead_m=dialled(aheads, preference)), aheads


def usual_on(puller: Puller, style: str, feet: Feet) -> tuple[Setup, Pose]:
    """The setup on these feet with the shoulders as far ahead as usual, and its start. Raises InfeasibleError
    where there is none."""
    here = tried(puller, style, feet.stance_m, feet.turn_rad, AHEAD_M, close_m=1e-6)
    if here is None:
        raise InfeasibleError(Said("pull_no_start_here", {"stance_m": feet.stance_m}))
    if here.pull.grip_m > MOST_GRIP_M:
        raise InfeasibleError(Said("pull_grip_beyond_reach", {"grip_m": here.pull.grip_m}))
    return Setup(style, feet.stance_m, math.degrees(feet.turn_rad), here.pull.grip_m), here.pose


def aheads_m(puller: Puller, setup: Setup, usual: Pose) -> tuple[float, float]:
    """How far the shoulders may start in front of the bar, m: the stretch round the usual within HIPS_SLACK
    of its effort, with hips that fold no further than they may or than there."""
    most = max(MOST_FLEXION_RAD, usual.bears.hip_flexion_rad)

    def room(ahead: float) -> float:
        pose = puller.pull(setup).start(puller.gear.start_m, ahead, usual.lean_rad)
        if pose is None:
            return -1.0
        return min((1 + HIPS_SLACK) * usual.effort - pose.effort, most - pose.bears.hip_flexion_rad)

    low, high = (crossing(room, AHEAD_M, end, close=ROUGH, apart=ROUGH) for end in AHEADS_M)
    return low, high


def dialled(aheads: tuple[float, float], preference: float) -> float:
    """Where the dial stands: 0 the lowest hips, in the middle the usual, 1 the highest."""
    low, high = aheads
    end, share = (low, 1 - 2 * preference) if preference < 0.5 else (high, 2 * preference - 1)
    return AHEAD_M + share * (end - AHEAD_M)


def frontier(puller: Puller, best: Best) -> list[Choice]:
    """The dial's places, from the lowest hips to the highest."""
    choices: list[Choice] = []
    for i in range(CHOICES):
        preference = i / (CHOICES - 1)
        setup = replace(best.setup, shoulder_ahead_m=dialled(best.aheads_m, preference))
        try:
            _, pose = start_of(puller, setup)
        except InfeasibleError:
            continue
        y = pose.bar[0]
        choices.append(
            Choice(
                preference,
                setup,
                y - pose.hip[1],
                pose.knee.at[1] - y,
                pose.back_arm_m,
                math.degrees(pose.lean_rad),
                math.degrees(pose.knee.shin_rad),
                pose.effort,
                pose.hip[2],
            )
        )
    least = min((one.effort for one in choices), default=1.0)
    return [replace(one, effort=one.effort / least) for one in choices]


def bands(puller: Puller, best: Best) -> list[Band]:
    """What is nearly free: the stance (as heels apart), the turn-out, the hips' height and the trunk's
    lean."""
    feet = best.feet
    low, high = (heels_m(puller.body, stance, feet.turn_rad) for stance in feet.stances_m)
    turns = [math.degrees(turn) for turn in feet.turns_rad]
    found = [Band("heels_m", low, high, SLACK), Band("turn_out_deg", turns[0], turns[1], SLACK)]
    try:
        ends = [start_of(puller, replace(best.setup, shoulder_ahead_m=ahead))[1] for ahead in best.aheads_m]
    except InfeasibleError:
        return found
    leans = [math.degrees(pose.lean_rad) for pose in ends]
    return [
        *found,
        Band("hip_height_m", ends[0].hip[2], ends[1].hip[2], HIPS_SLACK),
        Band("trunk_lean_deg", leans[0], leans[1], HIPS_SLACK),
        Band("shoulder_ahead_m", best.aheads_m[0], best.aheads_m[1], HIPS_SLACK),
    ]
