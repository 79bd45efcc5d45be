"""The filmed deadlift: when the bar leaves the floor, passes the knee and is up, and what the body does then.

The near plate hides the feet while it is on the floor and the hip at lockout, so each joint is marked where
it is seen: knee and hip as the bar leaves the floor, the hip again as it passes the knee, ankle, knee and
shoulder at lockout. Feet stand, so the ankle counts for the whole rep.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shortlever.lifts.deadlift.rep import BEHIND_M, Rep
from shortlever.lifts.deadlift.screen import PullFit
from shortlever.lifts.film import (
    FilmCheck,
    Filmed,
    FilmMark,
    FilmMoment,
    FilmNumber,
    Number,
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
    KNEE_SKIN_M,
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
)
from shortlever.say import Said, in_row

HIP_OUT_M, HIP_SKIN_M = 0.17, 0.08  # the outer hip, from the body's middle and from the joint (practice)
SHOULDER_OUT_M, SHOULDER_SKIN_M = 0.21, 0.03
PASS_M, PASS_SD_M = 0.27, 0.03  # the knee above a bar on the floor, where neither is known (practice)
ENDS_M = 0.01  # under its highest place the bar counts as up
END_SD_M = 0.0015  # of that, by what following leaves open
# lockout: by the eye of a referee the knees are straight and the shoulders not in front (practice, no source)
STRAIGHT_DEG, DOUBT_DEG = 6.0, 10.0
SHOULDERS_M, DOUBT_M = 0.01, 0.04
OFF, KNEE, LOCKOUT = "off", "knee", "lockout"
LATER, SOONER = Said("pull_film_later"), Said("pull_film_sooner")


@dataclass(frozen=True)
class PullPlan(LegPlan):
    """A planned pull. ``pass_m``: how far up the bar passes the knee."""

    pass_m: float = PASS_M


def film_plan(fit: PullFit) -> PullPlan:
    """The plan that a film of this pull is compared with."""
    puller, shown = fit.case, fit.shown
    body, rep, leg = puller.body, shown.rep, shown.pull.leg
    start, top, ankle_z = rep.poses[0], rep.poses[-1], leg.ankle[2]
    passed, hips = _knee_pass(rep)

    def seen(y: float, z: float) -> Point:
        return y, z - ankle_z

    knee, bar = seen(*start.knee.at[1:]), seen(*start.bar)
    return PullPlan(
        values={
            "over_foot": bar[0] - middle_of_foot(leg),
            "leg_gap": ahead_of_shin(bar, knee),
            "hips_first": hips,
            "to_knee": 0.0,
            "to_top": top.bar[0] - start.bar[0],
            "range_of_motion": rep.stroke_m,
            "shin_end": upright_deg((0.0, 0.0), seen(*top.knee.at[1:])),
            "shoulders_end": -BEHIND_M,
        },
        path=[seen(*pose.bar) for pose in rep.poses],
        out={
            "ankle": (leg.ankle[0] + ANKLE_SKIN_M, PLANNED_OUT_SD_M),
            "knee": (start.knee.at[0] + KNEE_SKIN_M, PLANNED_OUT_SD_M),
            "hip": (body.half_hip_m + HIP_SKIN_M, PLANNED_OUT_SD_M),
            "shoulder": (body.half_shoulder_m + SHOULDER_SKIN_M, PLANNED_OUT_SD_M),
        },
        outline=[(0.0, 0.0), knee, seen(*start.hip[1:]), seen(*start.shoulder), bar],
        pad_m=-ankle_z,
        middle_m=middle_of_foot(leg),
        pass_m=passed,
    )


def _knee_pass(rep: Rep) -> tuple[float, float]:
    """How far up the bar passes the knee (m), and by how many times as much as the bar the hips rise until
    then."""
    start = rep.poses[0]
    for here, there in pairwise(rep.poses):
        under, over = here.knee.at[2] - here.bar[1], there.knee.at[2] - there.bar[1]
        if over <= 0:
            share = under / (under - over) if under > over else 1.0
            up = here.bar[1] + share * (there.bar[1] - here.bar[1]) - start.bar[1]
            hip = here.hip[2] + share * (there.hip[2] - here.hip[2]) - start.hip[2]
            return up, hip / up if up > 0 else 1.0
    return PASS_M, 1.0


def ahead_of_shin(bar: Point, knee: Point) -> float:
    """The bar ahead of the line from the ankle, the origin, to the knee, at the bar's height, m."""
    return bar[0] - knee[0] * bar[1] / knee[1]


class PullFilm(FilmCheck[PullPlan]):
    """A deadlift filmed from the side."""

    marks = (
        ankle_mark(LOCKOUT, (-0.9, 0.7)),
        FilmMark("knee", Said("legs_film_knee"), Said("pull_film_knee_hint"), KNEE_OUT_M, OUT_SD_M,
                 at=(OFF, LOCKOUT), alone=True, pictures=Said("pull_film_knee_pictures")),
        FilmMark("hip", Said("legs_film_hip"), Said("pull_film_hip_hint"), HIP_OUT_M, PLANNED_OUT_SD_M,
                 at=(OFF, KNEE), alone=True, pictures=Said("pull_film_hip_pictures")),
        FilmMark("shoulder", Said("drawn_shoulder"), Said("pull_film_shoulder_hint"), SHOULDER_OUT_M,
                 PLANNED_OUT_SD_M, at=(LOCKOUT,), alone=True),
    )  # fmt: skip
    numbers = (
        FilmNumber("hips_first", Said("pull_film_hips"), MORE, LESS, unit="times",
                   head=Said("pull_film_hips"), kept="hips_first"),
        FilmNumber("leg_gap", Said("pull_film_gap"), FORWARD, BACK, told=True),
        FilmNumber("over_foot", Said("pull_film_over_foot"), FORWARD, BACK, head=Said("pull_film_over_foot"),
                   told=True),
        FilmNumber("to_knee", Said("pull_film_to_knee"), FORWARD, BACK, told=True),
        FilmNumber("to_top", Said("pull_film_to_top"), FORWARD, BACK),
        FilmNumber("range_of_motion", Said("row_range_of_motion"), LONGER, SHORTER,
                   head=Said("row_range_of_motion"), told=True, kept="range_of_motion_m"),
        FilmNumber("shin_end", Said("pull_film_shin_end"), FORWARD, BACK, unit="deg"),
        FilmNumber("shoulders_end", Said("pull_film_shoulders_end"), FORWARD, BACK),
        FilmNumber("off_s", Said("pull_film_off"), LATER, SOONER, unit="s"),
        FilmNumber("knee_s", Said("pull_film_knee"), LATER, SOONER, unit="s"),
        FilmNumber("lockout_s", Said("pull_film_lockout"), LATER, SOONER, unit="s"),
    )  # fmt: skip
    moments = (
        FilmMoment(OFF, Said("pull_film_at_off")),
        FilmMoment(KNEE, Said("pull_film_at_knee")),
        FilmMoment(LOCKOUT, Said("pull_film_at_lockout")),
    )
    unseen = ("middle", "pass", "end")
    origin, ahead, behind = Said("legs_film_ankle_noun"), Said("legs_film_toes"), Said("legs_film_heels")
    where, arm, ask_side = Said("pull_film_on_floor"), Said("legs_film_arm"), Said("legs_film_which_side")
    from_below, left_m, strokes_m = True, 0.85, (0.25, 0.90)

    def when(self, way: Way, plan: PullPlan | None) -> Mapping[str, float]:
        """The bar leaves the floor, passes the knee, is up."""
        passed = plan.pass_m if plan else PASS_M
        return {OFF: way.lift_off_s, KNEE: way.passes(passed), LOCKOUT: way.passes(way.stroke_m - ENDS_M / 3)}

    def measured(self, rep: Filmed, plan: PullPlan | None) -> dict[str, float]:
        """See ``FilmCheck``."""
        found = {"over_foot": over_foot(rep, rep.rest[0], plan)}
        if not rep.rise:
            return found
        knee, first, second = rep.marked("knee", OFF), rep.marked("hip", OFF), rep.marked("hip", KNEE)
        passed = (plan.pass_m if plan else PASS_M) + PASS_SD_M * rep.departure("pass")
        if knee is not None:
            found["leg_gap"] = ahead_of_shin(knee[1], knee[0])
            if plan is None:
                passed = knee[0][1] - rep.rest[1]
        if first is not None and second is not None:
            found["hips_first"] = (second[0][1] - first[0][1]) / (second[1][1] - first[1][1])
        end, end_knee = rep.marked("shoulder", LOCKOUT), rep.marked("knee", LOCKOUT)
        if end_knee is not None:
            found["shin_end"] = upright_deg((0.0, 0.0), end_knee[0])
        if end is not None:
            found["shoulders_end"] = end[0][0] - end[1][0]
        up = rep.stroke_m - ENDS_M + END_SD_M * rep.departure("end")
        return found | {
            "to_knee": at_height(rep.rise, min(passed / rep.stroke_m, 1.0)) - rep.rest[0],
            "to_top": rep.rise[-1][1] - rep.rest[0],
            "range_of_motion": rep.travel_m,
            "off_s": rep.lift_off_s,
            "knee_s": rep.passes(passed),
            "lockout_s": rep.passes(up),
        }

    def sticks(self, rep: Filmed) -> list[list[Point]]:
        """Leg and hip as the bar leaves the floor; at lockout the shank, and the arm."""
        knee, hip = rep.marked("knee", OFF), rep.marked("hip", OFF)
        end, shoulder = rep.marked("knee", LOCKOUT), rep.marked("shoulder", LOCKOUT)
        found = [[(0.0, 0.0), knee[0], *([hip[0]] if hip else [])]] if knee else []
        found += [[(0.0, 0.0), end[0]]] if end else []
        return found + ([list(shoulder)] if shoulder else [])

    def likely(self, reps: Sequence[Numbers]) -> float:
        """By where the bar is over the foot."""
        return toes_likely(reps, "over_foot")

    def before(self, means: Numbers, plan: PullPlan | None) -> list[Said]:
        """Whether the hips rose first, and whether it was locked out."""
        said = []
        hips = means.get("hips_first")
        if hips is not None:
            times = {"times": hips.value, "margin": hips.margin}
            if plan is None:
                said.append(Said("pull_film_hips_said", times))
            else:
                planned = plan.values["hips_first"]
                inside = hips.low <= planned <= hips.high
                way = "as_planned" if inside else "first" if hips.low > max(planned, 1.0) else "other"
                said.append(Said(f"pull_film_hips_{way}", times | {"planned": planned}))
        locked = self._locked(means.get("shin_end"), means.get("shoulders_end"))
        return [*said, locked] if locked else said

    def _locked(self, shin: Number | None, shoulders: Number | None) -> Said | None:
        """Whether the pull was finished, as far as the film tells."""
        not_yet = []
        if shin is not None and shin.low > STRAIGHT_DEG:
            not_yet.append(Said("pull_film_knees_bent", {"shin": shin.value, "margin": shin.margin}))
        if shoulders is not None and shoulders.low > SHOULDERS_M:
            ahead = {"far_m": shoulders.value, "margin_m": shoulders.margin}
            not_yet.append(Said("pull_film_shoulders_ahead", ahead))
        if not_yet:
            return Said("pull_film_not_locked", {"why": in_row(not_yet, "comma")})
        if shin is None or shoulders is None:
            return None
        sure = shin.high < DOUBT_DEG and shoulders.high < DOUBT_M
        return Said("pull_film_locked" if sure else "pull_film_lockout_open")


PULL_FILM = PullFilm()
