"""What films of lifts from the legs share: a bar over a foot, seen from the side with the ankle as origin.

y toward the toes, z up. The near plate hides what is beside it, so joints are marked where it is elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shortlever.lifts.film import Filmed, FilmMark, FilmPlan, Number, Numbers, Point
from shortlever.lifts.legs.leg import Leg
from shortlever.say import Said

# from a joint's middle to the skin that is marked, along the bar; from the body's middle where it is not
# known how one stands (common practice, no source)
ANKLE_SKIN_M, KNEE_SKIN_M = 0.035, 0.050
ANKLE_OUT_M, KNEE_OUT_M, OUT_SD_M = 0.24, 0.29, 0.08
PLANNED_OUT_SD_M = 0.03  # of feet that stand as planned
MIDDLE_M, MIDDLE_SD_M = 0.061, 0.010  # of the foot ahead of the ankle, where the foot is not known (practice)
PLANNED_MIDDLE_SD_M = 0.006  # of a foot from the tape (assumption)
USUAL_OVER_FOOT_SD_M = 0.05  # of the bar from the middle of the foot, to find out where the toes are

MORE, LESS = Said("legs_film_more"), Said("legs_film_less")
LONGER, SHORTER = Said("film_longer"), Said("film_shorter")
FORWARD, BACK = Said("legs_film_forward"), Said("legs_film_back")


@dataclass(frozen=True)
class LegPlan(FilmPlan):
    """``middle_m``: the middle of the foot ahead of the ankle, seen from the side."""

    middle_m: float = MIDDLE_M


def ankle_mark(at: str, over_bar_m: Point) -> FilmMark:
    """The ankle, the origin: feet stand, so once is enough."""
    return FilmMark(
        "ankle",
        Said("legs_film_ankle"),
        Said("legs_film_ankle_hint"),
        ANKLE_OUT_M,
        OUT_SD_M,
        (Said("legs_film_ankle_missing"), Said(f"legs_film_ankle_find_{at}")),
        over_bar_m,
        at=(at,),
        alone=True,
    )


def middle_of_foot(leg: Leg) -> float:
    """The middle of the foot ahead of the ankle, seen from the side, m."""
    return leg.middle_m * leg.cos


def over_foot(rep: Filmed, y: float, plan: LegPlan | None) -> float:
    """How far ahead of the middle of the foot a place is in this world, m."""
    middle, sd = (plan.middle_m, PLANNED_MIDDLE_SD_M) if plan else (MIDDLE_M, MIDDLE_SD_M)
    return y - middle - sd * rep.departure("middle")


def toes_likely(reps: Sequence[Numbers], key: str) -> float:
    """Log weight of toes on that side, by where bars are over feet."""
    found = [rep[key].value for rep in reps if key in rep]
    mean = sum(found) / len(found) if found else 0.0
    return -((mean / USUAL_OVER_FOOT_SD_M) ** 2) / 2


def upright_deg(low: Point, high: Point) -> float:
    """How far a line from one place up to another leans toward the toes, deg."""
    return math.degrees(math.atan2(high[0] - low[0], high[1] - low[1]))


def with_margin(n: Number, name: str) -> dict[str, float]:
    """A number as what a sentence says of it: its size and its margin, m."""
    return {f"{name}_m": abs(n.value), "margin_m": n.margin}
