"""The file of lifters: JSON of version 2, described by lifters-2.schema.json beside this module.

``{"kind": "shortlever lifters", "version": 2, "exported": ISO time, "lifters": [record, …]}``. A version once
given out keeps opening: the records of version 1 (lifters-1.schema.json) are brought to version 2 as they are
read. A newer one is refused with words, for nobody can know what it means.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any, NoReturn

from shortlever.errors import InputError
from shortlever.jsontext import depth
from shortlever.roster.record import VERSION, check, of_version_1
from shortlever.roster.schema import MADE_ANEW, check_of, fault
from shortlever.say import Said, Text

KIND = "shortlever lifters"
MOST_LIFTERS, SHOWN_NAME = 5000, 60
MAX_CHARACTERS = 20_000_000
MAX_DEPTH = 20  # brackets inside brackets
_PARTS = ("kind", "version", "exported", "lifters")


@dataclass(frozen=True)
class Damaged:
    """A lifter of a file who is not sound, as he stands there, his first fault, and his place in it."""

    record: Any
    fault: InputError
    place: int

    @property
    def name(self) -> str:
        """His name, or his place in the file."""
        name = self.record.get("name") if isinstance(self.record, dict) else None
        return name[:SHOWN_NAME] if isinstance(name, str) and name.strip() else self.fault.field


def from_text(text: str) -> dict[str, Any]:
    """The file as plain data, every part of it checked.

    Raises InputError: ``field`` is the place of the first fault, such as "line 3, column 7" or
    "lifters[2].tapes[0].date".

    >>> empty = {"kind": KIND, "version": VERSION, "exported": "2031-05-05T18:00:00.000Z", "lifters": []}
    >>> from_text(json.dumps(empty))["lifters"]
    []
    """
    file, damaged = sound_of_text(text)
    if damaged:
        raise damaged[0].fault
    return file


def sound_of_text(text: str) -> tuple[dict[str, Any], list[Damaged]]:
    """The file with the lifters that are sound, and those who are not: one never costs the others.

    Raises InputError where the file itself cannot be read, or none of its lifters.
    """
    if len(text) > MAX_CHARACTERS:
        size, most = (Said("millions", {"size": n / 1e6}) for n in (len(text), MAX_CHARACTERS))
        raise _refused("too_long", size, Said("file_too_long", {"size": size, "most": most}))
    if depth(text) > MAX_DEPTH:
        raise _refused("not_lifters", "", Said("file_too_deep", {"most": MAX_DEPTH}))
    try:
        found = json.loads(text.removeprefix("\ufeff"), object_pairs_hook=_once, parse_constant=_no_number)
    except json.JSONDecodeError as wrong:
        where = Said("place_in_file", {"line": wrong.lineno, "column": wrong.colno})
        given, said = text[wrong.pos : wrong.pos + 20], Said("file_breaks_off", {"place": where})
        raise InputError(where, "not_json", given, said, MADE_ANEW) from None
    except InputError:
        raise
    except (ValueError, RecursionError):  # a number with thousands of digits
        raise _refused("not_json", "", Said("file_number")) from None
    if not isinstance(found, dict) or found.get("kind") != KIND:
        raise _refused("not_lifters", "", Said("file_no_lifters"), Said("file_no_lifters_remedy"))
    version = found.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise fault("version", version, "no_version", newest=VERSION)
    if version > VERSION:
        of = {"version": str(version)[:24], "newest": VERSION}
        said, remedy = Said("file_newer", of), Said("file_newer_remedy")
        raise InputError("version", "newer", str(version)[:24], said, remedy)
    if set(found) != set(_PARTS):
        raise fault("file", ", ".join(sorted(found)), "parts", parts=_PARTS)
    check_of("time")(found["exported"], "exported")
    lifters = found["lifters"]
    if not isinstance(lifters, list):
        raise fault("lifters", lifters, "no_list")
    if len(lifters) > MOST_LIFTERS:
        raise fault("lifters", len(lifters), "too_many", most=MOST_LIFTERS)
    places: dict[str, int] = {}
    sound: list[dict[str, Any]] = []
    damaged: list[Damaged] = []
    for index, given in enumerate(lifters):
        place = f"lifters[{index}]"
        try:
            record = check(of_version_1(given) if version == 1 else given, place)
            key = record["id"]
            if key in places:
                raise fault(f"{place}.id", key, "also_of", other=f"lifters[{places[key]}]")
        except InputError as wrong:
            damaged.append(Damaged(given, wrong, index))
        else:
            places[key] = index
            sound.append(record)
    if damaged and not sound:
        raise damaged[0].fault
    return {**found, "version": VERSION, "lifters": sound}, damaged


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise fault("file", twice, "twice_in_object")
    return found


def _no_number(name: str) -> NoReturn:
    raise fault("file", name, "no_number")


def _refused(code: str, given: Text, message: Text, remedy: Text = MADE_ANEW) -> InputError:
    return InputError("file", code, given, message, remedy)
