"""What the fit screen shows of a pull: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.card import card_of
from shortlever.lifts.deadlift.figure import Caption, draw
from shortlever.lifts.deadlift.form import PARTS
from shortlever.lifts.deadlift.gain import gain_of
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.setting import Measured, that_can_be_set
from shortlever.lifts.deadlift.setup import Puller, Setup
from shortlever.lifts.deadlift.words import Words
from shortlever.lifts.interval import Spread
from shortlever.lifts.legs import shown
from shortlever.lifts.legs.dial import NEAR_DEG, NEAR_M, place_on
from shortlever.lifts.legs.tradeoff import tradeoff
from shortlever.lifts.legs.words import clock, clocks
from shortlever.lifts.lift import Doubt, Fit
from shortlever.lifts.shown import angle_number, degrees, doubt_in_words, length, length_number, told_apart
from shortlever.say import Said

PullFit = Fit[Puller, Suggestion, Measured]


def screen(fit: PullFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit = fit.reading.unit
    puller, advice, got = fit.case, fit.advice, fit.shown.got
    words = Words(unit)
    now = fit.now.got if fit.now else None
    heels, hands = words.set_m(got.marks.heels_m), words.set_m(got.marks.hands_m)
    free = {band.key: band for band in advice.bands}.get("hip_height_m")
    hips = (free.low, free.high) if free and got.style == advice.setup.style else (got.hip_height_m,) * 2
    style = Said(f"pull_{got.style}")
    caption = Caption(
        hip=length(got.hip_arm_m),
        back=length(got.back_arm_m),
        stroke=length(got.stroke_m),
        hips=_between(words, *hips),
        heels=length(heels),
        hands=length(hands),
        turn=degrees(got.turn_out_deg),
        title=Said("pull_chosen" if fit.picked else "pull_suggested", {"style": style}),
        text=words.figure_text(got, now),
    )
    views = draw(puller, fit.shown, caption, hips, fit.now)
    turn = angle_number("turn_out", Said("squat_head_turn_out"), got.turn_out_deg)
    return {
        "warnings": shown.warnings(fit),
        "headline": [
            length_number("heels", Said("squat_mark_heels"), heels, unit)
            | {"note": Said("squat_head_heels_note")},
            turn | {"note": clock(got.turn_out_deg)},
            length_number("hands", Said("pull_mark_hands"), hands, unit)
            | {"note": Said("pull_head_hands_note")},
        ],
        "measures": [
            {"key": "style", "label": Said("pull_style"), "value": style, "unit": ""},
            length_number("hip_height", Said("pull_row_hips"), got.hip_height_m, unit),
            angle_number("trunk_lean", Said("squat_row_lean"), got.trunk_lean_deg),
            length_number("hip_arm", Said("pull_row_hip_arm"), got.hip_arm_m, unit),
            length_number("back_arm", Said("squat_row_back_arm"), got.back_arm_m, unit),
            length_number("stroke", Said("squat_row_stroke"), got.stroke_m, unit),
        ],
        "gain": shown.gained(fit, words, gain_of),
        "reasons": [] if fit.picked else words.reasons(advice),
        "marks": words.marks(got),
        "figure": shown.figure(words, got, views, caption.title, caption.text, words.table(got)),
        "tradeoff": tradeoff(
            words,
            advice.frontier,
            PARTS,
            words.choice,
            set_by=lambda place: place.hip_height_m,
            shown_m=got.hip_height_m,
            suggested_m=advice.measures.hip_height_m,
            across=lambda place: place.hip_height_m,
            across_said=Said("pull_trade_hips", {"unit": unit}),
        ),
        "trial": _on_trial(words, fit, now),
        "setup": shown.parts_of(got.setup, PARTS),
        "bands": words.bands(advice),
        "card": card_of(puller, fit.shown, words.marks(got), clocks(got.turn_out_deg), heels, hands),
        "beside": words.beside(advice.measures, advice.other, advice.winner) if advice.other else None,
    }


def bar_way(fit: PullFit) -> tuple[float, dict[str, str]]:
    """See ``Lift.bar_way``."""
    return fit.shown.got.stroke_m, {"style": fit.shown.got.style}


def _between(words: Words, low: float, high: float) -> Said:
    ends = {"low_m": words.set_m(low), "high_m": words.set_m(high)}
    return length(ends["low_m"]) if ends["low_m"] == ends["high_m"] else Said("between_lengths", ends)


def _on_trial(words: Words, fit: PullFit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the best of the
    other style, the one shown."""
    puller, setups = fit.case, []
    for setup in (fit.advice.setup, fit.advice.other.setup if fit.advice.other else None):
        if setup is not None:
            setups.append(assess_pull(puller, that_can_be_set(puller, setup, words.unit)))
    found = [] if now is None else [words.candidate(now, present=True)]
    tried = (*setups, fit.shown.got)
    return told_apart([*found, *(words.candidate(got, dial=_dial(fit.advice, got.setup)) for got in tried)])


def _dial(advice: Suggestion, setup: Setup) -> float | None:
    """Where a start stands between low and high hips; None in another style or on other feet than the
    suggested. (Of a present setup nobody knows where the hips are.)"""
    there = advice.setup
    near = abs(setup.stance_m - there.stance_m) <= NEAR_M
    if setup.style != there.style or not near or abs(setup.turn_out_deg - there.turn_out_deg) > NEAR_DEG:
        return None
    places = [(one.preference, one.setup.shoulder_ahead_m) for one in advice.frontier]
    return place_on(places, setup.shoulder_ahead_m)


LENGTHS = {
    "heels": "heels_m",
    "hands": "hands_m",
    "hip_height": "hip_height_m",
    "hip_arm": "hip_arm_m",
    "back_arm": "back_arm_m",
    "stroke": "stroke_m",
    "shin": "bar_to_shin_m",
    "lockout": "lockout_height_m",
}
ANGLES = {"turn_out": "turn_out_deg", "trunk_lean": "trunk_lean_deg"}
COVERS, OFF = Said("pull_covers"), Said("pull_model_off")


def in_words(found: Spread) -> Doubt:
    """See ``doubt_in_words``."""
    return doubt_in_words(found, LENGTHS, ANGLES, COVERS, OFF)
