"""How to find a squat's setup anywhere: on the floor, in the rack, against a wall, over a box."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.legs import marks as legs
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, PATELLA_M, SEAT_TO_HIP_M
from shortlever.lifts.legs.marks import heels_m
from shortlever.lifts.squat.squat import Pose, Squat, Stance

HOOK_BELOW_M = 0.06  # the hooks under the standing bar, so that it clears them (common practice, no source)


@dataclass(frozen=True)
class Marks(legs.Marks):
    """Those of the feet, and (m): ``hook_m``: where the bar rests on the hooks above the floor;
    ``knee_past_toes_m`` seen from the side, - behind."""

    hook_m: float
    knee_past_toes_m: float


def marks_of(squat: Squat, stance: Stance, pose: Pose) -> Marks:
    """How to find a setup."""
    body, feet, leg = squat.body, stance.leg.feet, stance.leg
    heels = heels_m(body, feet.stance_m, feet.turn_rad)
    toe = (1 - ANKLE_OF_FOOT) * body.foot_m
    return Marks(
        heels_m=heels,
        heels_in_hands=heels / body.hand_breadth_m,
        toes_m=feet.stance_m + 2 * toe * leg.sin,
        turn_out_deg=math.degrees(feet.turn_rad),
        hook_m=stance.top_m - HOOK_BELOW_M - squat.bar_diameter_m / 2,
        knee_past_toes_m=pose.knee.at[1] + (PATELLA_M * body.size - toe) * leg.cos,
        box_m=pose.hip[2] - SEAT_TO_HIP_M * body.size,
    )
