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
from shortlever.lifts.bench.words import COVERS, Words, model_off
from shortlever.lifts.lift import Doubt, Fit
from shortlever.person.tape import Tape
from shortlever.say import Said
from shortlever.units import show_length

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
        "gain": gained,
        "reasons": [] if fit.picked else words.reasons(advice),
        "way": _way(fit, words, gained),
        "rests": [one.in_unit(unit) for one in rests_on(fit)],
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


def rests_on(fit: PressFit) -> list[Said]:
    """What the result rests on, in a few words each."""
    tape, chosen, bar = fit.reading.tape, fit.reading.chosen, fit.case.gear.bar
    assert tape is not None
    taped = [one.key for one in fit.reading.lift.fields if getattr(tape, one.key, None) is not None]
    rings = Said("rests_rings", {"rings_m": bar.rings_m[0]}) if bar.rings_m else Said("rests_no_rings")
    return [
        Said("rests_rules", {"rules": RULEBOOKS[chosen["rules"]].label}),
        rings,
        Said(f"rests_comfort_{chosen['comfort']}"),
        Said("rests_flat") if tape.chest_arched is None else Said("rests_arched"),
        Said("rests_taped", {"count": len(taped)}),
    ]


def _way(fit: PressFit, words: Words, gained: dict[str, object] | None) -> dict[str, Any] | None:
    """The steps from the present setup to the one shown, where it is worth going and takes more than one."""
    if fit.now is None or gained is None or gained["code"] == "stay":
        return None
    way = way_to(fit.case, fit.now.setup, fit.shown.setup, words.unit)
    if way is None:
        return None

    def said(*all_of: Said) -> str:
        return " ".join(one.in_unit(words.unit) for one in all_of)

    steps = []
    for after_days, setup in way.steps:
        ends = {"grip_m": setup.grip_m, "touch_m": fit.case.chest.tape_m(setup.touch_m)}
        parts = {"grip_m": round(setup.grip_m, 6), "touch_m": round(setup.touch_m, 6)}
        steps.append({"after_days": after_days, "parts": parts, "label": said(Said("way_step", ends))})
    return {"text": said(Said("way_how"), *way.feel, Said("way_end")), "steps": steps}


def gained_in_words(fit: PressFit, words: Words) -> dict[str, object] | None:
    """What is shown against the present setup; None where there is none."""
    if fit.now is None:
        return None
    got, now = fit.shown.got, fit.now.got
    gain = gain_of(fit.case, got, now)
    given = ("current_grip" in fit.reading.given, "current_touch" in fit.reading.given)
    return words.gain(got, now, gain, decide(got, now, gain, fit.advice.yardstick, *given))


def _number(key: str, label: str, value: str, unit: str, note: str = "") -> dict[str, str]:
    return {"key": key, "label": label, "value": value, "unit": unit, **({"note": note} if note else {})}


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
