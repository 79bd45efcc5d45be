"""How to find a pull's setup anywhere: on the floor, on the bar, at a string."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.deadlift.gear import START_M
from shortlever.lifts.deadlift.pull import SHIN_M, Pose, Pull
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs import marks as legs
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, SEAT_TO_HIP_M
from shortlever.lifts.legs.marks import heels_m


@dataclass(frozen=True)
class Marks(legs.Marks):
    """Those of the feet, and (m):

    ``hands_m``: from the outer edge of one hand to that of the other; ``from_ring_m``: from the nearest ring,
    whose pair is ``ring_m`` apart, inward to that edge, - outside, and in hands; None on a bar without rings.
    ``from_sleeve_m``: out to the sleeve. ``bar_to_shin_m``: the gap with upright shins, and in fingers.
    ``string_m``: the bone at the side of the hip at the start, over the floor. ``stack_m``: what lies under
    each of the largest discs, - where the bar lies lower than on them; ``discs_m``: the diameter of discs
    that need nothing under them.
    """

    hands_m: float
    from_ring_m: float | None
    from_ring_in_hands: float | None
    ring_m: float | None
    from_sleeve_m: float
    bar_to_shin_m: float
    bar_to_shin_in_fingers: float
    string_m: float
    stack_m: float
    discs_m: float


def marks_of(puller: Puller, pull: Pull, start: Pose) -> Marks:
    """How to find the setup that starts so."""
    body, bar, leg, feet = puller.body, puller.gear.bar, pull.leg, pull.leg.feet
    heels = heels_m(body, feet.stance_m, feet.turn_rad)
    hand = body.hand_breadth_m
    hands = pull.grip_m + hand
    ring = min(bar.rings_m, key=lambda apart: abs(apart - hands), default=None)
    inside = None if ring is None else (ring - hands) / 2
    gap = start.bar[0] - leg.ankle[1] - SHIN_M * body.size - pull.bar_m / 2
    return Marks(
        heels_m=heels,
        heels_in_hands=heels / hand,
        toes_m=feet.stance_m + 2 * (1 - ANKLE_OF_FOOT) * body.foot_m * leg.sin,
        turn_out_deg=math.degrees(feet.turn_rad),
        hands_m=hands,
        from_ring_m=inside,
        from_ring_in_hands=None if inside is None else inside / hand,
        ring_m=ring,
        from_sleeve_m=(bar.between_collars_m - hands) / 2,
        bar_to_shin_m=gap,
        bar_to_shin_in_fingers=gap / (hand / 4),
        string_m=start.hip[2],
        box_m=start.hip[2] - SEAT_TO_HIP_M * body.size,
        stack_m=start.bar[1] - START_M,
        discs_m=2 * start.bar[1],
    )
