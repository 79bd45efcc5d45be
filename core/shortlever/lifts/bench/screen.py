"""What the fit screen shows of a press: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.gear import RULEBOOKS
from shortlever.lifts.bench.advice import Suggestion, gain_of
from shortlever.lifts.bench.decision import decide
from shortlever.lifts.bench.doubt import Doubt as PressDoubt
from shortlever.lifts.bench.figure import BEAT_S, Caption, draw
from shortlever.lifts.bench.marks import marks_of
from shortlever.lifts.bench.measure import Assessment, assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.setting import Measured, that_can_be_set
from shortlever.lifts.bench.speed import bar_speeds
from shortlever.lifts.bench.tradeoff import tradeoff
from shortlever.lifts.bench.way import way_to
from shortlever.lifts.bench.words import MODEL_OFF, Words, length
from shortlever.lifts.lift import Doubt, Fit, taped
from shortlever.person.tape import Tape
from shortlever.say import Said, Text, in_row

PressFit = Fit[Press, Suggestion, Measured]


def screen(fit: PressFit) -> dict[str, Any]:
    """The parts of the fit screen."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    press, advice, got, setup = fit.case, fit.advice, fit.shown.got, fit.shown.setup
    words = Words(press, unit)
    now = fit.now.got if fit.now else None
    gained = gained_in_words(fit, words)
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
        "gain": gained,
        "reasons": [] if fit.picked else words.reasons(advice),
        "way": _way(fit, words, gained),
        "rests": rests_on(fit),
        "marks": words.marks(marks, got, tape.sex == "male"),
        "card": words.card(marks, got, "bench_height" in fit.reading.given),
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


def rests_on(fit: PressFit) -> list[Said]:
    """What the result rests on, in a few words each."""
    tape, chosen, bar = fit.reading.tape, fit.reading.chosen, fit.case.gear.bar
    assert tape is not None
    rings = Said("rests_rings", {"rings_m": bar.rings_m[0]}) if bar.rings_m else Said("rests_no_rings")
    return [
        Said("rests_rules", {"rules": RULEBOOKS[chosen["rules"]].label}),
        rings,
        Said(f"rests_comfort_{chosen['comfort']}"),
        Said("rests_flat") if tape.chest_arched is None else Said("rests_arched"),
        Said("rests_taped", {"count": taped(fit.reading)}),
    ]


def _way(fit: PressFit, words: Words, gained: dict[str, Any] | None) -> dict[str, Any] | None:
    """The steps from the present setup to the one shown, where it is worth going and takes more than one."""
    if fit.now is None or gained is None or gained["code"] in ("", "stay"):
        return None
    way = way_to(fit.case, fit.now.setup, fit.shown.setup, words.unit)
    if way is None:
        return None

    steps = []
    for after_days, setup in way.steps:
        ends = {"grip_m": setup.grip_m, "touch_m": fit.case.chest.tape_m(setup.touch_m)}
        parts = {"grip_m": round(setup.grip_m, 6), "touch_m": round(setup.touch_m, 6)}
        steps.append({"after_days": after_days, "parts": parts, "label": Said("way_step", ends)})
    return {"text": in_row([Said("way_how"), *way.feel, Said("way_end")]), "steps": steps}


def gained_in_words(fit: PressFit, words: Words) -> dict[str, Any] | None:
    """What is shown against the present setup; None where there is none."""
    if fit.now is None:
        return None
    got, now = fit.shown.got, fit.now.got
    gain = gain_of(fit.case, got, now)
    given = fit.reading.given
    decision = decide(
        got,
        now,
        gain,
        fit.advice.yardstick,
        grip_given="current_grip" in given,
        touch_given="current_touch" in given,
        picked=fit.picked,
    )
    return words.gain(got, now, gain, decision)


def _length(key: str, label: Said, value_m: float, unit: str) -> dict[str, Text]:
    value = Said("length_bare", {"x_m": value_m})
    return {"key": key, "label": label, "value": value, "unit": unit}


def _on_trial(words: Words, fit: PressFit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the one shown.

    They start from the same measure that placed the suggestion. None starts ahead of it: one that seems to is
    less away than rounding to what can be set costs, or breaks a limit, and is believed to be worth as much.
    """
    yardstick = fit.advice.yardstick
    setups = [fit.shown.got]
    suggested = that_can_be_set(fit.case, fit.advice.setup, words.unit)
    if suggested != fit.shown.setup:
        setups.insert(0, assess_press(fit.case, suggested))
    most = yardstick.of(setups[0])
    found: list[dict[str, object]] = []
    for setup in setups if now is None else [now, *setups]:
        index = yardstick.believed_index(min(yardstick.of(setup), most))
        candidate = words.candidate(setup, index, present=setup is now)
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
