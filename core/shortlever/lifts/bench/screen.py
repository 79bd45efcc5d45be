"""What the fit screen shows of a press: see ``shortlever.lifts.lift.SCREEN``."""

from __future__ import annotations

from typing import Any

from shortlever.gear import RULEBOOKS
from shortlever.lifts.bench.advice import Suggestion, gain_of
from shortlever.lifts.bench.decision import decide
from shortlever.lifts.bench.figure import BEAT_S, Caption, draw
from shortlever.lifts.bench.marks import marks_of
from shortlever.lifts.bench.measure import Assessment, assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.setting import Measured, that_can_be_set
from shortlever.lifts.bench.speed import bar_speeds
from shortlever.lifts.bench.tradeoff import tradeoff
from shortlever.lifts.bench.way import way_to
from shortlever.lifts.bench.words import MODEL_OFF, Words
from shortlever.lifts.interval import Spread
from shortlever.lifts.lift import Doubt, Fit, taped
from shortlever.lifts.shown import (
    angle_number,
    broken_of,
    degrees,
    doubt_in_words,
    length,
    length_number,
    odd_of,
    told_apart,
)
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
        tuck=degrees(got.tuck_deg),
        title=Said("figure_chosen" if fit.picked else "figure_suggested"),
        text=words.figure_text(got, now, speeds, BEAT_S),
    )
    views = draw(press, fit.shown.rep, caption, fit.now.rep if fit.now else None, speeds)
    marks = marks_of(press, got)
    return {
        "warnings": _warnings(tape, got, fit.out_of_reach),
        "headline": [
            length_number("grip", Said("head_grip"), words.set_m(got.grip_m), unit)
            | {"note": Said("head_grip_note")},
            length_number("touch", Said("head_touch"), words.set_m(got.touch_tape_m), unit)
            | {"note": Said("head_touch_note")},
            angle_number("tuck", Said("head_tuck"), got.tuck_deg) | {"note": Said("head_tuck_note")},
        ],
        "measures": [
            length_number("moment_arm", Said("row_moment_arm"), got.moment_arm_m, unit),
            length_number("range_of_motion", Said("row_range_of_motion"), got.range_of_motion_m, unit),
        ],
        "gain": gained,
        "reasons": [] if fit.picked else [one.told() for one in advice.binding],
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


def bar_way(fit: PressFit) -> tuple[float, dict[str, str]]:
    """See ``Lift.bar_way``."""
    return fit.shown.got.range_of_motion_m, {}


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
    everyone = setups if now is None else [now, *setups]
    indices = [yardstick.believed_index(min(yardstick.of(one), most)) for one in everyone]
    return told_apart(
        words.candidate(one, index, present=one is now) for one, index in zip(everyone, indices, strict=True)
    )


def _warnings(tape: Tape, got: Assessment, out_of_reach: Text) -> list[dict[str, Any]]:
    found = odd_of(tape)
    if tape.chest_arched is None:
        found.append({"code": "no_arch", "field": None, "message": Said("no_arch")})
    return found + broken_of(got.limits, out_of_reach, "current_grip")


LENGTHS = {
    "grip": "grip_m",
    "touch": "touch_tape_m",
    "moment_arm": "touch_m",
    "range_of_motion": "range_of_motion_m",
    "lockout": "lockout_height_m",
}


def in_words(found: Spread) -> Doubt:
    """See ``doubt_in_words``."""
    return doubt_in_words(found, LENGTHS, {"tuck": "tuck_deg"}, Said("covers"), MODEL_OFF)
