"""From what a person typed to what the screen says."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from functools import partial
from typing import Any

from shortlever.errors import InfeasibleError, InputError, LiftAway
from shortlever.fitting.fit import AnyFit, doubt, fit, measure_again
from shortlever.fitting.request import begins, numbers_of, read_request
from shortlever.jsontext import depth
from shortlever.lifts import LIFTS, UNNAMED
from shortlever.lifts.lift import MORE, Reading
from shortlever.say import ENGLISH, Language, Said, Text, Voice, in_row
from shortlever.units import DEGREE
from shortlever.view import build, film, lifters, sets, team, wall
from shortlever.view.doors import Door, through
from shortlever.view.link import from_fragment, to_fragment

MAX_REQUEST, MAX_DEPTH = 30_000_000, 30  # characters, brackets inside brackets
DEEPEST = 20  # callers in a report: one that has no end still fits on a screen

# What other screens ask for: "NAME/…" as ``want`` goes to the function of that name.
FAMILIES: dict[str, Door] = {
    "build": lambda request: build.sheet(request, lambda reading, asked: _shown(fit(reading, asked))),
    "film": film.answer,
    "lifters": partial(through, lifters.DOORS),
    "sets": sets.answer,
    "team": partial(through, team.DOORS),
    "wall": partial(through, wall.DOORS),
}


def example_request(lift: str = UNNAMED) -> dict[str, Any]:
    """The invented lifter of a lift: the screen before anything is typed."""
    named = {} if lift == UNNAMED else {"lift": lift}
    return {"unit": "cm", "fields": dict(LIFTS[lift].example)} | named


def answer(request_json: str, language: Language = ENGLISH) -> str:
    """Answer one request of the page, JSON text in and out; see ``respond``. Said in the unit of the request.

    Never raises: what goes wrong is in ``errors``. But for ``LiftAway``, in a browser that has yet to fetch a
    lift: then the same is asked again.
    """
    voice = Voice(language)
    try:
        if len(request_json) > MAX_REQUEST or depth(request_json) > MAX_DEPTH:
            raise ValueError("request too large")  # a deep one would end the browser's Python, not raise
        request = json.loads(request_json)
        voice = Voice(language, unit_of(request))
        return _text(voice.all(respond(request)))
    except LiftAway:
        raise
    except Exception as wrong:  # the last line of defence: a screen never shows a traceback
        kind = type(wrong).__name__
        problem = InputError(
            "", "internal", "", Said("internal_error", {"kind": kind}), Said("internal_error_remedy")
        )
        return _text(voice.all({**_refused([problem.told()]), "report": _report(wrong)}))


def _text(response: dict[str, Any]) -> str:
    return json.dumps(response, ensure_ascii=False, allow_nan=False)


def unit_of(request: Any) -> str:
    """The unit that a request asks to be answered in."""
    unit = request.get("unit") if isinstance(request, Mapping) else None
    return "in" if unit in ("in", "lb") else "cm"


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


def _refused(
    errors: Sequence[Mapping[str, Text]], understood: Mapping[str, Text] | None = None
) -> dict[str, Any]:
    return {"ok": False, "errors": errors, "warnings": [], "reading": understood or {}}


def _done(understood: Mapping[str, Text]) -> dict[str, Any]:
    return {"ok": True, "errors": [], "warnings": [], "reading": understood}


def respond(request: Any) -> dict[str, Any]:
    """The response object for a request object, its sentences still to be said.

    ``{"unit": "cm" or "in", "fields": {key: typed text}}`` and, where they differ from the default, "lift",
    the choices of its form by their keys, "preference" (0 to 1) and "choice" (the parts of a setup picked
    from the trade-off, m). ``"want"`` asks for something else than the setup: "doubt" for the 90 % intervals,
    which take longer; "feel" for setups to go between with a finger; "link" for the request as a link's
    fragment; "open" with "fragment" for a link's request; "NAME/…" for what a function of ``FAMILIES``
    answers.
    """
    want = request.get("want") if isinstance(request, Mapping) else None
    family = FAMILIES.get(str(want).partition("/")[0])
    if family is not None:
        return family(request)
    if want == "open":
        try:
            return {**_done({}), "request": from_fragment(str(request.get("fragment", "")))}
        except InputError as wrong:
            return _refused([wrong.told()])
    reading = read_request(request)
    if reading.errors or reading.tape is None:
        return {**_refused(reading.errors, reading.understood), **_typed(reading)}
    if want == "link":
        return {**_done(reading.understood), "fragment": to_fragment(request)}
    try:
        return {"doubt": _doubt, "feel": _feel}.get(str(want), _setup)(reading, request)
    except InputError as wrong:
        return _refused([wrong.told()], reading.understood)
    except InfeasibleError as none:
        return _refused([_no_setup(reading, none)], reading.understood)


def _typed(reading: Reading, shown: Mapping[str, float] | None = None) -> dict[str, Any]:
    """The numbers that were read, and where a stepper begins in the fields that are empty."""
    return {"numbers": numbers_of(reading), "begin": begins(reading, shown)}


def _no_setup(reading: Reading, none: InfeasibleError) -> Mapping[str, Text]:
    first = reading.lift.required[0].key
    given = reading.understood.get(first, "")
    return InputError(first, "infeasible", given, none.said, measure_again(reading.lift)).told()


def _shown(fitted: AnyFit) -> dict[str, Any]:
    """What the lift shows, with all parts."""
    shown = {**MORE, **fitted.reading.lift.screen(fitted)}
    return {**shown, "card": shown["card"] or _card_of(shown), "chosen": fitted.picked}


def _setup(reading: Reading, request: Mapping[str, Any]) -> dict[str, Any]:
    fitted = fit(reading, request)
    return {
        **_done(reading.understood),
        **_typed(reading, reading.lift.as_present(fitted.shown)),
        **_shown(fitted),
        "example": dict(request) == example_request(reading.lift.key),
    }


def _card_of(shown: Mapping[str, Any]) -> dict[str, Any]:
    """The rack card of a lift that has none of its own: its setup and its marks."""
    how = {one["key"]: one["text"] for one in shown["marks"]}
    lines = [
        {
            "key": one["key"],
            "label": one["label"],
            "value": in_row([one["value"], one["unit"]], "nothing" if one["unit"] == DEGREE else "space"),
            "text": how.pop(one["key"], one.get("note", "")),
        }
        for one in shown["headline"]
    ]
    left = [one for one in shown["marks"] if one["key"] in how]
    marks = [{"key": one["key"], "label": one["label"], "value": "", "text": one["text"]} for one in left]
    return {"svg": "", "lines": lines + marks}


def _doubt(reading: Reading, request: Mapping[str, Any]) -> dict[str, Any]:
    """The 90 % intervals, and the tape number worth taking next."""
    found = doubt(reading, request)
    key, message, narrows = found.further or ("", "", 0.0)
    return {
        **_done(reading.understood),
        "intervals": found.intervals,
        "covers": found.covers,
        "off": found.off,
        "next": {"key": key, "message": message, "narrows": round(narrows, 2)} if key else None,
    }


def _feel(reading: Reading, request: Mapping[str, Any]) -> dict[str, Any]:
    """The grid of setups for a finger: axes, handles, numbers, and the points as lists in the axes' order, in
    each drawing only with what moves."""
    found = reading.lift.feel(fit(reading, request, with_frontier=False))
    if found is None:
        return {**_done(reading.understood), "feel": None}
    still = {
        view: {part for part in parts if all(one.places[view][part] == parts[part] for one in found.points)}
        for view, parts in found.points[0].places.items()
    }
    grid = {
        "axes": [dict(vars(one)) for one in found.axes],
        "handles": [asdict(one) for one in found.handles],
        "numbers": [{"key": one.key, "label": one.label, "kind": one.kind} for one in found.numbers],
        "points": [
            {
                "parts": {key: round(value, 5) for key, value in one.parts.items()},
                "numbers": {key: round(value, 5) for key, value in one.numbers.items()},
                "places": {
                    view: {part: where for part, where in parts.items() if part not in still[view]}
                    for view, parts in one.places.items()
                },
            }
            for one in found.points
        ],
    }
    return {**_done(reading.understood), "feel": grid}
