"""One lifter's record, looked at part by part: the first fault is told with its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any

from shortlever.errors import InputError
from shortlever.trials import from_json

VERSION = 1
GUEST = "guest"  # the id of nobody; never in a file
LONGEST_NAME, LONGEST_TEXT, LONGEST_FIELD, MOST_ITEMS = 60, 1_000_000, 200, 5000
UNITS = ("cm", "in")
DEEPEST_ITEM = 12
MADE_ANEW = "Take an older copy of the file, or export it again from the device that has the lifters."

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
_KEY = re.compile(r"(left\.|right\.)?[a-z][a-z0-9_]{0,39}")  # of one side: left.arm_length
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|[+-]\d\d:\d\d)")


def fault(place: str, given: object, message: str) -> InputError:
    """The error for one place of a file, such as ``lifters[2].tapes[0].date``."""
    shown = given if isinstance(given, str) else repr(given)
    shown = shown[:40].encode("utf-8", "replace").decode()
    said = f"{place} is “{shown}”, which {message}."
    return InputError(place, "damaged", shown, said, MADE_ANEW)


def check(record: object, place: str) -> dict[str, Any]:
    """The record itself where every part of it is sound; else InputError with the first fault's place."""
    found = _object(record, place)
    for name, part in PARTS.items():
        if name not in found:
            raise InputError(place, "missing", name, f"{place} has no part “{name}”.", MADE_ANEW)
        part(found[name], f"{place}.{name}")
    for name, value in found.items():
        if name not in PARTS:
            check_key(name, place)
            plain(value, f"{place}.{name}")  # of a later edition of this version: carried along
    return found


# ---- what a part may be

Check = Callable[[Any, str], object]


def text(value: object, place: str, most: int = LONGEST_TEXT) -> str:
    if not isinstance(value, str):
        raise fault(place, value, "is no text")
    if len(value) > most:
        raise fault(place, value, f"is longer than {most} characters")
    if any("\ud800" <= letter <= "\udfff" for letter in value):
        raise fault(place, value, "holds half a character")
    return value


def plain(value: object, place: str, depth: int = 0) -> None:
    """Any JSON that another program can read back the same."""
    if isinstance(value, str):
        text(value, place)
    elif isinstance(value, Mapping):
        if depth >= DEEPEST_ITEM:
            raise fault(place, "…", "nests too deep")
        for name, inner in value.items():
            text(name, place, LONGEST_FIELD)
            plain(inner, f"{place}.{name}", depth + 1)
    elif isinstance(value, list):
        if depth >= DEEPEST_ITEM:
            raise fault(place, "…", "nests too deep")
        for index, inner in enumerate(value):
            plain(inner, f"{place}[{index}]", depth + 1)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        number(value, place)


def number(value: object, place: str, low: float = -1e15, high: float = 1e15) -> None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise fault(place, value, "is no number")
    if not low <= value <= high:  # nor is NaN
        raise fault(place, value, f"is not from {low:g} to {high:g}")


def check_key(value: object, place: str) -> None:
    if not isinstance(value, str) or not _KEY.fullmatch(value):
        raise fault(f"{place}, a name in it,", value, "is not made of small letters, digits and _")


def _object(value: object, place: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise fault(place, value, "is no object in { }")
    return value


def _list(value: object, place: str) -> list[Any]:
    if not isinstance(value, list):
        raise fault(place, value, "is no list in [ ]")
    if len(value) > MOST_ITEMS:
        raise fault(place, len(value), f"are more than {MOST_ITEMS} items")
    return value


def _each(value: object, place: str, one: Check) -> None:
    for index, item in enumerate(_list(value, place)):
        one(item, f"{place}[{index}]")


def _flag(value: object, place: str) -> None:
    if not isinstance(value, bool):
        raise fault(place, value, "is neither true nor false")


def _id(value: object, place: str) -> None:
    if not isinstance(value, str) or not _ID.fullmatch(value) or value == GUEST:
        raise fault(place, value, "is no mark of a lifter: letters, digits, - and _")


def _version(value: object, place: str) -> None:
    if isinstance(value, bool) or value != VERSION:
        raise fault(place, value, f"is not {VERSION}")


def _name(value: object, place: str) -> None:
    if not text(value, place, LONGEST_NAME).strip():
        raise fault(place, value, "is empty; a lifter needs a name")


def time(value: object, place: str) -> None:
    """An instant as ISO 8601 writes it, with its time zone."""
    try:
        if not isinstance(value, str) or not _TIME.fullmatch(value):
            raise ValueError
        datetime.fromisoformat(value)
    except ValueError:
        raise fault(place, value, "is no time like 2031-05-05T18:00:00.000Z") from None


def _day(value: object, place: str) -> None:
    try:
        if not isinstance(value, str) or not _DAY.fullmatch(value):
            raise ValueError
        date.fromisoformat(value)
    except ValueError:
        raise fault(place, value, "is no day like 2031-05-05") from None


def _texts(value: object, place: str) -> None:
    for name, typed in _object(value, place).items():
        check_key(name, place)
        text(typed, f"{place}.{name}", LONGEST_FIELD)


def _tape(value: object, place: str) -> None:
    tape = _object(value, place)
    if set(tape) != {"date", "unit", "fields", "choices"}:
        raise fault(place, ", ".join(map(str, tape)), "are not the parts date, unit, fields, choices")
    _day(tape["date"], f"{place}.date")
    if tape["unit"] not in UNITS:
        raise fault(f"{place}.unit", tape["unit"], "is neither cm nor in")
    _texts(tape["fields"], f"{place}.fields")
    _texts(tape["choices"], f"{place}.choices")


def _tapes(value: object, place: str) -> None:
    _each(value, place, _tape)
    days = [tape["date"] for tape in _list(value, place)]
    for index, day in enumerate(days[1:], 1):
        if day <= days[index - 1]:
            raise fault(f"{place}[{index}].date", day, "does not come after the one before it")


def _setup(value: object, place: str) -> None:
    setup = _object(value, place)
    if not _ID.fullmatch(text(setup.get("key"), f"{place}.key", 64)):
        raise fault(f"{place}.key", setup["key"], "is no mark of a setup: letters, digits, - and _")
    plain(setup, place)


def _setups(value: object, place: str) -> None:
    _each(value, place, _setup)
    keys = [setup["key"] for setup in _list(value, place)]
    for index, key in enumerate(keys):
        if key in keys[:index]:
            raise fault(f"{place}[{index}].key", key, "stands there twice")


def _pending(value: object, place: str) -> None:
    plain(_object(value, place), place)


def _trials(value: object, place: str) -> None:
    trials = _object(value, place)
    if set(trials) != {"log", "pending", "revision"}:
        raise fault(place, ", ".join(map(str, trials)), "are not the parts log, pending, revision")
    log = text(trials["log"], f"{place}.log", 5 * LONGEST_TEXT)
    if log:
        try:
            from_json(log)
        except InputError as wrong:
            raise InputError(
                f"{place}.log", wrong.code, wrong.given, f"{place}.log: {wrong.message}", MADE_ANEW
            ) from None
    _each(trials["pending"], f"{place}.pending", _pending)
    revision = trials["revision"]
    if isinstance(revision, bool) or not isinstance(revision, int) or not 0 <= revision < 2**53:
        raise fault(f"{place}.revision", revision, "is no count")


def _preference(value: object, place: str) -> None:
    if value is not None:
        number(value, place, 0, 1)


def _choice(value: object, place: str) -> None:
    if value is not None:
        plain(_object(value, place), place)


def _conflict(value: object, place: str) -> None:
    one = _object(value, place)
    text(one.get("path"), f"{place}.path", LONGEST_FIELD)
    if "other" not in one:
        raise fault(place, ", ".join(map(str, one)), "has no part “other”")
    plain(one, place)


PARTS: dict[str, Check] = {
    "id": _id,
    "version": _version,
    "name": _name,
    "archived": _flag,
    "notes": text,
    "created": time,
    "changed": time,
    "tapes": _tapes,
    "setups": _setups,
    "trials": _trials,
    "preference": _preference,
    "preference_from": lambda value, place: text(value, place, 1000),
    "choice": _choice,
    "cautions_read": _flag,
    "conflicts": lambda value, place: _each(value, place, _conflict),
}
