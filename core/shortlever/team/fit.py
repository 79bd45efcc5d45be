"""One lifter of a team sheet fitted: the same setup, and the same words, as the fit screen gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from shortlever.errors import InfeasibleError, InputError
from shortlever.fitting.fit import Fit, fit, present_setup
from shortlever.fitting.request import Reading, read_request
from shortlever.lifts.bench.advice import gain_of, marks_of
from shortlever.lifts.bench.measure import Assessment
from shortlever.person.tape import SIDE_KEYS, Tape, read_measure
from shortlever.say.words import Words
from shortlever.team.rows import Row
from shortlever.units import show_length

# Every result: key, header, and whether the unit of length follows it. Those of words come last.
RESULTS = (
    ("grip", "Setup: grip between the forefingers", True),
    ("touch", "Setup: touch below the breastbone notch", True),
    ("tuck", "Setup: tuck (degrees)", False),
    ("moment_arm", "Setup: moment arm at the chest", True),
    ("range_of_motion", "Setup: range of motion", True),
    ("rack_above_pad", "Setup: bar above the pad at lockout", True),
    ("rack_above_floor", "Setup: bar above the floor at lockout", True),
    ("ring", "Setup: forefingers", False),
    ("gain", "Setup: against the present one", False),
    ("why", "Setup: why", False),
    ("notes", "Setup: notes", False),
    ("problem", "Setup: what to put right", False),
)


@dataclass(frozen=True)
class Fitted:
    """What came out for one row: ``cells`` by the keys of RESULTS (numbers with a point), or ``errors``."""

    number: int
    name: str
    cells: dict[str, str]
    errors: tuple[dict[str, str], ...] = ()

    @property
    def ok(self) -> bool:
        """Whether there is a setup."""
        return not self.errors

    def plain(self) -> dict[str, Any]:
        """The result as an object that can travel as JSON."""
        return {
            "row": self.number,
            "name": self.name,
            "ok": self.ok,
            "cells": self.cells,
            "errors": list(self.errors),
        }


def fit_row(row: Row) -> Fitted:
    """The setup for one row. Never raises for what stands in the row: see ``errors``."""
    if row.errors:
        return _refused(row, row.errors)
    reading, extra_errors = _read(row.request)
    errors = [*reading.errors, *extra_errors]
    if errors or reading.tape is None:
        return _refused(row, tuple(errors))
    try:
        return Fitted(row.number, row.name, _cells(reading, row.request))
    except InfeasibleError as none:
        said = InputError("", "infeasible", "", none.reason, "Measure arm length and shoulder breadth again.")
        return _refused(row, (said.plain(),))
    except InputError as wrong:
        return _refused(row, (wrong.plain(),))


def check_row(row: Row) -> tuple[dict[str, str], tuple[dict[str, str], ...]]:
    """How each number of a row was understood, by its key, and what is wrong with it; without fitting it."""
    reading, extra_errors = _read(row.request)
    return reading.understood, row.errors or (*reading.errors, *extra_errors)


def _refused(row: Row, errors: tuple[dict[str, str], ...]) -> Fitted:
    said = " ".join(f"{e['message']} {e['remedy']}" for e in errors)
    return Fitted(row.number, row.name, {"problem": said}, errors)


def _read(request: Mapping[str, Any]) -> tuple[Reading, list[dict[str, str]]]:
    """The request read, with the numbers that only a sheet can hold: thumb and single sides."""
    reading = read_request(request)
    unit, fields = request["unit"], request["fields"]
    extra: dict[str, Any] = {}
    errors: list[dict[str, str]] = []
    for name in ("thumb_length", *(f"{side}.{key}" for side in ("left", "right") for key in SIDE_KEYS)):
        if name not in fields:
            continue
        side, _, key = name.rpartition(".")
        try:
            value = read_measure(key, fields[name], unit)
        except InputError as wrong:
            errors.append(wrong.plain() | {"field": name})
            continue
        if side:
            extra.setdefault(side, {})[key] = value
        else:
            extra[key] = value
    if extra and reading.tape is not None and not errors:
        try:
            reading.tape = replace(reading.tape, **extra)
        except InputError as wrong:
            errors.append(wrong.plain())
    return reading, errors


def _cells(reading: Reading, request: Mapping[str, Any]) -> dict[str, str]:
    tape, unit = reading.tape, reading.unit
    assert tape is not None
    fitted = fit(reading, request, with_frontier=False)
    press, advice, got = fitted.press, fitted.advice, fitted.shown.got
    words = Words(press, unit)
    gain, apart = _against(fitted, words, reading.present)
    return {
        "grip": words.to_set(got.grip_m),
        "touch": words.to_set(got.touch_tape_m),
        "tuck": f"{got.tuck_deg:.0f}",
        "moment_arm": show_length(got.moment_arm_m, unit),
        "range_of_motion": show_length(got.range_of_motion_m, unit),
        "rack_above_pad": show_length(got.lockout_height_m, unit),
        "rack_above_floor": show_length(got.rack_height_above_floor_m, unit),
        "ring": words.marks(marks_of(press, got).fingers_from_ring, got)[0]["text"],
        "gain": gain,
        "why": " ".join(reason["message"] for reason in words.reasons(advice)),
        "notes": " ".join([*_notes(tape, got), *apart]),
    }


def _notes(tape: Tape, got: Assessment) -> list[str]:
    notes = [message for _, _, message in tape.warnings()]
    if tape.chest_arched is None:
        notes.append("Computed lying flat.")
    return notes + [limit.reason for limit in got.limits if limit.broken]


def _against(fitted: Fit, words: Words, present: Mapping[str, float]) -> tuple[str, list[str]]:
    """The setup against the present one, where that is given."""
    try:
        now = present_setup(fitted, present)
    except InfeasibleError as none:
        return "", [none.reason]
    if now is None:
        return "", []
    got = fitted.shown.got
    return str(words.gain(got, now.got, gain_of(fitted.press, got, now.got))["text"]), []
