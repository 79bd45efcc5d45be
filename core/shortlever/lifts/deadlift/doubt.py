"""How sure a suggested pull is: tape, missing dimensions, the ankle, the place of balance, strength at the
ends of range, carried through to every number (see ``legs.spread``)."""

from __future__ import annotations

from dataclasses import replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.form import FIELDS
from shortlever.lifts.deadlift.marks import marks_of
from shortlever.lifts.deadlift.measure import start_of
from shortlever.lifts.deadlift.one_style import DEFAULT_PREFERENCE, aheads_m, dialled, usual_on
from shortlever.lifts.deadlift.rep import lockout
from shortlever.lifts.deadlift.search import Search
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.interval import Spread
from shortlever.lifts.legs.body import Standing
from shortlever.lifts.legs.spread import MOVING, spread_of
from shortlever.person.tape import Tape
from shortlever.say import Said
from shortlever.units import degrees

SITTING = ("knee_height_sitting", "thigh_clearance")  # tell of a squat's depth only
PULLING = (
    *(one for one in MOVING if one not in SITTING),
    "forearm_to_grip",
    "shoulder_breadth",
    "hand_breadth",
)
OUTPUTS = (
    "heels_m",
    "stance_m",
    "turn_out_deg",
    "grip_m",
    "hands_m",
    "hip_height_m",
    "hip_arm_m",
    "knee_arm_m",
    "back_arm_m",
    "trunk_lean_deg",
    "shin_deg",
    "stroke_m",
    "bar_to_shin_m",
    "lockout_height_m",
)
WORTH = {"heels_m": 0.02, "grip_m": 0.02, "hip_height_m": 0.02, "trunk_lean_deg": 2.0, "stroke_m": 0.02}


def outcome(puller: Puller, style: str, preference: float, near: Search | None = None) -> list[float]:
    """The suggested numbers of one body, in the order of OUTPUTS (SI, deg); ``near``: the search of one that
    is near. Raises InfeasibleError."""
    feet = Search(puller, style, near=near).solve()
    setup, usual = usual_on(puller, style, feet)
    if preference != DEFAULT_PREFERENCE:
        ahead = dialled(aheads_m(puller, setup, usual), preference)
        setup = replace(setup, shoulder_ahead_m=ahead)
    pull, start = start_of(puller, setup)
    y, low = start.bar
    top = lockout(pull, y)
    if top is None:
        raise InfeasibleError(Said("pull_no_lockout", {"stance_m": setup.stance_m}))
    marks = marks_of(puller, pull, start)
    return [
        marks.heels_m,
        setup.stance_m,
        setup.turn_out_deg,
        setup.grip_m,
        marks.hands_m,
        start.hip[2],
        y - start.hip[1],
        start.knee.at[1] - y,
        start.back_arm_m,
        degrees(start.lean_rad),
        degrees(start.knee.shin_rad),
        top[0] - low,
        marks.bar_to_shin_m,
        top[0],
    ]


def doubt_of(puller: Puller, tape: Tape, style: str, preference: float, *, model: bool = True) -> Spread:
    """Intervals and next tape number for the suggestion of a style for a puller of this tape's body."""
    near = Search(puller, style)

    def of_body(body: Standing) -> list[float]:
        return outcome(replace(puller, body=body), style, preference, near)

    return spread_of(tape, of_body, OUTPUTS, WORTH, FIELDS, PULLING, model=model)
