"""A tape read from plain data: numbers, or texts that carry their unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from shortlever.errors import InputError
from shortlever.person.measure import echo, read
from shortlever.person.tape import MEASURES, Tape
from shortlever.person.together import refuse_keys
from shortlever.say import Said

TAPE_KEYS = tuple(f.name for f in fields(Tape))


def read_tape(data: Mapping[str, Any]) -> Tape:
    """A Tape from a JSON object: numbers are m or kg, texts carry their unit (``"62 cm"``, ``"180 lb"``).

    Raises InputError for an unknown key, a value of the wrong kind, or one out of range.
    """
    if not isinstance(data, Mapping):
        said, remedy = Said("tape_no_object"), Said("tape_no_object_remedy")
        raise InputError("tape", "not_an_object", echo(data), said, remedy)
    values: dict[str, Any] = {}
    for key, given in data.items():
        if key not in TAPE_KEYS:
            raise InputError(
                key,
                "unknown",
                str(key),
                Said("no_tape_number", {"given": echo(str(key))}),
                Said("no_tape_number_remedy", {"keys": TAPE_KEYS}),
            )
        if given is None:
            continue
        if key in ("left", "right"):
            refuse_keys(key, given)
            values[key] = {inner: read(MEASURES[inner], value) for inner, value in given.items()}
        elif key == "sex":
            values[key] = given
        else:
            values[key] = read(MEASURES[key], given)
    return Tape(**values)
