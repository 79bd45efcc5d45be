"""One lifter of a team sheet fitted: the same setup, and the same words, as the fit screen gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from shortlever.errors import InfeasibleError, InputError, Told
from shortlever.fitting.fit import fit, measure_again
from shortlever.fitting.request import read_request
from shortlever.lifts import AnyLift
from shortlever.lifts.lift import Reading, Result
from shortlever.person.measure import read
from shortlever.person.tape import MEASURES
from shortlever.person.together import SIDE_KEYS
from shortlever.say import Said, Text, in_row
from shortlever.team.columns import SHEET_ONLY
from shortlever.team.rows import Row

RESTS = Result("rests", Said("result_rests"))
PROBLEM = Result("problem", Said("result_problem"))


def results_of(lift: AnyLift) -> tuple[Result, ...]:
    """Every result of a sheet of this lift, in order."""
    return (*lift.results, RESTS, PROBLEM)


@dataclass(frozen=True)
class Fitted:
    """What came out for one row: ``cells`` by the results' keys (numbers with a point) and ``setup``, its
    parts as a record keeps them, or ``errors``."""

    number: int
    name: Text
    cells: Mapping[str, Text]
    errors: tuple[Told, ...] = ()
    setup: Mapping[str, float] = field(default_factory=dict)

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
            "setup": dict(self.setup),
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
        fitted = fit(reading, row.request, with_frontier=False)
        rests = in_row(reading.lift.rests(fitted), "semicolon")
        cells = {**reading.lift.cells(fitted), RESTS.key: rests}
        return Fitted(row.number, row.name, cells, setup=reading.lift.parts_shown(fitted))
    except InfeasibleError as none:
        said = InputError("", "infeasible", "", none.said, measure_again(reading.lift))
        return _refused(row, (said.told(),))
    except InputError as wrong:
        return _refused(row, (wrong.told(),))


def check_row(row: Row) -> tuple[Mapping[str, Text], tuple[Told, ...]]:
    """How each number of a row was understood, by its key, and what is wrong with it; without fitting it."""
    reading, extra_errors = _read(row.request)
    return reading.understood, row.errors or (*reading.errors, *extra_errors)


def _refused(row: Row, errors: tuple[Told, ...]) -> Fitted:
    said = in_row([text for one in errors for text in (one["message"], one["remedy"])])
    return Fitted(row.number, row.name, {"problem": said}, errors)


def _read(request: Mapping[str, Any]) -> tuple[Reading, list[Told]]:
    """The request read, with the numbers that only a sheet can hold: thumb and single sides."""
    reading = read_request(request)
    unit, fields = request["unit"], request["fields"]
    extra: dict[str, Any] = {}
    errors: list[Told] = []
    for name in (*SHEET_ONLY, *(f"{side}.{key}" for side in ("left", "right") for key in SIDE_KEYS)):
        if name not in fields:
            continue
        side, _, key = name.rpartition(".")
        try:
            value = read(MEASURES[key], fields[name], unit)
        except InputError as wrong:
            errors.append({**wrong.told(), "field": name})
            continue
        if side:
            extra.setdefault(side, {})[key] = value
        else:
            extra[key] = value
    if extra and reading.tape is not None and not errors:
        try:
            reading.tape = replace(reading.tape, **extra)
        except InputError as wrong:
            errors.append(wrong.told())
    return reading, errors
