"""From what a person typed to what the screen says."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from shortlever.errors import InfeasibleError, InputError
from shortlever.fitting.fit import Fit, Measured, fit, preference_of, present_setup, press_of, that_can_be_set
from shortlever.fitting.request import Reading, read_request
from shortlever.jsontext import depth
from shortlever.lifts.bench.advice import gain_of, marks_of
from shortlever.lifts.bench.doubt import doubt_of
from shortlever.lifts.bench.measure import Assessment, assess_press
from shortlever.lifts.bench.speed import bar_speeds
from shortlever.person.tape import Tape
from shortlever.say.words import COVERS, Words, model_off
from shortlever.units import show_length
from shortlever.view import film, lifters, sets, team
from shortlever.view.figure import BEAT_S, Caption, draw
from shortlever.view.link import from_fragment, to_fragment
from shortlever.view.tradeoff import tradeoff

MAX_REQUEST, MAX_DEPTH = 30_000_000, 30  # characters, brackets inside brackets
DEEPEST = 20  # callers in a report: one that has no end still fits on a screen

# What other screens ask for: "NAME/…" as ``want`` goes to the function of that name.
FAMILIES: dict[str, Callable[[Mapping[str, Any]], dict[str, Any]]] = {
    "film": film.answer,
    "lifters": lifters.answer,
    "sets": sets.answer,
    "team": team.answer,
}


def example_request() -> dict[str, Any]:
    """The invented lifter Mara Feld of the invented gym Kalkwerk: the screen before anything is typed."""
    return {"unit": "cm", "fields": {"arm_length": "62", "shoulder_breadth": "39"}}


def answer(request_json: str) -> str:
    """Answer one request of the page, JSON text in and out; see ``respond``.

    Never raises: what goes wrong is in ``errors``.
    """
    try:
        if len(request_json) > MAX_REQUEST or depth(request_json) > MAX_DEPTH:
            raise ValueError("request too large")  # a deep one would end the browser's Python, not raise
        return _text(respond(json.loads(request_json)))
    except Exception as wrong:  # the last line of defence: a screen never shows a traceback
        problem = {
            "field": "",
            "code": "internal",
            "given": "",
            "message": f"This could not be computed ({type(wrong).__name__}).",
            "remedy": "Change a number and try again; what you typed is kept.",
        }
        return _text({**_refused([problem]), "report": _report(wrong)})


def _text(response: dict[str, Any]) -> str:
    return json.dumps(response, ensure_ascii=False, allow_nan=False)


def _report(wrong: Exception) -> dict[str, Any]:
    """For a developer: where an error arose. Never what it says, which may hold what was typed."""
    where: list[str] = []
    at = wrong.__traceback__
    while at is not None:
        code = at.tb_frame.f_code
        line = f":{at.tb_lineno}" if at.tb_lineno else ""  # the browser's byte code knows no lines
        where.append(f"{at.tb_frame.f_globals.get('__name__')}.{code.co_qualname}{line}")
        at = at.tb_next
    return {"kind": type(wrong).__name__, "where": where[-DEEPEST:]}


def _refused(errors: list[dict[str, str]], understood: dict[str, str] | None = None) -> dict[str, Any]:
    return {"ok": False, "errors": errors, "warnings": [], "reading": understood or {}}


def _done(understood: dict[str, str]) -> dict[str, Any]:
    return {"ok": True, "errors": [], "warnings": [], "reading": understood}


def respond(request: Any) -> dict[str, Any]:
    """The response object for a request object.

    ``{"unit": "cm" or "in", "fields": {key: typed text}}`` and, where they differ from the default, "rules",
    "bar", "comfort", "sex", "preference" (0 to 1) and "choice" ({"grip_m", "touch_m"}: a setup picked from
    the trade-off). ``"want"`` asks for something else than the setup: "doubt" for the 90 % intervals, which
    take longer; "link" for the request as a link's fragment; "open" with "fragment" for a link's request;
    "NAME/…" for what a function of ``FAMILIES`` answers.
    """
    want = request.get("want") if isinstance(request, Mapping) else None
    family = FAMILIES.get(str(want).partition("/")[0])
    if family is not None:
        return family(request)
    if want == "open":
        try:
            return {**_done({}), "request": from_fragment(str(request.get("fragment", "")))}
        except InputError as wrong:
            return _refused([wrong.plain()])
    reading = read_request(request)
    if reading.errors or reading.tape is None:
        return _refused(reading.errors, reading.understood)
    if want == "link":
        return {**_done(reading.understood), "fragment": to_fragment(request)}
    try:
        return _doubt(reading, request) if want == "doubt" else _setup(reading, request)
    except InputError as wrong:
        return _refused([wrong.plain()], reading.understood)
    except InfeasibleError as none:
        return _refused(
            [
                {
                    "field": "arm_length",
                    "code": "infeasible",
                    "given": reading.understood.get("arm_length", ""),
                    "message": none.reason,
                    "remedy": "Measure arm length and shoulder breadth again.",
                }
            ],
            reading.understood,
        )


def _setup(reading: Reading, request: Mapping[str, Any]) -> dict[str, Any]:
    assert reading.tape is not None
    unit = reading.unit
    fitted = fit(reading, request)
    press, advice, got, setup = fitted.press, fitted.advice, fitted.shown.got, fitted.shown.setup
    words = Words(press, unit)
    present, warnings = _present(fitted, reading.present)
    now = present.got if present else None
    gain = gain_of(press, got, now) if now else None
    speeds = bar_speeds(fitted.shown.rep)
    caption = Caption(
        moment_arm=words.length(got.moment_arm_m),
        stroke=words.length(got.range_of_motion_m),
        grip=f"{words.to_set(got.grip_m)} {unit}",
        title="Chosen bench press" if fitted.picked else "Suggested bench press",
        text=words.figure_text(got, now, speeds, BEAT_S),
    )
    views = draw(press, fitted.shown.rep, caption, present.rep if present else None, speeds)
    marks = marks_of(press, got)
    return {
        **_done(reading.understood),
        "warnings": [*_warnings(reading.tape, got), *warnings],
        "headline": _headline(words, got),
        "measures": [
            _number("moment_arm", "Moment arm at the chest", show_length(got.moment_arm_m, unit), unit),
            _number("range_of_motion", "Range of motion", show_length(got.range_of_motion_m, unit), unit),
        ],
        "gain": words.gain(got, now, gain) if now and gain else None,
        "reasons": [] if fitted.picked else words.reasons(advice),
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
        "trial": _on_trial(words, fitted, now),
        "setup": {"grip_m": round(setup.grip_m, 6), "touch_m": round(setup.touch_m, 6)},
        "chosen": fitted.picked,
        "example": dict(request) == example_request(),
    }


def _on_trial(words: Words, fitted: Fit, now: Assessment | None) -> list[dict[str, object]]:
    """What sets may decide between: the present setup where there is one, the suggestion, the one shown."""
    setups = [fitted.shown.got]
    suggested = that_can_be_set(fitted.press, fitted.advice.setup, words.unit)
    if suggested != fitted.shown.setup:
        setups.insert(0, assess_press(fitted.press, suggested))
    found = [] if now is None else [words.candidate(now, present=True)]
    for setup in setups:
        candidate = words.candidate(setup)
        if candidate["label"] not in [other["label"] for other in found]:
            found.append(candidate)
    return found


def _number(key: str, label: str, value: str, unit: str, note: str = "") -> dict[str, str]:
    return {"key": key, "label": label, "value": value, "unit": unit, **({"note": note} if note else {})}


def _headline(words: Words, got: Assessment) -> list[dict[str, str]]:
    return [
        _number("grip", "Grip", words.to_set(got.grip_m), words.unit, "at forefingers"),
        _number("touch", "Touch", words.to_set(got.touch_tape_m), words.unit, "below the notch"),
        _number("tuck", "Tuck", f"{got.tuck_deg:.0f}", "°", "arm to trunk"),
    ]


def _warnings(tape: Tape, got: Assessment) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = [
        {"code": code, "field": field, "message": message} for field, code, message in tape.warnings()
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
        {"code": f"limit_{limit.name}", "field": None, "message": limit.reason}
        for limit in got.limits
        if limit.broken
    ]
    return found


def _present(fitted: Fit, present: Mapping[str, float]) -> tuple[Measured | None, list[dict[str, Any]]]:
    """The present setup, where any of it is given, and what there is to say of it."""
    try:
        return present_setup(fitted, present), []
    except InfeasibleError as none:
        return None, [{"code": "present_out_of_reach", "field": "current_grip", "message": none.reason}]


def _doubt(reading: Reading, request: Mapping[str, Any]) -> dict[str, Any]:
    """The 90 % intervals as texts by headline or measure key, and the tape number worth taking next."""
    assert reading.tape is not None
    press = press_of(reading)
    unit = reading.unit
    found = doubt_of(press, reading.tape, preference_of(request))
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
    return {
        **_done(reading.understood),
        "intervals": texts,
        "covers": COVERS,
        "off": model_off(unit),
        "next": further
        and {
            "key": further.key,
            "message": f"{further.label} would narrow this most: {further.how}.",
            "narrows": round(further.narrows, 2),
        },
    }
