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
from shortlever.lifts.bench.words import MODEL_OFF, Words, length
from shortlever.lifts.lift import Doubt, Fit
from shortlever.person.tape import Tape
from shortlever.say import Said, Text

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
        moment_arm=length(got.moment_arm_m),
        stroke=length(got.range_of_motion_m),
        grip=length(words.set_m(got.grip_m)),
        touch=length(words.set_m(got.touch_tape_m)),
        tuck=Said("degrees", {"x_deg": got.tuck_deg}),
        title=Said("figure_chosen" if fit.picked else "figure_suggested"),
        text=words.figure_text(got, now, speeds, BEAT_S),
    )
    views = draw(press, fit.shown.rep, caption, fit.now.rep if fit.now else None, speeds)
    marks = marks_of(press, got)
    return {
        "warnings": _warnings(tape, got, fit.out_of_reach),
        "headline": [
            _length("grip", Said("head_grip"), words.set_m(got.grip_m), unit)
            | {"note": Said("head_grip_note")},
            _length("touch", Said("head_touch"), words.set_m(got.touch_tape_m), unit)
            | {"note": Said("head_touch_note")},
            {
                "key": "tuck",
                "label": Said("head_tuck"),
                "value": Said("whole_number", {"x": got.tuck_deg}),
                "unit": "°",
                "note": Said("head_tuck_note"),
            },
        ],
        "measures": [
            _length("moment_arm", Said("row_moment_arm"), got.moment_arm_m, unit),
            _length("range_of_motion", Said("row_range_of_motion"), got.range_of_motion_m, unit),
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
            "row_arms": [length(abs(row.y_m)) for row in got.path],
        },
        "tradeoff": tradeoff(words, advice, (setup.grip_m, setup.touch_m)),
        "trial": _on_trial(words, fit, now),
        "setup": {"grip_m": round(setup.grip_m, 6), "touch_m": round(setup.touch_m, 6)},
    }


def _length(key: str, label: Said, value_m: float, unit: str) -> dict[str, Text]:
    value = Said("length_bare", {"x_m": value_m})
    return {"key": key, "label": label, "value": value, "unit": unit}


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


def _warnings(tape: Tape, got: Assessment, out_of_reach: Text) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = [
        {"code": code, "field": field, "message": said} for field, code, said in tape.warnings()
    ]
    if tape.chest_arched is None:
        found.append({"code": "no_arch", "field": None, "message": Said("no_arch")})
    found += [
        {"code": f"limit_{limit.name}", "field": None, "message": limit.reason}
        for limit in got.limits
        if limit.broken
    ]
    if out_of_reach:
        found.append({"code": "present_out_of_reach", "field": "current_grip", "message": out_of_reach})
    return found


def doubt_in_words(found: PressDoubt) -> Doubt:
    """The 90 % intervals as texts by headline or measure key, and the tape number worth taking next."""
    texts: dict[str, Text] = {}
    for key, name in (
        ("grip", "grip_m"),
        ("touch", "touch_tape_m"),
        ("moment_arm", "touch_m"),
        ("range_of_motion", "range_of_motion_m"),
        ("lockout", "lockout_height_m"),
    ):
        interval = found.intervals[name]
        texts[key] = Said("between_lengths", {"low_m": interval.low, "high_m": interval.high})
    tuck = found.intervals["tuck_deg"]
    texts["tuck"] = Said("between_degrees", {"low": tuck.low, "high": tuck.high})
    further = found.next_measurement
    next_one = None
    if further:
        said = Said("next_measure", {"label": further.label, "how": further.how})
        next_one = (further.key, said, further.narrows)
    return Doubt(texts, Said("covers"), MODEL_OFF, next_one)
