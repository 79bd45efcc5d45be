"""What the fit screen shows of a press: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.lifts.bench.advice import Suggestion, gain_of, marks_of
from shortlever.lifts.bench.doubt import Doubt as PressDoubt
from shortlever.lifts.bench.figure import BEAT_S, Caption, draw
from shortlever.lifts.bench.measure import Assessment, assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.setting import Measured, that_can_be_set
from shortlever.lifts.bench.speed import bar_speeds
from shortlever.lifts.bench.tradeoff import tradeoff
from shortlever.lifts.bench.words import COVERS, Words, model_off
from shortlever.lifts.lift import Doubt, Fit
from shortlever.person.tape import Tape
from shortlever.units import show_length

PressFit = Fit[Press, Suggestion, Measured]


def screen(fit: PressFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    press, advice, got, setup = fit.case, fit.advice, fit.shown.got, fit.shown.setup
    words = Words(press, unit)
    now = fit.now.got if fit.now else None
    gain = gain_of(press, got, now) if now else None
    speeds = bar_speeds(fit.shown.rep)
    caption = Caption(
        moment_arm=words.length(got.moment_arm_m),
        stroke=words.length(got.range_of_motion_m),
        grip=f"{words.to_set(got.grip_m)} {unit}",
        touch=f"{words.to_set(got.touch_tape_m)} {unit}",
        tuck=f"{got.tuck_deg:.0f}°",
        title="Chosen bench press" if fit.picked else "Suggested bench press",
        text=words.figure_text(got, now, speeds, BEAT_S),
    )
    views = draw(press, fit.shown.rep, caption, fit.now.rep if fit.now else None, speeds)
    marks = marks_of(press, got)
    return {
        "warnings": _warnings(tape, got, unit, fit.out_of_reach),
        "headline": [
            _number("grip", "Grip", words.to_set(got.grip_m), unit, "at forefingers"),
            _number("touch", "Touch", words.to_set(got.touch_tape_m), unit, "below the notch"),
            _number("tuck", "Tuck", f"{got.tuck_deg:.0f}", "°", "arm to trunk"),
        ],
        "measures": [
            _number("moment_arm", "Moment arm at the chest", show_length(got.moment_arm_m, unit), unit),
            _number("range_of_motion", "Range of motion", show_length(got.range_of_motion_m, unit), unit),
        ],
        "gain": words.gain(got, now, gain) if now and gain else None,
        "reasons": [] if fit.picked else words.reasons(advice),
        "marks": words.marks(marks.fingers_from_ring, got),
        "figure": {
            "svg": views[0]["svg"],
            "title": caption.title,
            "text": caption.text,
            "table": [*words.table(got), *words.speed(speeds)],
            "views": views,
            "beats": words.beats(BEAT_S),
            "rows": words.rows(got),
            "row_arms": [words.length(abs(row.y_m)) for row in got.path],
        },
        "tradeoff": tradeoff(words, advice, (setup.grip_m, setup.touch_m)),
        "trial": _on_trial(words, fit, now),
        "setup": {"grip_m": round(setup.grip_m, 6), "touch_m": round(setup.touch_m, 6)},
    }


def _number(key: str, label: str, value: str, unit: str, note: str = "") -> dict[str, str]:
    return {"key": key, "label": label, "value": value, "unit": unit, **({"note": note} if note else {})}


def _on_trial(words: Words, fit: PressFit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the one shown."""
    setups = [fit.shown.got]
    suggested = that_can_be_set(fit.case, fit.advice.setup, words.unit)
    if suggested != fit.shown.setup:
        setups.insert(0, assess_press(fit.case, suggested))
    found = [] if now is None else [words.candidate(now, present=True)]
    for setup in setups:
        candidate = words.candidate(setup)
        if candidate["label"] not in [other["label"] for other in found]:
            found.append(candidate)
    return found


def _warnings(tape: Tape, got: Assessment, unit: str, out_of_reach: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = [
        {"code": code, "field": field, "message": said.in_unit(unit)} for field, code, said in tape.warnings()
    ]
    if tape.chest_arched is None:
        found.append(
            {
                "code": "no_arch",
                "field": None,
                "message": "Computed lying flat. Give the arched chest height if you arch.",
            }
        )
    found += [
        {"code": f"limit_{limit.name}", "field": None, "message": limit.reason.in_unit(unit)}
        for limit in got.limits
        if limit.broken
    ]
    if out_of_reach:
        found.append({"code": "present_out_of_reach", "field": "current_grip", "message": out_of_reach})
    return found


def doubt_in_words(found: PressDoubt, unit: str) -> Doubt:
    """The 90 % intervals as texts by headline or measure key, and the tape number worth taking next."""
    texts = {}
    for key, name in (
        ("grip", "grip_m"),
        ("touch", "touch_tape_m"),
        ("moment_arm", "touch_m"),
        ("range_of_motion", "range_of_motion_m"),
        ("lockout", "lockout_height_m"),
    ):
        interval = found.intervals[name]
        texts[key] = f"{show_length(interval.low, unit)} to {show_length(interval.high, unit)} {unit}"
    tuck = found.intervals["tuck_deg"]
    texts["tuck"] = f"{tuck.low:.0f} to {tuck.high:.0f}°"
    further = found.next_measurement
    next_one = None
    if further:
        said = f"{further.label} would narrow this most: {further.how}."
        next_one = (further.key, said, further.narrows)
    return Doubt(texts, COVERS, model_off(unit), next_one)
