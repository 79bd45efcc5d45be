"""Many lifters at once: rows in, rows out.

A row is a mapping, or the table is a data frame (pandas'; nothing here needs it). Not part of the browser's
library.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib import import_module
from typing import Any

from shortlever.errors import InfeasibleError, InputError
from shortlever.fitting.request import lift_of
from shortlever.lifts import UNNAMED
from shortlever.lifts.lift import AnyLift
from shortlever.person.measure import range_of
from shortlever.person.reading import TAPE_KEYS, read_tape
from shortlever.say import Said

__all__ = ["suggest_table"]


def suggest_table(people: Any, lift: str = UNNAMED, **how: Any) -> Any:
    """The suggested setup of each lifter of a table, beside what the row held.

    ``people``: mappings in any number, or a pandas data frame; a list of dicts or a frame with the same index
    comes back. Columns named as a tape's numbers are read as ``read_tape`` does (m and kg, or texts with
    their unit; a gap is a number not taken); others go through untouched. Added are the numbers of the
    setup, its marks and its measures (SI, degrees where named), and ``problem``: "" or why there is no setup,
    in words, where the numbers are gaps. ``how`` goes to the lift's ``suggest``, for all rows. Raises
    InputError for a lift that does not exist, TypeError for what is no table or an option that the lift does
    not know.

    >>> people = [{"name": "long arms", "arm_length": "72 cm", "shoulder_breadth": 0.43}, {"name": "no tape"}]
    >>> first, second = suggest_table(people)
    >>> first["name"], 0.6 < first["grip_m"] < 0.9, first["problem"]
    ('long arms', True, '')
    >>> second["grip_m"] is None, second["problem"][:10]
    (True, 'Arm length')
    """
    known = lift_of({"lift": lift})
    suggest = import_module(known.library).suggest
    framed = hasattr(people, "to_dict") and hasattr(people, "index")
    rows: Iterable[Any] = people.to_dict("records") if framed else people
    done: list[tuple[dict[str, Any], dict[str, Any] | str]] = []
    for row in rows:
        if not isinstance(row, Mapping):
            raise TypeError(f"a row of the table must be a mapping of columns, not {type(row).__name__}")
        tape = {key: value for key, value in row.items() if key in TAPE_KEYS and not _gap(value)}
        try:
            _need(known, tape)
            done.append((dict(row), _numbers(suggest(read_tape(tape), **how).plain())))
        except (InputError, InfeasibleError) as none:
            done.append((dict(row), str(none)))
    columns = dict.fromkeys(key for _, found in done if not isinstance(found, str) for key in found)
    out = [
        {**row, **columns, "problem": found} if isinstance(found, str) else {**row, **found, "problem": ""}
        for row, found in done
    ]
    return type(people)(out, index=people.index) if framed else out


def _need(lift: AnyLift, tape: Mapping[str, Any]) -> None:
    """Refuse a row without the numbers that the lift's form asks for."""
    for one in lift.required:
        if one.key not in tape:
            said = Said("needed", {"label": one.measure.label, "allowed": range_of(one.measure)})
            raise InputError(one.key, "missing", "", said, Said("measure_it", {"how": one.measure.how}))


def _gap(value: Any) -> bool:
    """Whether a cell is empty: None, "", or not equal to itself, as NaN and pandas' NA."""
    try:
        return value is None or value == "" or bool(value != value)
    except (TypeError, ValueError):
        return True


def _numbers(plain: Mapping[str, Any]) -> dict[str, Any]:
    """The numbers and names of the setup, its marks and its measures, in one row."""
    setup = plain["setup"]
    parts: list[Mapping[str, Any]] = [
        setup,
        setup.get("marks") or {},
        plain.get("marks") or {},
        plain["measures"],
    ]
    return {
        key: value
        for part in parts
        for key, value in part.items()
        if value is None or isinstance(value, int | float | str)
    }
