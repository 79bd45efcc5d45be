"""One lifter's record, as version 2 keeps it, and the way there from version 1.

What a person is (name, notes, tapes) stands in the record itself; what belongs to a lift (kept setups,
trials, where on its trade-off to be, the setup picked, cautions read) under that lift's name in ``lifts``.
``lift`` is the one last looked at. The shape is that of lifters-2.schema.json.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shortlever.errors import InputError
from shortlever.lifts import UNNAMED
from shortlever.roster.schema import MADE_ANEW, SCHEMA, check_of, fault, kind_of
from shortlever.say import Said
from shortlever.trials import from_json

VERSION = 2
LONGEST_TYPED = SCHEMA["$defs"]["short"]["maxLength"]
GUEST = "guest"  # the id of nobody; never in a file
OF_LIFT = ("setups", "trials", "preference", "preference_from", "choice", "cautions_read")


def nothing_of_lift() -> dict[str, Any]:
    """A lift of which nothing is kept yet."""
    trials = {"log": "", "pending": [], "revision": 0}
    return {
        "setups": [],
        "trials": trials,
        "preference": None,
        "preference_from": "",
        "choice": None,
        "cautions_read": False,
    }


def check(record: object, place: str) -> dict[str, Any]:
    """The record itself where every part of it is sound; else InputError with the first fault's place."""
    check_of("lifter")(record, place)
    assert isinstance(record, dict)
    if record["id"] == GUEST:
        raise fault(f"{place}.id", GUEST, "guest")
    days = [tape["date"] for tape in record["tapes"]]
    for index, day in enumerate(days[1:], 1):
        if day <= days[index - 1]:
            raise fault(f"{place}.tapes[{index}].date", day, "not_after")
    for lift, kept in record["lifts"].items():
        at = f"{place}.lifts.{lift}"
        keys = [setup["key"] for setup in kept["setups"]]
        for index, key in enumerate(keys):
            if key in keys[:index]:
                raise fault(f"{at}.setups[{index}].key", key, "twice")
        _check_log(kept["trials"]["log"], lift, f"{at}.trials.log")
    return record


def _check_log(text: str, lift: str, place: str) -> None:
    if not text:
        return
    try:
        log = from_json(text)
    except InputError as wrong:
        told = wrong.told()
        said = Said("at_place", {"place": place, "message": told["message"]})
        raise InputError(place, wrong.code, told["given"], said, MADE_ANEW) from None
    if log.lift != lift:
        raise fault(place, log.lift, "other_lift", lift=lift)


# ---- from version 1: one lift, whose parts stood in the record


def of_version_1(record: object) -> object:
    """A record of version 1 as one of version 2; what is no such record comes back as it is.

    Devices of version 1 kept what their own files then refused: halves of characters, and texts of tapes that
    are too long. They lose the halves, and end where version 2 ends them.

    >>> of_version_1({"id": "a", "version": 1, "preference": 0.5})["lifts"][UNNAMED]
    {'preference': 0.5}
    """
    if (
        not isinstance(record, Mapping)
        or kind_of(record.get("version")) != "integer"
        or record["version"] != 1
    ):
        return record
    person = {name: value for name, value in record.items() if name not in OF_LIFT}
    kept = {name: record[name] for name in OF_LIFT if name in record}
    out = {**person, "version": VERSION, "lift": UNNAMED, "lifts": {UNNAMED: kept}}
    out |= {name: _kept(record[name], None) for name in ("name", "notes") if name in record}
    if isinstance(record.get("tapes"), list):
        out["tapes"] = [_tape_of_version_1(tape) for tape in record["tapes"]]
    if isinstance(record.get("conflicts"), list):
        out["conflicts"] = [_conflict_of_version_1(one) for one in record["conflicts"]]
    return out


def _kept(text: object, most: int | None) -> object:
    """What version 2 keeps of a text; anything else as it is."""
    if not isinstance(text, str):
        return text
    return "".join(letter for letter in text if not "\ud800" <= letter <= "\udfff")[:most]


def _tape_of_version_1(tape: object) -> object:
    if not isinstance(tape, Mapping):
        return tape
    typed = {part: tape[part] for part in ("fields", "choices") if isinstance(tape.get(part), Mapping)}
    return {**tape} | {
        part: {name: _kept(text, LONGEST_TYPED) for name, text in texts.items()}
        for part, texts in typed.items()
    }


def _conflict_of_version_1(conflict: object) -> object:
    path = conflict.get("path") if isinstance(conflict, Mapping) else None
    if not isinstance(path, str) or path.partition("/")[0] not in OF_LIFT:
        return conflict
    assert isinstance(conflict, Mapping)
    return {**conflict, "path": f"lifts/{UNNAMED}/{path}"}
