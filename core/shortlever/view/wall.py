"""The wall's questions: lifters on one bar and one rack, and lifters side by side.

- ``{"want": "wall/fit", "people": [{"id", "name", "request"}]}``: each one fitted: the setup's numbers,
  marks, places on gear (m), the rack card, a link's fragment; up to MOST_FITTED;
- ``{"want": "wall/draw", "unit", "people": [{"name", "spots": [{"gear", "at_m", "said"}]}]}``: the
  pictures of all of them, from what ``wall/fit`` said, with the usual ring marks;
- ``{"want": "wall/compare", "people": as for fit}``: two to MOST_COMPARED of them in one table, and what
  differs from the first one in words.

Nothing is remembered between questions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.draw.wall import Line, Spot, along, up
from shortlever.errors import InfeasibleError, InputError, Told
from shortlever.fitting.fit import AnyFit, fit, measure_again
from shortlever.fitting.request import read_request
from shortlever.gear import BARS
from shortlever.lifts.lift import MORE
from shortlever.person.tape import MEASURES, Tape
from shortlever.say import InUnit, Said, Text, in_row
from shortlever.view.doors import Doors
from shortlever.view.link import to_fragment

MOST_FITTED, MOST_COMPARED, MOST_ON_WALL = 8, 6, 400
TELLING_M, TELLING_KG = 0.012, 3.0  # two tape numbers of 5 mm error (1 SD) differ by less in 9 of 10 cases
DIFFERENCES_TOLD = 3
LONGEST_M = {"bar": 0.75, "floor": 0.6, "hooks": 1.2}  # the least that is drawn


@dataclass(frozen=True)
class Person:
    """One who was asked for: fitted, or why not."""

    key: str
    name: str
    unit: str
    request: Mapping[str, Any]
    fit: AnyFit | None
    errors: tuple[Told, ...] = ()


def _people(request: Mapping[str, Any], most: int) -> list[Person]:
    asked = request.get("people")
    rows = asked[:most] if isinstance(asked, Sequence) and not isinstance(asked, str) else ()
    return [_person(row) for row in rows if isinstance(row, Mapping)]


def _person(row: Mapping[str, Any]) -> Person:
    request = row.get("request")
    reading = read_request(request)
    key, name = str(row.get("id", "")), str(row.get("name", ""))
    if reading.errors or not isinstance(request, Mapping):
        return Person(key, name, reading.unit, {}, None, tuple(reading.errors))
    try:
        return Person(key, name, reading.unit, request, fit(reading, request))
    except InputError as wrong:
        problem = wrong
    except InfeasibleError as none:
        problem = InputError("", "infeasible", "", none.said, measure_again(reading.lift))
    return Person(key, name, reading.unit, request, None, (problem.told(),))


def _fit(request: Mapping[str, Any]) -> dict[str, Any]:
    return {"people": [_told(one) for one in _people(request, MOST_FITTED)]}


def _told(one: Person) -> dict[str, Any]:
    whose: dict[str, Any] = {"id": one.key, "name": one.name, "ok": one.fit is not None}
    if one.fit is None:
        return whose | {"errors": InUnit(one.unit, list(one.errors))}
    lift = one.fit.reading.lift
    shown = {**MORE, **lift.screen(one.fit)}
    spots = [{"gear": spot.gear, "at_m": spot.at_m, "said": spot.said} for spot in lift.spots(one.fit)]
    return whose | _in_unit(
        one.unit,
        {
            "errors": [],
            "headline": shown["headline"],
            "marks": shown["marks"],
            "card": shown["card"],
            "spots": spots,
            "fragment": to_fragment(one.request, one.key),
        },
    )


def _in_unit(unit: str, parts: Mapping[str, Any]) -> dict[str, Any]:
    """Each part said in a unit of its own."""
    return {key: InUnit(unit, value) for key, value in parts.items()}


def _draw(request: Mapping[str, Any]) -> dict[str, Any]:
    by_gear: dict[str, list[Spot]] = {}
    asked = request.get("people")
    for row in asked[:MOST_ON_WALL] if isinstance(asked, list) else ():
        for spot in row.get("spots", ()) if isinstance(row, Mapping) else ():
            at = spot.get("at_m")
            if spot.get("gear") in LONGEST_M and isinstance(at, int | float) and 0 <= at < 3:
                named = Spot(str(row.get("name", "")), float(at), str(spot.get("said", "")))
                by_gear.setdefault(str(spot["gear"]), []).append(named)
    rings = sorted({apart for bar in BARS.values() for apart in bar.rings_m})
    lines = [Line(apart / 2, Said("wall_ring", {"rings_m": apart})) for apart in rings]
    return {"pictures": [_picture(gear, by_gear[gear], lines) for gear in LONGEST_M if gear in by_gear]}


def _picture(gear: str, spots: Sequence[Spot], lines: Sequence[Line]) -> dict[str, Any]:
    title = Said(f"wall_{gear}")
    places = [Said("wall_place", {"name": one.name, "said": one.said}) for one in spots]
    said = Said(f"wall_{gear}_said", {"places": in_row(places)})
    to_m = max(LONGEST_M[gear], *(1.1 * one.at_m for one in spots))
    if gear == "hooks":
        return {"gear": gear, "title": title, "svg": up(f"wall-{gear}", title, said, spots, to_m)}
    own = lines if gear == "bar" else ()
    return {"gear": gear, "title": title, "svg": along(f"wall-{gear}", title, said, spots, own, to_m)}


def _compare(request: Mapping[str, Any]) -> dict[str, Any]:
    people = [one for one in _people(request, MOST_COMPARED) if one.fit]
    if len(people) < 2:
        remedy = Said("wall_nobody_remedy", {"most": MOST_COMPARED})
        raise InputError("people", "missing", "", Said("wall_nobody"), remedy)
    shown = [one.fit.reading.lift.screen(one.fit) for one in people if one.fit]
    numbers = [{item["key"]: item for item in [*each["headline"], *each["measures"]]} for each in shown]
    labels = {key: item["label"] for each in reversed(numbers) for key, item in each.items()}
    order = [key for each in numbers for key in each]
    rows = [
        {
            "label": labels[key],
            "cells": [
                {"value": each[key]["value"], "unit": each[key]["unit"]} if key in each else None
                for each in numbers
            ],
        }
        for key in dict.fromkeys(order)
    ]
    return {
        "people": [{"id": one.key, "name": one.name} for one in people],
        "rows": rows,
        "told": [_against(one, people[0]) for one in people[1:]],
        "views": [each["figure"]["views"][0] | {"rows": []} for each in shown],
    }


def _against(one: Person, other: Person) -> Text:
    """What differs between two people's tapes, and what between their setups."""
    assert one.fit and other.fit and one.fit.reading.tape and other.fit.reading.tape
    names = {"name": one.name, "other": other.name}
    differences = tape_differences(one.fit.reading.tape, other.fit.reading.tape)
    said: list[Text] = [
        Said("compare_taped", names | {"differences": in_row(differences, "comma")})
        if differences
        else Said("compare_alike", names)
    ]
    there = {spot.gear: spot.said for spot in other.fit.reading.lift.spots(other.fit)}
    changes = [
        Said("compare_set", {"here": spot.said, "there": there[spot.gear]})
        for spot in one.fit.reading.lift.spots(one.fit)
        if spot.gear in there and there[spot.gear] != spot.said
    ]
    if changes:
        said.append(Said("compare_set_as", {"changes": in_row(changes, "comma")}))
    return in_row(said)


def tape_differences(one: Tape, other: Tape) -> list[Said]:
    """The numbers that both tapes hold and that differ by more than taping again might, largest share first.

    >>> wide, narrow = (Tape(arm_length=0.66, shoulder_breadth=b) for b in (0.45, 0.41))
    >>> [said.code for said in tape_differences(wide, narrow)]
    ['compare_more']
    """
    here, there = one.given(), other.given()
    found: list[tuple[float, Said]] = []
    for key in here.keys() & there.keys():
        m, by = MEASURES[key], here[key] - there[key]
        if abs(by) < (TELLING_KG if m.kind == "mass" else TELLING_M):
            continue
        size = {"x_kg" if m.kind == "mass" else "x_m": abs(by)}
        said = Said(
            "compare_more" if by > 0 else "compare_less",
            {"label": m.label, "by": Said("compare_mass" if m.kind == "mass" else "length", size)},
        )
        found.append((-abs(by) / there[key], said))
    return [said for _, said in sorted(found, key=lambda item: item[0])[:DIFFERENCES_TOLD]]


DOORS: Doors = {"wall/fit": _fit, "wall/draw": _draw, "wall/compare": _compare}
