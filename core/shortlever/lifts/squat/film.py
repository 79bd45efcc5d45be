"""The filmed squat: how deep, how far the trunk and the shin lean, where the bar is over the foot.

At the bottom ankle, knee and hip are marked on what a referee looks at: the top of the knee and the crease of
the hip. The shoulder is behind the plate the whole time; where it is follows from the bar that lies on it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shortlever.lifts.film import (
    FilmCheck,
    Filmed,
    FilmMark,
    FilmMoment,
    FilmNumber,
    Numbers,
    Point,
    Way,
    at_height,
)
from shortlever.lifts.legs.film import (
    ANKLE_SKIN_M,
    BACK,
    FORWARD,
    KNEE_OUT_M,
    LESS,
    LONGER,
    MORE,
    OUT_SD_M,
    PLANNED_OUT_SD_M,
    SHORTER,
    LegPlan,
    ankle_mark,
    middle_of_foot,
    over_foot,
    toes_likely,
    upright_deg,
    with_margin,
)
from shortlever.lifts.squat.gear import POSITIONS
from shortlever.lifts.squat.screen import SquatFit
from shortlever.say import Said

CREASE_OUT_M, CREASE_SKIN_M = 0.14, 0.05  # along the bar, from the body's middle and from the hip joint
CREASE_SD_M = 0.010  # how well it is found from outside: a fold of cloth (common practice, no source)
# the crease from the hip joint and the top of the knee from its joint, at REFERENCE_STATURE_M; heights come
# from the tape where it is there (``Standing``), what is ahead is by eye (common practice, no source)
CREASE_AHEAD_M, CREASE_AHEAD_SD_M, CREASE_UP_M, CREASE_UP_SD_M = 0.06, 0.020, 0.075, 0.015
KNEE_TOP_M, KNEE_TOP_SD_M, KNEE_AHEAD_SD_M = 0.055, 0.010, 0.015
# the hip-to-bar line from the trunk's: a bar behind it, high and low (``POSITIONS``)
BEHIND_RAD, BEHIND_SD_RAD = math.radians(7.5), math.radians(1.5)
USUAL_SHIN_DEG, USUAL_SHIN_SD_DEG = 28.0, 12.0  # to find out where the toes are
BOTTOM = "bottom"


@dataclass(frozen=True)
class SquatPlan(LegPlan):
    """A planned squat. From the hip joint up to its crease and the knee joint to its top (m), and by how much
    the line from hip to bar leans less than the trunk (rad)."""

    crease_m: float = CREASE_UP_M
    knee_top_m: float = KNEE_TOP_M
    behind_rad: float = BEHIND_RAD


def film_plan(fit: SquatFit) -> SquatPlan:
    """The plan that a film of this squat is compared with."""
    squat, shown = fit.case, fit.shown
    body, got, rep, leg = squat.body, shown.got, shown.rep, shown.stance.leg
    bottom, ankle_z, upper = rep[0], leg.ankle[2], squat.upper
    middle = middle_of_foot(leg)
    half = (bottom.bar[1] + rep[-1].bar[1]) / 2
    path = [(pose.bar[0], pose.bar[1] - ankle_z) for pose in rep]
    plan = SquatPlan(
        values={
            "depth": body.knee_top_m - body.crease_m - (bottom.hip[2] - bottom.knee.at[2]),
            "lean": got.trunk_lean_deg,
            "shin": got.shin_side_deg,
            "drift": bottom.drift_m,
            "drift_half": _at(path, half - ankle_z) - middle,
            "drift_top": rep[-1].drift_m,
            "range_of_motion": got.stroke_m,
        },
        path=_even(path),
        out={
            "ankle": (leg.ankle[0] + ANKLE_SKIN_M, PLANNED_OUT_SD_M),
            "knee": (bottom.knee.at[0], PLANNED_OUT_SD_M),
            "hip": (body.half_hip_m + CREASE_SKIN_M, PLANNED_OUT_SD_M),
        },
        outline=[
            (0.0, 0.0),
            (bottom.knee.at[1], bottom.knee.at[2] - ankle_z),
            (bottom.hip[1], bottom.hip[2] - ankle_z),
            (
                bottom.hip[1] + body.shoulder_m * math.sin(bottom.lean_rad),
                bottom.hip[2] + body.shoulder_m * math.cos(bottom.lean_rad) - ankle_z,
            ),
        ],
        pad_m=-ankle_z,
        hardest=Said("squat_film_hardest"),
        middle_m=middle,
        crease_m=body.crease_m,
        knee_top_m=body.knee_top_m,
        behind_rad=math.atan2(upper.bar_back_m, upper.bar_up_m),
    )
    return plan


def _at(path: Sequence[Point], z: float) -> float:
    """y of rising rows at a height."""
    for (ya, za), (yb, zb) in pairwise(path):
        if zb >= z:
            return ya + (yb - ya) * (z - za) / (zb - za) if zb > za else yb
    return path[-1][0]


def _even(path: Sequence[Point]) -> list[Point]:
    """Rows at equal heights."""
    low, high, rows = path[0][1], path[-1][1], len(path)
    heights = [low + (high - low) * i / (rows - 1) for i in range(rows)]
    return [(_at(path, z), z) for z in heights]


class SquatFilm(FilmCheck[SquatPlan]):
    """A squat filmed from the side."""

    marks = (
        ankle_mark(BOTTOM, (-1.3, 0.1)),
        FilmMark(
            "knee",
            Said("squat_film_knee"),
            Said("squat_film_knee_hint"),
            KNEE_OUT_M,
            OUT_SD_M,
            at=(BOTTOM,),
            alone=True,
        ),
        FilmMark(
            "hip",
            Said("squat_film_hip"),
            Said("squat_film_hip_hint"),
            CREASE_OUT_M,
            PLANNED_OUT_SD_M,
            at=(BOTTOM,),
            sd_m=CREASE_SD_M,
            alone=True,
        ),
    )
    numbers = (
        FilmNumber("depth", Said("squat_film_depth"), Said("squat_film_deeper"), Said("squat_film_higher"),
                   head=Said("squat_film_depth"), kept="depth_m"),
        FilmNumber("lean", Said("squat_row_lean"), MORE, LESS, unit="deg", head=Said("squat_row_lean"),
                   told=True),
        FilmNumber("shin", Said("squat_film_shin"), MORE, LESS, unit="deg", told=True),
        FilmNumber("drift", Said("squat_row_drift"), FORWARD, BACK, told=True),
        FilmNumber("drift_half", Said("squat_film_drift_half"), FORWARD, BACK),
        FilmNumber("drift_top", Said("squat_film_drift_top"), FORWARD, BACK),
        FilmNumber("range_of_motion", Said("row_range_of_motion"), LONGER, SHORTER,
                   head=Said("row_range_of_motion"), told=True, kept="range_of_motion_m"),
    )  # fmt: skip
    moments = (FilmMoment(BOTTOM, Said("squat_at_bottom")),)
    photo_of = (BOTTOM,)
    unseen = ("middle", "knee_top", "knee_ahead", "crease_up", "crease_ahead", "behind")
    origin, ahead, behind = Said("legs_film_ankle_noun"), Said("legs_film_toes"), Said("legs_film_heels")
    where, arm, ask_side = Said("squat_at_bottom"), Said("legs_film_arm"), Said("legs_film_which_side")
    no_pause, left_m, strokes_m = Said("squat_film_no_pause"), 0.80, (0.25, 1.10)

    def when(self, way: Way, plan: SquatPlan | None) -> Mapping[str, float]:
        """The bottom."""
        return {BOTTOM: way.lowest_s}

    def measured(self, rep: Filmed, plan: SquatPlan | None) -> dict[str, float]:
        """See ``FilmCheck``."""
        found = {"drift": over_foot(rep, rep.rest[0], plan)} | self._joints(rep, plan or SquatPlan({}, ()))
        if not rep.rise:
            return found
        return found | {
            "drift_half": over_foot(rep, at_height(rep.rise, 0.5), plan),
            "drift_top": over_foot(rep, rep.rise[-1][1], plan),
            "range_of_motion": rep.travel_m,
        }

    def _joints(self, rep: Filmed, of: SquatPlan) -> dict[str, float]:
        """What the marks at the bottom tell."""
        found: dict[str, float] = {}
        knee, hip = rep.marked("knee", BOTTOM), rep.marked("hip", BOTTOM)
        if knee is not None and hip is not None:
            found["depth"] = knee[0][1] - hip[0][1]
        if knee is not None:
            found["shin"] = upright_deg((0.0, 0.0), self._knee(rep, knee[0], of))
        if hip is not None:
            line = upright_deg(self._hip(rep, hip[0], of), hip[1])
            found["lean"] = line + math.degrees(of.behind_rad + BEHIND_SD_RAD * rep.departure("behind"))
        return found

    def _knee(self, rep: Filmed, top: Point, of: SquatPlan) -> Point:
        """The knee joint under its top."""
        ahead = KNEE_AHEAD_SD_M * rep.departure("knee_ahead")
        return top[0] - ahead, top[1] - of.knee_top_m - KNEE_TOP_SD_M * rep.departure("knee_top")

    def _hip(self, rep: Filmed, crease: Point, of: SquatPlan) -> Point:
        """The hip joint behind and under its crease."""
        ahead = CREASE_AHEAD_M + CREASE_AHEAD_SD_M * rep.departure("crease_ahead")
        return crease[0] - ahead, crease[1] - of.crease_m - CREASE_UP_SD_M * rep.departure("crease_up")

    def sticks(self, rep: Filmed) -> list[list[Point]]:
        """Ankle, knee and crease, and on to the bar."""
        knee, hip = rep.marked("knee", BOTTOM), rep.marked("hip", BOTTOM)
        points = [(0.0, 0.0)] if knee else []
        points += [one[0] for one in (knee, hip) if one]
        return [[*points, hip[1]] if hip else points] if points else []

    def likely(self, reps: Sequence[Numbers]) -> float:
        """By where the knee is over the foot, and the bar."""
        shins = [rep["shin"].value for rep in reps if "shin" in rep]
        off = (sum(shins) / len(shins) - USUAL_SHIN_DEG) / USUAL_SHIN_SD_DEG if shins else 0.0
        return toes_likely(reps, "drift") - off * off / 2

    def before(self, means: Numbers, plan: SquatPlan | None) -> list[Said]:
        """The depth against the rule: the crease of the hip below the top of the knee."""
        depth = means.get("depth")
        if depth is None:
            return [Said("squat_film_no_depth")]
        if depth.low <= 0 <= depth.high:
            gap = {"gap_m": depth.value, "margin_m": depth.margin}
            return [Said("squat_film_close", gap)]
        return [Said(f"squat_film_{'below' if depth.low > 0 else 'above'}", with_margin(depth, "far"))]


SQUAT_FILM = SquatFilm()
assert set(POSITIONS) == {"high", "low"}  # what BEHIND_RAD lies between
