"""How feet are found anywhere, in any lift from the legs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.legs.body import ANKLE_OF_FOOT, Standing


@dataclass(frozen=True)
class Marks:
    """How to find the setup anywhere (m, deg): ``heels_m`` from the middle of one heel to that of the other,
    also in breadths of the lifter's hand; ``toes_m`` between the tips of the toes; ``box_m``: a box that the
    seat just touches where the hips are lowest."""

    heels_m: float
    heels_in_hands: float
    toes_m: float
    turn_out_deg: float
    box_m: float


def heels_m(body: Standing, stance_m: float, turn_rad: float) -> float:
    """From the middle of one heel's edge to that of the other, m: heels stand inside the ankles of feet that
    turn out."""
    return stance_m - 2 * ANKLE_OF_FOOT * body.foot_m * math.sin(turn_rad)


def stance_of_heels_m(body: Standing, heels: float, turn_rad: float) -> float:
    """Ankles apart where the heels are so far apart, m."""
    return heels + 2 * ANKLE_OF_FOOT * body.foot_m * math.sin(turn_rad)
