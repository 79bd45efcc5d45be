"""What the fit screen shows of a squat: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.lifts.interval import Spread
from shortlever.lifts.legs import shown
from shortlever.lifts.legs.dial import NEAR_DEG, NEAR_M, place_on
from shortlever.lifts.legs.tradeoff import tradeoff
from shortlever.lifts.legs.words import clock, clocks
from shortlever.lifts.lift import Doubt, Fit
from shortlever.lifts.shown import angle_number, degrees, doubt_in_words, length, length_number, told_apart
from shortlever.lifts.squat.advice import Suggestion, gain_of
from shortlever.lifts.squat.card import card_of
from shortlever.lifts.squat.figure import Caption, draw
from shortlever.lifts.squat.form import PARTS
from shortlever.lifts.squat.measure import Assessment, assess_squat
from shortlever.lifts.squat.setting import Measured, that_can_be_set
from shortlever.lifts.squat.squat import Squat
from shortlever.lifts.squat.words import Words
from shortlever.say import Said

SquatFit = Fit[Squat, Suggestion, Measured]


def screen(fit: SquatFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit = fit.reading.unit
    squat, advice, got = fit.case, fit.advice, fit.shown.got
    words = Words(unit)
    now = fit.now.got if fit.now else None
    heels = words.set_m(got.marks.heels_m)
    caption = Caption(
        hip=length(got.hip_arm_m),
        knee=length(got.knee_arm_m),
        back=length(got.back_arm_m),
        stroke=length(got.stroke_m),
        heels=length(heels),
        turn=degrees(got.turn_out_deg),
        title=Said("squat_chosen" if fit.picked else "squat_suggested"),
        text=words.figure_text(got, now),
    )
    views = draw(squat, fit.shown, caption, fit.now)
    turn = angle_number("turn_out", Said("squat_head_turn_out"), got.turn_out_deg)
    return {
        "warnings": shown.warnings(fit),
        "headline": [
            length_number("heels", Said("squat_mark_heels"), heels, unit)
            | {"note": Said("squat_head_heels_note")},
            turn | {"note": clock(got.turn_out_deg)},
            length_number("sit_back", Said("squat_head_sit_back"), words.set_m(got.sit_back_m), unit)
            | {"note": Said("squat_head_sit_back_note")},
        ],
        "measures": [
            angle_number("trunk_lean", Said("squat_row_lean"), got.trunk_lean_deg),
            length_number("knee_arm", Said("squat_row_knee_arm"), got.knee_arm_m, unit),
            length_number("back_arm", Said("squat_row_back_arm"), got.back_arm_m, unit),
            length_number("stroke", Said("squat_row_stroke"), got.stroke_m, unit),
        ],
        "gain": shown.gained(fit, words, gain_of),
        "reasons": [] if fit.picked else [one.told() for one in advice.binding],
        "marks": words.marks(got),
        "figure": shown.figure(words, got, views, caption.title, caption.text, words.table(got)),
        "tradeoff": tradeoff(
            words,
            advice.frontier,
            PARTS,
            words.choice,
            set_by=lambda place: place.hip_arm_m,
            shown_m=got.sit_back_m,
            suggested_m=advice.measures.sit_back_m,
            across=lambda place: place.knee_arm_m,
            across_said=Said("squat_trade_knee", {"unit": unit}),
        ),
        "trial": _on_trial(words, fit, now),
        "setup": shown.parts_of(got.setup, PARTS),
        "bands": words.bands(advice),
        "card": card_of(squat, fit.shown, words.marks(got), clocks(got.turn_out_deg), heels),
        "beside": words.beside(got, advice.beside) if advice.beside else None,
    }


def bar_way(fit: SquatFit) -> tuple[float, dict[str, str]]:
    """See ``Lift.bar_way``."""
    return fit.shown.got.stroke_m, {}


def _on_trial(words: Words, fit: SquatFit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the one shown."""
    squat, setups = fit.case, [fit.shown.got]
    suggested = that_can_be_set(squat, fit.advice.setup, words.unit)
    if suggested != fit.shown.setup:
        setups.insert(0, assess_squat(squat, suggested))
    found = [] if now is None else [words.candidate(now, present=True)]
    return told_apart([*found, *(words.candidate(got, dial=_dial(fit.advice, got)) for got in setups)])


def _dial(advice: Suggestion, got: Assessment) -> float | None:
    """Where the hips stand between knees and hips; None on other feet than the suggested. (Of a present setup
    nobody knows where the hips are.)"""
    there = advice.setup
    if abs(got.stance_m - there.stance_m) > NEAR_M or abs(got.turn_out_deg - there.turn_out_deg) > NEAR_DEG:
        return None
    return place_on([(one.preference, one.hip_arm_m) for one in advice.frontier], got.sit_back_m)


LENGTHS = {
    "heels": "heels_m",
    "sit_back": "sit_back_m",
    "knee_arm": "knee_arm_m",
    "back_arm": "back_arm_m",
    "stroke": "stroke_m",
    "hooks": "hook_m",
    "box": "box_m",
}
ANGLES = {"turn_out": "turn_out_deg", "trunk_lean": "trunk_lean_deg"}
COVERS, OFF = Said("squat_covers"), Said("squat_model_off")


def in_words(found: Spread) -> Doubt:
    """See ``doubt_in_words``."""
    return doubt_in_words(found, LENGTHS, ANGLES, COVERS, OFF)
