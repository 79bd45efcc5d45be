"""How sure a suggested squat is: tape, missing dimensions, the ankle, the place of balance, strength at the
ends of range, carried through to every number (see ``legs.spread``)."""

from __future__ import annotations

import math
from dataclasses import replace

from shortlever.lifts.interval import Spread
from shortlever.lifts.legs.body import Standing
from shortlever.lifts.legs.spread import spread_of
from shortlever.lifts.squat.advice import setup_of
from shortlever.lifts.squat.form import FIELDS
from shortlever.lifts.squat.marks import marks_of
from shortlever.lifts.squat.measure import bottom_of
from shortlever.lifts.squat.search import DEFAULT_PREFERENCE, Found, Search
from shortlever.lifts.squat.squat import Squat
from shortlever.person.tape import Tape

OUTPUTS = (
    "heels_m",
    "stance_m",
    "turn_out_deg",
    "heel_m",
    "sit_back_m",
    "knee_arm_m",
    "back_arm_m",
    "trunk_lean_deg",
    "shin_deg",
    "stroke_m",
    "hook_m",
    "box_m",
    "knee_past_toes_m",
)
WORTH = {"heels_m": 0.02, "sit_back_m": 0.01, "trunk_lean_deg": 2.0, "hook_m": 0.02}


def outcome(squat: Squat, preference: float, near: tuple[Found, Found] | None = None) -> list[float]:
    """The suggested numbers of one body, in the order of OUTPUTS (SI, deg); ``near``: the feet of one that is
    near. Raises InfeasibleError."""
    search = Search(squat, near)
    found = search.solve()[1]
    stance = search.stance_of(found)
    flat = search.bottoms.flat(stance, found.valley) if preference != DEFAULT_PREFERENCE else (0.0, 0.0)
    setup = setup_of(found, stance, flat, preference)
    stance, _, pose = bottom_of(squat, setup)
    marks = marks_of(squat, stance, pose)
    return [
        marks.heels_m,
        setup.stance_m,
        setup.turn_out_deg,
        setup.heel_m,
        pose.hip_arm_m,
        pose.knee_arm_m,
        pose.back_arm_m,
        math.degrees(pose.lean_rad),
        math.degrees(pose.knee.shin_rad),
        stance.top_m - pose.bar[1],
        marks.hook_m,
        marks.box_m,
        marks.knee_past_toes_m,
    ]


def doubt_of(squat: Squat, tape: Tape, preference: float, *, model: bool = True) -> Spread:
    """Intervals and next tape number for the suggestion of ``squat``, a squat of this tape's body."""
    near = Search(squat).solve()

    def of_body(body: Standing) -> list[float]:
        return outcome(replace(squat, body=body), preference, near)

    return spread_of(tape, of_body, OUTPUTS, WORTH, FIELDS, model=model)
