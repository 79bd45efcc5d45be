"""What the fit screen shows of a squat: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.lifts.legs.spread import Doubt as Spread
from shortlever.lifts.lift import Doubt, Fit
from shortlever.lifts.squat.advice import Suggestion, gain_of
from shortlever.lifts.squat.figure import Caption, draw
from shortlever.lifts.squat.measure import Assessment, assess_squat
from shortlever.lifts.squat.setting import Measured, that_can_be_set
from shortlever.lifts.squat.squat import Squat
from shortlever.lifts.squat.tradeoff import tradeoff
from shortlever.lifts.squat.words import POSITIONS, Words, clock
from shortlever.person.tape import Tape
from shortlever.say import Said
from shortlever.units import show_length

SquatFit = Fit[Squat, Suggestion, Measured]


def screen(fit: SquatFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    squat, advice, got = fit.case, fit.advice, fit.shown.got
    words = Words(squat, unit)
    now = fit.now.got if fit.now else None
    caption = Caption(
        hip=words.length(got.hip_arm_m),
        knee=words.length(got.knee_arm_m),
        back=words.length(got.back_arm_m),
        stroke=words.length(got.stroke_m),
        heels=f"{words.to_set(got.marks.heels_m)} {unit}",
        turn=f"{got.turn_out_deg:.0f}°",
        title="Chosen squat" if fit.picked else "Suggested squat",
        text=words.figure_text(got, now),
    )
    views = draw(squat, fit.shown, caption, fit.now)
    position = POSITIONS[got.bar_position]
    return {
        "warnings": warnings(tape, got, unit, fit.out_of_reach),
        "headline": [
            _number("heels", "Heels", words.to_set(got.marks.heels_m), unit, "middle to middle"),
            _number("turn_out", "Toes out", f"{got.turn_out_deg:.0f}", "°", clock(got.turn_out_deg)),
            _number("sit_back", "Hips back", words.to_set(got.sit_back_m), unit, "behind mid-foot"),
        ],
        "measures": [
            _number("trunk_lean", f"Trunk from vertical, {position}", f"{got.trunk_lean_deg:.0f}", "°"),
            _number("knee_arm", "Knee arm at the bottom", show_length(got.knee_arm_m, unit), unit),
            _number("back_arm", "Back arm at the bottom", show_length(got.back_arm_m, unit), unit),
            _number("stroke", "Stroke", show_length(got.stroke_m, unit), unit),
        ],
        "gain": words.gain(got, now, gain_of(squat, got, now)) if now else None,
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
            "row_arms": [words.length(row.hip_arm_m) for row in got.path],
        },
        "tradeoff": tradeoff(words, advice, got.setup),
        "trial": _on_trial(words, fit, now),
        "setup": parts_of(got),
        "bands": words.bands(advice),
        "beside": words.beside(got, advice.beside) if advice.beside else None,
    }


def parts_of(got: Assessment) -> dict[str, float]:
    """The parts of a setup as requests hold them."""
    return {
        "stance_m": round(got.stance_m, 6),
        "turn_out_deg": round(got.turn_out_deg, 6),
        "heel_m": round(got.heel_m, 6),
        "sit_back_m": round(got.sit_back_m, 6),
    }


def _number(key: str, label: str, value: str, unit: str, note: str = "") -> dict[str, str]:
    return {"key": key, "label": label, "value": value, "unit": unit, **({"note": note} if note else {})}


def _on_trial(words: Words, fit: SquatFit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the one shown."""
    squat, setups = fit.case, [fit.shown.got]
    suggested = that_can_be_set(squat, fit.advice.setup, words.unit)
    if suggested != fit.shown.setup:
        setups.insert(0, assess_squat(squat, suggested))
    found = [] if now is None else [words.candidate(now, present=True)]
    for setup in setups:
        candidate = words.candidate(setup)
        if candidate["label"] not in [other["label"] for other in found]:
            found.append(candidate)
    return found


def warnings(tape: Tape, got: Assessment, unit: str, out_of_reach: str) -> list[dict[str, Any]]:
    """What is odd of the tape, what the setup breaks, what there is to be careful of."""
    found: list[dict[str, Any]] = [
        {"code": code, "field": field, "message": said.in_unit(unit)} for field, code, said in tape.warnings()
    ]
    found += [
        {"code": f"limit_{limit.name}", "field": None, "message": limit.reason.in_unit(unit)}
        for limit in got.limits
        if limit.broken
    ]
    if out_of_reach:
        found.append({"code": "present_out_of_reach", "field": "current_heels", "message": out_of_reach})
    return found


def doubt_in_words(found: Spread, unit: str) -> Doubt:
    """The 90 % intervals as texts by headline or measure key, and the tape number worth taking next."""
    texts = {}
    for key, name in (
        ("heels", "heels_m"),
        ("sit_back", "sit_back_m"),
        ("knee_arm", "knee_arm_m"),
        ("back_arm", "back_arm_m"),
        ("stroke", "stroke_m"),
        ("hook", "hook_m"),
        ("box", "box_m"),
    ):
        one = found.intervals[name]
        texts[key] = f"{show_length(one.low, unit)} to {show_length(one.high, unit)} {unit}"
    for key, name in (("turn_out", "turn_out_deg"), ("trunk_lean", "trunk_lean_deg")):
        one = found.intervals[name]
        texts[key] = f"{one.low:.0f} to {one.high:.0f}°"
    further, next_one = found.next_measurement, None
    if further:
        said = Said("squat_next", {"label": further.label, "how": further.how})
        next_one = (further.key, said.in_unit(unit), further.narrows)
    return Doubt(texts, Said("squat_covers").in_unit(unit), Said("squat_model_off").in_unit(unit), next_one)
