"""What the fit screen shows of a pull: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.figure import Caption, draw
from shortlever.lifts.deadlift.gain import gain_of
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.setting import Measured, that_can_be_set
from shortlever.lifts.deadlift.setup import Puller, Setup
from shortlever.lifts.deadlift.tradeoff import tradeoff
from shortlever.lifts.deadlift.words import Words, clock, degrees, length
from shortlever.lifts.legs.dial import NEAR_DEG, NEAR_M, place_on
from shortlever.lifts.legs.spread import Doubt as Spread
from shortlever.lifts.lift import Doubt, Fit
from shortlever.person.tape import Tape
from shortlever.say import Said, Text

PullFit = Fit[Puller, Suggestion, Measured]


def screen(fit: PullFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    puller, advice, got = fit.case, fit.advice, fit.shown.got
    words = Words(puller, unit)
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
    turn = _number("turn_out", Said("squat_head_turn_out"), got.turn_out_deg)
    return {
        "warnings": warnings(tape, got, fit.out_of_reach),
        "headline": [
            _length("heels", Said("squat_mark_heels"), heels, unit) | {"note": Said("squat_head_heels_note")},
            turn | {"note": clock(got.turn_out_deg)},
            _length("hands", Said("pull_mark_hands"), hands, unit) | {"note": Said("pull_head_hands_note")},
        ],
        "measures": [
            {"key": "style", "label": Said("pull_style"), "value": style, "unit": ""},
            _length("hip_height", Said("pull_row_hips"), got.hip_height_m, unit),
            _number("trunk_lean", Said("squat_row_lean"), got.trunk_lean_deg),
            _length("hip_arm", Said("pull_row_hip_arm"), got.hip_arm_m, unit),
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
        "tradeoff": tradeoff(words, advice, got),
        "trial": _on_trial(words, fit, now),
        "setup": parts_of(got.setup),
        "bands": words.bands(advice),
        "beside": words.beside(advice.measures, advice.other, advice.winner) if advice.other else None,
    }


def gained_in_words(fit: PullFit, words: Words) -> dict[str, Any] | None:
    """What is shown against the present setup; None where there is none."""
    if fit.now is None:
        return None
    got, now = fit.shown.got, fit.now.got
    return words.gain(got, now, gain_of(fit.case, got, now), fit.reading.given, fit.picked)


def parts_of(setup: Setup) -> dict[str, float]:
    """The parts of a setup as requests hold them."""
    return {
        "stance_m": round(setup.stance_m, 6),
        "turn_out_deg": round(setup.turn_out_deg, 6),
        "grip_m": round(setup.grip_m, 6),
        "shoulder_ahead_m": round(setup.shoulder_ahead_m, 6),
    }


def _length(key: str, label: Said, value_m: float, unit: str) -> dict[str, Text]:
    value = Said("length_bare", {"x_m": value_m})
    return {"key": key, "label": label, "value": value, "unit": unit}


def _number(key: str, label: Said, value_deg: float) -> dict[str, Text]:
    return {"key": key, "label": label, "value": Said("whole_number", {"x": value_deg}), "unit": "°"}


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
    for got in (*setups, fit.shown.got):
        candidate = words.candidate(got, dial=_dial(fit.advice, got.setup))
        if candidate["label"] not in [other["label"] for other in found]:
            found.append(candidate)
    return found


def _dial(advice: Suggestion, setup: Setup) -> float | None:
    """Where a start stands between low and high hips; None in another style or on other feet than the
    suggested. (Of a present setup nobody knows where the hips are.)"""
    there = advice.setup
    near = abs(setup.stance_m - there.stance_m) <= NEAR_M
    if setup.style != there.style or not near or abs(setup.turn_out_deg - there.turn_out_deg) > NEAR_DEG:
        return None
    places = [(one.preference, one.setup.shoulder_ahead_m) for one in advice.frontier]
    return place_on(places, setup.shoulder_ahead_m)


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
        ("hands", "hands_m"),
        ("hip_height", "hip_height_m"),
        ("hip_arm", "hip_arm_m"),
        ("back_arm", "back_arm_m"),
        ("stroke", "stroke_m"),
        ("shin", "bar_to_shin_m"),
        ("lockout", "lockout_height_m"),
    ):
        one = found.intervals[name]
        texts[key] = Said("between_lengths", {"low_m": max(one.low, 0.0), "high_m": one.high})
    for key, name in (("turn_out", "turn_out_deg"), ("trunk_lean", "trunk_lean_deg")):
        one = found.intervals[name]
        texts[key] = Said("between_degrees", {"low": max(one.low, 0.0), "high": one.high})
    further, next_one = found.next_measurement, None
    if further:
        said = Said("next_measure", {"label": further.label, "how": further.how})
        next_one = (further.key, said, further.narrows)
    return Doubt(texts, Said("pull_covers"), Said("pull_model_off"), next_one)
