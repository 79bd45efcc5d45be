"""The filmed press: a bar over a shoulder, and the plan as a film from the side can show it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from shortlever.lifts.bench.screen import PressFit
from shortlever.lifts.bench.speed import bar_speeds
from shortlever.lifts.film import (
    FilmCheck,
    Filmed,
    FilmMark,
    FilmNumber,
    FilmPlan,
    Head,
    Number,
    Numbers,
    Path,
    at_height,
)
from shortlever.say import Said

STEPS = 12  # of the chest's outline
SHOULDER_OUT_M, SHOULDER_OUT_SD_M = 0.19, 0.012
FROM_BODY_SD_M = 0.008  # of half the shoulder breadth, where the lifter's tape is there
# hand and elbow from the body's middle, where the grip is not known (common practice, no source)
HAND_MIDDLE_M, HAND_MIDDLE_SD_M = 0.40, 0.06
# Larsen, Gomo and van den Tillaar 2021, Front Sports Act Living 2:637066, Table 1: sticking point at 0.219,
# 0.186, 0.154 m of strokes of 0.399, 0.373, 0.338 m; horizontal travel 0.128 m (its SD is smaller)
STICKING_SHARE = 0.50  # of the stroke, where the plan has none
LEAST_STICKING_M = 0.03  # a hardest point lower than that is the chest itself
USUAL_TOUCH_M, USUAL_TOUCH_SD_M = 0.13, 0.06
DRIFTED_M = 0.01  # a touch that moves more than this from first to last rep is said


@dataclass(frozen=True)
class PressPlan(FilmPlan):
    """A planned press. ``sticking_m``: its hardest height above the chest; ``tape_m``: the tape number of a
    touch, ``touch_tape_m`` of the planned one."""

    sticking_m: float = 0.0
    tape_m: Callable[[float], float] = field(default=lambda touch_m: touch_m)
    touch_tape_m: float = 0.0


def film_plan(fit: PressFit) -> PressPlan:
    """The plan that a film of this press is compared with."""
    press, got, rep = fit.case, fit.shown.got, fit.shown.rep
    body, chest = press.body, press.chest
    pad = -body.shoulder_height_m
    end = chest.top_y_m + 0.10
    speeds = bar_speeds(rep)
    step = speeds.stroke_m / (len(speeds.speeds_m_s) - 1)
    across = [chest.notch_y_m + (end - chest.notch_y_m) * i / STEPS for i in range(STEPS + 1)]
    return PressPlan(
        values={
            "touch": got.moment_arm_m,
            "mean_arm": got.mean_moment_arm_m,
            "range_of_motion": got.range_of_motion_m,
            "chest_height": rep.heights_m[0],
            "lockout": rep.path_m[-1],
            "elbow_height": rep.poses[0][0].elbow[2],
            "forearm_tilt": got.forearm_tilt_side_deg,
        },
        path=list(zip(rep.path_m, rep.heights_m, strict=True)),
        out={"shoulder": (body.half_shoulder_m, FROM_BODY_SD_M)},
        outline=[
            (-0.13, pad + 0.09),
            *((y, chest.height_m(y) + pad) for y in across),
            (end + 0.12, pad + 0.80 * body.chest_flat_m),
        ],
        head=((-0.225, pad + 0.105), 0.095),
        pad_m=pad,
        speeds=[(i * step, v) for i, v in enumerate(speeds.speeds_m_s)],
        slowest_up_m=speeds.slowest[0] if speeds.slowest else None,
        sticking_m=got.sticking_height_m,
        tape_m=chest.tape_m,
        touch_tape_m=got.touch_tape_m,
    )


LONGER, SHORTER = Said("film_longer"), Said("film_shorter")
HIGHER, LOWER = Said("film_higher"), Said("film_lower")
TO_FEET, TO_HEAD = Said("film_nearer_feet"), Said("film_nearer_head")


class PressFilm(FilmCheck[PressPlan]):
    """A press filmed from the side: where the bar is over the shoulder."""

    marks = (
        FilmMark(
            "shoulder",
            Said("drawn_shoulder"),
            Said("film_shoulder_hint", {"below_m": 0.04}),
            SHOULDER_OUT_M,
            SHOULDER_OUT_SD_M,
            (Said("film_shoulder_missing"), Said("film_shoulder_find")),
            (-0.62, 0.0),
            pictures=Said("film_shoulder_pictures"),
        ),
        FilmMark("elbow", Said("film_elbow_label"), Said("film_elbow_hint"), HAND_MIDDLE_M, HAND_MIDDLE_SD_M),
        FilmMark("wrist", Said("film_wrist_label"), Said("film_wrist_hint"), HAND_MIDDLE_M, HAND_MIDDLE_SD_M),
    )
    numbers = (
        FilmNumber(
            "touch", Said("row_moment_arm"), LONGER, SHORTER, head=Said("drawn_moment_arm"), kept="touch_m"
        ),
        FilmNumber("arm_sticking", Said("film_arm_sticking"), LONGER, SHORTER),
        FilmNumber("mean_arm", Said("row_mean_moment_arm"), LONGER, SHORTER, told=True, kept="mean_arm_m"),
        FilmNumber(
            "range_of_motion",
            Said("row_range_of_motion"),
            LONGER,
            SHORTER,
            head=Said("row_range_of_motion"),
            told=True,
            kept="range_of_motion_m",
        ),
        FilmNumber("chest_height", Said("film_chest_height"), HIGHER, LOWER),
        FilmNumber("lockout", Said("film_lockout"), TO_FEET, TO_HEAD),
        FilmNumber("elbow_height", Said("film_elbow_height"), HIGHER, LOWER),
        FilmNumber("forearm_tilt", Said("film_forearm_tilt"), TO_FEET, TO_HEAD, unit="deg"),
    )
    origin, ahead, behind = Said("film_shoulder_noun"), Said("film_feet"), Said("film_head")
    where, arm, ask_side = Said("film_on_chest"), Said("drawn_moment_arm"), Said("film_which_side_feet")
    strokes_m = (0.12, 0.75)

    def measured(self, rep: Filmed, plan: PressPlan | None) -> dict[str, float]:
        """See ``FilmCheck``; "mean_offset" is for ``settled``."""
        found = {"touch": rep.rest[0], "chest_height": rep.rest[1]} | _forearm(rep)
        if not rep.rise:
            return found
        up = self.sticking_m(rep.stroke_m, plan)
        return found | {
            "range_of_motion": rep.travel_m,
            "mean_arm": _mean_arm(rep.rise),
            "mean_offset": abs(_mean_arm(rep.rise, signed=True)),
            "arm_sticking": at_height(rep.rise, up / rep.stroke_m),
            "lockout": rep.rise[-1][1],
        }

    def settled(self, found: dict[str, Number], rise: Path) -> dict[str, Number]:
        """Errors make |y| larger, never smaller: the value of the mean arm is that of the middle path, and
        the low end reaches down to the mean of y with its sign, which never is above the mean of |y|."""
        if "mean_arm" not in found:
            return found
        worlds, least = found["mean_arm"], found["mean_offset"].low
        mean = Number(_mean_arm(rise), min(worlds.low, least), worlds.high)
        return {key: mean if key == "mean_arm" else n for key, n in found.items() if key != "mean_offset"}

    def likely(self, reps: Sequence[Numbers]) -> float:
        """By where bars touch chests."""
        touches = [rep["touch"].value for rep in reps]
        mean = sum(touches) / len(touches) if touches else USUAL_TOUCH_M
        return -(((mean - USUAL_TOUCH_M) / USUAL_TOUCH_SD_M) ** 2) / 2

    def sticking_m(self, stroke_m: float, plan: PressPlan | None) -> float:
        """The height above the chest of "arm_sticking", m: the planned one if inside the stroke."""
        planned = plan.sticking_m if plan else 0.0
        return planned if LEAST_STICKING_M < planned < stroke_m else STICKING_SHARE * stroke_m

    def planned(self, plan: PressPlan, key: str, stroke_m: float) -> float | None:
        """See ``FilmCheck``; the arm at the sticking height from the planned path at the same height."""
        if key == "arm_sticking":
            return plan.y_up(self.sticking_m(stroke_m, plan) if stroke_m else 0.0)
        return plan.values.get(key)

    def label(self, number: FilmNumber, stroke_m: float, plan: PressPlan | None) -> Said:
        """See ``FilmCheck``; with the sticking height."""
        if number.key == "arm_sticking":
            return Said("film_arm_sticking_at", {"up_m": self.sticking_m(stroke_m, plan)})
        return number.label

    def headline(self, means: Numbers, plan: PressPlan | None) -> list[Head]:
        """The touch on the tape first, where the body is known; then arm and stroke."""
        found = super().headline(means, plan)
        arm = found[0]
        if plan is None:
            return [Head("moment_arm", *_of(arm)), *found[1:]]
        tape = plan.tape_m(arm.value)
        touch = Head("touch", Said("film_head_touch"), tape, arm.number, plan.touch_tape_m)
        return [touch, Head("moment_arm", *_of(arm)), *found[1:]]

    def before(self, means: Numbers, plan: PressPlan | None) -> list[Said]:
        """Where the bar touched."""
        touch = means["touch"]
        if plan is None:
            return [Said(f"film_touched_{_side(touch.value >= 0)}", _from_line(touch))]
        gap = touch.value - plan.values["touch"]
        way = "lower" if gap >= 0 else "higher"
        inside = touch.low <= plan.values["touch"] <= touch.high
        values = {"gap_m": abs(gap), "margin_m": touch.margin}
        return [Said(f"film_touch_as_planned_{way}" if inside else f"film_touched_{way}", values)]

    def after(self, means: Numbers) -> list[Said]:
        """How far from the shoulder line it locked out, where that shows."""
        end = means.get("lockout")
        if end is None or end.low <= 0 <= end.high:
            return []
        return [Said(f"film_lockout_{_side(end.value >= 0)}", _from_line(end))]

    def over_reps(self, first: Numbers, last: Numbers) -> list[Said]:
        """Whether the touch wanders."""
        moved = last["touch"].value - first["touch"].value
        if abs(moved) <= DRIFTED_M:
            return []
        return [Said(f"film_drifted_{_side(moved > 0)}", {"moved_m": abs(moved)})]

    def doubtful(self, reps: Sequence[Numbers]) -> list[tuple[str, str, Said]]:
        """A bar on the head's side of the shoulder."""
        turned = all(rep["touch"].high < 0 for rep in reps)
        return [("feet_side", "feet", Said("film_feet_side"))] if turned else []


def _of(head: Head) -> tuple[Said, float, Number, float | None]:
    return head.label, head.value, head.number, head.planned


def _from_line(at: Number) -> dict[str, float]:
    return {"far_m": abs(at.value), "margin_m": at.margin}


def _side(feet: bool) -> str:
    return "feet" if feet else "head"


def _mean_arm(rise: Path, signed: bool = False) -> float:
    """Integral of |y| (or of y) over height by the range of motion (trapezoid rule), m."""
    arm = float if signed else abs
    area = sum((arm(a[1]) + arm(b[1])) / 2 * (b[2] - a[2]) for a, b in pairwise(rise))
    return area / (rise[-1][2] - rise[0][2])


def _forearm(rep: Filmed) -> dict[str, float]:
    """Elbow height and the forearm's tilt from upright (deg, + hand toward the feet), where marked."""
    elbow, wrist = (rep.joint(key, rep.rest_s) for key in ("elbow", "wrist"))
    if elbow is None:
        return {}
    found = {"elbow_height": elbow[1]}
    if wrist is not None:
        found["forearm_tilt"] = math.degrees(math.atan2(wrist[0] - elbow[0], wrist[1] - elbow[1]))
    return found


PRESS_FILM = PressFilm()
