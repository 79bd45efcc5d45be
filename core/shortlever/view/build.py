"""All lifts of one lifter on one page: what the tape says of the build, and a setup for each lift.

``{"want": "build/sheet", "unit", "fields", the choices of all lifts by their keys, "of": {lift: {"choice",
"preference"}}}``: every lift reads of it what its own form knows. Nothing is ranked, and nothing promised.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from shortlever.errors import InfeasibleError, InputError
from shortlever.fitting.fit import fit
from shortlever.fitting.request import read_request
from shortlever.lifts import LIFTS
from shortlever.lifts.lift import AnyLift, Reading
from shortlever.person.build import Trait, build_of
from shortlever.person.tape import MEASURES, Tape
from shortlever.say import Said, Text, in_row

Show = Callable[[Reading, Mapping[str, Any]], dict[str, Any]]
KEPT = (
    "stature",
    "body_mass",
    "sex",
    "chest_arched",
    "knee_to_wall",
)  # no length of bones, or what they are by
MOST_OF_100 = 99  # nobody is longer than everybody


def sheet(request: Mapping[str, Any], show: Show) -> dict[str, Any]:
    """The response object. ``show``: what the fit screen shows of a reading without errors."""
    found = {key: _of_lift(lift, request, show) for key, lift in LIFTS.items()}
    tape = _whole([reading.tape for reading, _ in found.values() if reading.tape])
    traits = build_of(tape) if tape else []
    means = [said for lift in LIFTS.values() for said in _means(lift, traits)]
    if traits and not any(one.word for one in traits):
        means = [Said("build_none_out")]
    return {
        "ok": True,
        "errors": [],
        "warnings": [],
        "people": _people(tape),
        "build": [_trait(one) for one in traits],
        "means": means,
        "note": Said("build_note"),
        "lifts": [shown for _, shown in found.values()],
    }


def _of_lift(lift: AnyLift, request: Mapping[str, Any], show: Show) -> tuple[Reading, dict[str, Any]]:
    """What one lift reads of the request, and what is shown of it; what is still missing where it is not."""
    more = request.get("of")
    own = more.get(lift.key) if isinstance(more, Mapping) else None
    chosen = {  # a choice of that name may have other options in another lift
        one.key: request[one.key] for one in lift.choices if request.get(one.key) in one.options
    }
    asked = {"unit": request.get("unit"), "fields": request.get("fields"), "lift": lift.key, **chosen}
    asked |= own if isinstance(own, Mapping) else {}
    reading = read_request(asked)
    shown: dict[str, Any] = {"key": lift.key, "name": lift.name, "missing": "", "setup": None, "middle": ""}
    if reading.errors or reading.tape is None:
        shown["missing"] = in_row([wrong["message"] for wrong in reading.errors])
        return reading, shown
    try:
        setup = show(reading, asked)
    except InfeasibleError as none:
        return reading, shown | {"missing": none.said}
    except InputError as wrong:
        return reading, shown | {"missing": wrong.told()["message"]}
    parts = {key: setup[key] for key in ("headline", "card", "gain", "rests")}
    return reading, shown | {"setup": parts, "middle": _middle(reading)}


def _middle(reading: Reading) -> Text:
    """The stroke of what is suggested, beside that of one of the same stature, weight and sex whose lengths
    are the tables'."""
    lift, tape = reading.lift, reading.tape
    assert tape is not None
    if tape.stature is None:
        return ""
    given = {key: value for key, value in reading.given.items() if not key.startswith("current_")}
    other = Tape(**{key: getattr(tape, key) for key in KEPT})
    try:
        mine = lift.bar_way(fit(replace(reading, given=given), {}, with_frontier=False))
        if mine is None:
            return ""
        alike = replace(reading, tape=other, given=given, chosen={**reading.chosen, **mine[1]})
        theirs = lift.bar_way(fit(alike, {}, with_frontier=False))
    except (InfeasibleError, InputError):
        return ""
    return Said("build_stroke", {"mine_m": mine[0], "middle_m": theirs[0]}) if theirs else ""


def _whole(tapes: list[Tape]) -> Tape | None:
    """One tape of all that the lifts' forms read, each a part of it; None where it is of no body."""
    if not tapes:
        return None
    values: dict[str, Any] = {}
    for tape in tapes:
        values |= {key: value for key in (*MEASURES, "sex") if (value := getattr(tape, key)) is not None}
    try:
        return Tape(**values)
    except InputError:
        return None


def _people(tape: Tape | None) -> Text:
    if tape is None or tape.stature is None:
        return Said("build_no_stature")
    return Said(f"build_people_{tape.sex or 'both'}", {"stature_m": tape.stature})


def _trait(one: Trait) -> dict[str, Text]:
    of_100 = min(max(round(100 * one.below), 100 - MOST_OF_100), MOST_OF_100)
    told = {"low_m": one.low_m, "high_m": one.high_m, "of": of_100}
    return {
        "key": one.key,
        "label": Said(f"build_{one.key}"),
        "value": Said("length", {"x_m": one.length_m}),
        "text": Said("build_among", told),
    }


def _means(lift: AnyLift, traits: list[Trait]) -> list[Said]:
    """What the short and the long of it mean for one lift."""
    return [lift.build[one.key][one.word == "long"] for one in traits if one.word and one.key in lift.build]
