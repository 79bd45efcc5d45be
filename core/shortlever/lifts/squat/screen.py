"""What the fit screen shows of a squat: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.lifts.legs.dial import NEAR_DEG, NEAR_M, place_on
from shortlever.lifts.legs.spread import Doubt as Spread
from shortlever.lifts.lift import Doubt, Fit
from shortlever.lifts.squat.advice import Suggestion, gain_of
from shortlever.lifts.squat.figure import Caption, draw
from shortlever.lifts.squat.measure import Assessment, assess_squat
from shortlever.lifts.squat.setting import Measured, that_can_be_set
from shortlever.lifts.squat.squat import Squat
from shortlever.lifts.squat.tradeoff import tradeoff
from shortlever.lifts.squat.words import Words, clock, degrees, length
from shortlever.person.tape import Tape
from shortlever.say import Said, Text

SquatFit = Fit[Squat, Suggestion, Measured]


def screen(fit: SquatFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    squat, advice, got = fit.case, fit.advice, fit.shown.got
    words = Words(squat, unit)
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
    turn = _angle("turn_out", Said("squat_head_turn_out"), got.turn_out_deg)
    return {
        "warnings": warnings(tape, got, fit.out_of_reach),
        "headline": [
            _length("heels", Said("squat_mark_heels"), heels, unit) | {"note": Said("squat_head_heels_note")},
            turn | {"note": clock(got.turn_out_deg)},
            _length("sit_back", Said("squat_head_sit_back"), words.set_m(got.sit_back_m), unit)
            | {"note": Said("squat_head_sit_back_note")},
        ],
        "measures": [
            _angle("trunk_lean", Said("squat_row_lean"), got.trunk_lean_deg),
            _length("knee_arm", Said("squat_row_knee_arm"), got.knee_arm_m, unit),
            _length("back_arm", Said("squat_row_back_arm"), got.back_arm_m, unit),
            _length("stroke", Said("squat_row_stroke"), got.stroke_m, unit),
        ],
        "gain": gained_in_words(fit, words),
        "reasons": [] if fit.picked else words.reasons(advice),
        "marks": words.marks(got),
        "figure": {
            "svg": views[0]["svg"],
            "title": caption.title,
            "text": caption.text,
            "table": words.table(got),
            "views": views,
            "beats": "",
            "rows": words.rows(got),
            "row_arms": [length(row.hip_arm_m) for row in got.path],
        },
        "tradeoff": tradeoff(words, advice, got.setup),
        "trial": _on_trial(words, fit, now),
        "setup": parts_of(got),
        "bands": words.bands(advice),
        "beside": words.beside(got, advice.beside) if advice.beside else None,
    }


def gained_in_words(fit: SquatFit, words: Words) -> dict[str, Any] | None:
    """What is shown against the present setup; None where there is none."""
    if fit.now is None:
        return None
    got, now = fit.shown.got, fit.now.got
    return words.gain(got, now, gain_of(fit.case, got, now), fit.reading.given, fit.picked)


def parts_of(got: Assessment) -> dict[str, float]:
    """The parts of a setup as requests hold them."""
    return {
        "stance_m": round(got.stance_m, 6),
        "turn_out_deg": round(got.turn_out_deg, 6),
        "heel_m": round(got.heel_m, 6),
        "sit_back_m": round(got.sit_back_m, 6),
    }


def _length(key: str, label: Said, value_m: float, unit: str) -> dict[str, Text]:
    value = Said("length_bare", {"x_m": value_m})
    return {"key": key, "label": label, "value": value, "unit": unit}


def _angle(key: str, label: Said, value_deg: float) -> dict[str, Text]:
    return {"key": key, "label": label, "value": Said("whole_number", {"x": value_deg}), "unit": "°"}


def _on_trial(words: Words, fit: SquatFit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the one shown."""
    squat, setups = fit.case, [fit.shown.got]
    suggested = that_can_be_set(squat, fit.advice.setup, words.unit)
    if suggested != fit.shown.setup:
        setups.insert(0, assess_squat(squat, suggested))
    found = [] if now is None else [words.candidate(now, present=True)]
    for setup in setups:
        candidate = words.candidate(setup, dial=_dial(fit.advice, setup))
        if candidate["label"] not in [other["label"] for other in found]:
            found.append(candidate)
    return found


def _dial(advice: Suggestion, got: Assessment) -> float | None:
    """Where the hips stand between knees and hips; None on other feet than the suggested. (Of a present setup
    nobody knows where the hips are.)"""
    there = advice.setup
    if abs(got.stance_m - there.stance_m) > NEAR_M or abs(got.turn_out_deg - there.turn_out_deg) > NEAR_DEG:
        return None
    return place_on([(one.preference, one.hip_arm_m) for one in advice.frontier], got.sit_back_m)


def warnings(tape: Tape, got: Assessment, out_of_reach: Text) -> list[dict[str, Any]]:
    """What is odd of the tape, and what the setup breaks."""
    found: list[dict[str, Any]] = [
        {"code": code, "field": field, "message": said} for field, code, said in tape.warnings()
    ]
    found += [
        {"code": f"limit_{limit.name}", "field": None, "message": limit.reason}
        for limit in got.limits
        if limit.broken
    ]
    if out_of_reach:
        found.append({"code": "present_out_of_reach", "field": "current_heels", "message": out_of_reach})
    return found


def doubt_in_words(found: Spread) -> Doubt:
    """The 90 % intervals as texts by headline or measure key, and the tape number worth taking next."""
    texts: dict[str, Text] = {}
    for key, name in (
        ("heels", "heels_m"),
        ("sit_back", "sit_back_m"),
        ("knee_arm", "knee_arm_m"),
        ("back_arm", "back_arm_m"),
        ("stroke", "stroke_m"),
        ("hooks", "hook_m"),
        ("box", "box_m"),
    ):
        one = found.intervals[name]
        texts[key] = Said("between_lengths", {"low_m": max(one.low, 0.0), "high_m": one.high})
    for key, name in (("turn_out", "turn_out_deg"), ("trunk_lean", "trunk_lean_deg")):
        one = found.intervals[name]
        texts[key] = Said("between_degrees", {"low": one.low, "high": one.high})
    further, next_one = found.next_measurement, None
    if further:
        said = Said("next_measure", {"label": further.label, "how": further.how})
        next_one = (further.key, said, further.narrows)
    return Doubt(texts, Said("squat_covers"), Said("squat_model_off"), next_one)
