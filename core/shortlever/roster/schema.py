"""The schema of lifters as a check: JSON Schema (draft 2020-12) by the keywords that its file uses.

The first fault is told with its place and in words; what is the right shape of a text is said by the schema's
own ``title``, a code of the catalogue.
"""

from __future__ import annotations

import json
import pkgutil
import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from shortlever.errors import InputError
from shortlever.say import Said, Text

# Read when it is imported: a snapshot of memory, from which a browser starts, has no files.
SCHEMA: dict[str, Any] = json.loads(pkgutil.get_data(__name__, "lifters-2.schema.json") or b"")
MADE_ANEW = Said("made_anew")

Check = Callable[[Any, Text], None]

WHOLE = r"^[^\ud800-\udfff]*$"  # the pattern of the most and the longest texts
KINDS = ("null", "boolean", "number", "integer", "string", "array", "object")


def fault(place: Text, given: object, why: str, **values: object) -> InputError:
    """The error for one place of a file, such as ``lifters[2].tapes[0].date``; ``why``: a code, "fault_…"."""
    shown = given if isinstance(given, str) else repr(given)
    shown = shown[:40].encode("utf-8", "replace").decode()
    said = Said("fault", {"place": place, "given": shown, "why": Said(f"fault_{why}", values)})
    return InputError(place, "damaged", shown, said, MADE_ANEW)


@cache
def check_of(name: str) -> Check:
    """The check of one shape of the schema, such as "lifter": raises InputError for the first fault."""
    shape = _made(SCHEMA["$defs"][name])
    return lambda value, place: shape(value, place)


def kind_of(value: object) -> str:
    """The JSON type of a value; a whole number is an "integer" however it is written."""
    if isinstance(value, bool):
        return "boolean"
    if isinstance(value, int) or (isinstance(value, float) and value.is_integer()):
        return "integer"
    kinds = {float: "number", str: "string", list: "array", dict: "object", type(None): "null"}
    return kinds[type(value)]


# ---- from keywords to checks


def _made(schema: Mapping[str, Any]) -> Check:
    checks = [_KEYWORDS[word](schema, given) for word, given in schema.items() if word in _KEYWORDS]
    if len(checks) == 1:
        return checks[0]

    def every(value: Any, place: Text) -> None:
        for check in checks:
            check(value, place)

    return every


def _ref(_: Mapping[str, Any], path: str) -> Check:
    name = path.rpartition("/")[2]
    return lambda value, place: check_of(name)(value, place)  # asked late: a shape may hold itself


def _type(_: Mapping[str, Any], given: str | list[str]) -> Check:
    kinds = {given} if isinstance(given, str) else set(given)
    known = kinds | {"integer"} if "number" in kinds else kinds
    allowed = [Said(f"kind_{one}") for one in KINDS if one in kinds]

    def check(value: Any, place: Text) -> None:
        if kind_of(value) not in known:
            raise fault(place, value, "kind", kinds=allowed)

    return check


def _const(_: Mapping[str, Any], wanted: object) -> Check:
    return _enum(_, [wanted])


def _enum(_: Mapping[str, Any], wanted: list[object]) -> Check:
    def check(value: Any, place: Text) -> None:
        if isinstance(value, bool) or value not in wanted:
            raise fault(place, value, "none_of", values=[str(one) for one in wanted])

    return check


def _any_of(schema: Mapping[str, Any], given: list[Mapping[str, Any]]) -> Check:
    checks = [_made(one) for one in given]

    def check(value: Any, place: Text) -> None:
        for one in checks:
            try:
                return one(value, place)
            except InputError:
                continue
        raise fault(place, value, "shape", shape=Said(schema.get("title", "shape_any")))

    return check


def _pattern(schema: Mapping[str, Any], given: str) -> Check:
    pattern = re.compile(given.removeprefix("^").removesuffix("$"))  # every pattern is of the whole text
    fits: Callable[[str], object] = _is_whole if given == WHOLE else pattern.fullmatch

    def check(value: Any, place: Text) -> None:
        if isinstance(value, str) and not fits(value):
            raise fault(place, value, "shape", shape=Said(schema["title"]))

    return check


def _is_whole(text: str) -> bool:
    """Whether no half of a character is in a text, which may be a long one."""
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def _max_length(_: Mapping[str, Any], most: int) -> Check:
    def check(value: Any, place: Text) -> None:
        if isinstance(value, str) and len(value) > most:
            raise fault(place, value, "longer", most=most)

    return check


def _bound(schema: Mapping[str, Any], given: float, outside: Callable[[Any, float], bool]) -> Check:
    def check(value: Any, place: Text) -> None:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number and outside(value, given):
            bounds = {"low": float(schema["minimum"]), "high": float(schema["maximum"])}
            raise fault(place, value, "outside", **bounds)

    return check


def _max_items(_: Mapping[str, Any], most: int) -> Check:
    def check(value: Any, place: Text) -> None:
        if isinstance(value, list) and len(value) > most:
            raise fault(place, len(value), "too_many_items", most=most)

    return check


def _items(_: Mapping[str, Any], given: Mapping[str, Any]) -> Check:
    one = _made(given)

    def check(value: Any, place: Text) -> None:
        if isinstance(value, list):
            for index, item in enumerate(value):
                one(item, f"{place}[{index}]")

    return check


def _required(_: Mapping[str, Any], names: list[str]) -> Check:
    def check(value: Any, place: Text) -> None:
        for name in names if isinstance(value, dict) else ():
            if name not in value:
                said = Said("part_missing", {"place": place, "name": name})
                raise InputError(place, "missing", name, said, MADE_ANEW)

    return check


def _property_names(_: Mapping[str, Any], given: Mapping[str, Any]) -> Check:
    one = _made(given)

    def check(value: Any, place: Text) -> None:
        for name in value if isinstance(value, dict) else ():
            one(name, Said("name_in_place", {"place": place}))

    return check


def _properties(schema: Mapping[str, Any], given: Mapping[str, Any]) -> Check:
    known = {name: _made(one) for name, one in given.items()}

    def check(value: Any, place: Text) -> None:
        if isinstance(value, dict):
            for name, one in known.items():
                if name in value:
                    one(value[name], f"{place}.{name}")

    return check


def _additional(schema: Mapping[str, Any], given: Mapping[str, Any] | bool) -> Check:
    known = set(schema.get("properties", ()))
    one = None if given is False else _made(given if isinstance(given, Mapping) else {})

    def check(value: Any, place: Text) -> None:
        for name in value if isinstance(value, dict) else ():
            if name in known:
                continue
            if one is None:
                raise fault(
                    Said("name_in_place", {"place": place}), name, "none_of_names", names=sorted(known)
                )
            one(value[name], f"{place}.{name}")

    return check


_KEYWORDS: dict[str, Callable[[Mapping[str, Any], Any], Check]] = {
    "$ref": _ref,
    "type": _type,
    "const": _const,
    "enum": _enum,
    "anyOf": _any_of,
    "pattern": _pattern,
    "maxLength": _max_length,
    "minimum": lambda schema, given: _bound(schema, given, lambda value, low: value < low),
    "maximum": lambda schema, given: _bound(schema, given, lambda value, high: not value <= high),
    "maxItems": _max_items,
    "items": _items,
    "required": _required,
    "propertyNames": _property_names,
    "properties": _properties,
    "additionalProperties": _additional,
}
