"""A log as JSON text and back, exactly. The version says what the text holds."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import MISSING, asdict, fields, replace
from typing import Any, TypeVar

from shortlever.errors import InputError
from shortlever.jsontext import depth
from shortlever.say import Said
from shortlever.trials.changes import undo_step
from shortlever.trials.checks import refuse
from shortlever.trials.log import Candidate, Measured, SetRecord, Step, TrialLog

KIND, VERSION = "shortlever trials", 4  # 1 named no lift, 2 had no terms, 3 no marks, dial, speeds
ADDED = {"lift": 2, "margin_percent": 3, "sets_each": 3}  # parts, and the version that brought them

MOST_TEXT = 4_000_000  # characters; the fullest log has about a million
MOST_EARLIER = 2_500_000  # characters of finished trials
DEEPEST = 6  # log, list, step, set, what was measured of it, its speeds

PLACES: dict[type, str] = {Candidate: "candidates", SetRecord: "sets", Measured: "measured"}
# All parts of each, and those it must have.
PARTS = {
    kind: (
        frozenset(f.name for f in fields(kind)),
        frozenset(f.name for f in fields(kind) if f.default is MISSING),
    )
    for kind in PLACES
}

Record = TypeVar("Record", Candidate, SetRecord, Measured)


def to_json(log: TrialLog) -> str:
    """The log with its undo stack as JSON text; ``from_json`` gives the equal log back."""
    out: dict[str, Any] = {"kind": KIND, "version": VERSION, "lift": log.lift}
    out |= {"formula": log.formula, "margin_percent": log.margin_percent, "sets_each": log.sets_each}
    out["next_number"] = log.next_number
    for name in ("candidates", "sets", "steps"):
        out[name] = [asdict(item) for item in getattr(log, name)]
    out["earlier"] = list(log.earlier)
    return json.dumps(out, ensure_ascii=False)


def from_json(text: str) -> TrialLog:
    """The log in a JSON text. Raises InputError where it is none, is damaged, or is of a newer version."""
    if not isinstance(text, str) or len(text) > MOST_TEXT or depth(text) > DEEPEST:
        raise _damaged("file", text, Said("wrong_holds_no_trials"))
    try:
        data = json.loads(text)
    except ValueError:
        raise _damaged("file", text, Said("wrong_not_json")) from None
    if not isinstance(data, dict) or data.get("kind") != KIND:
        raise _damaged("file", text, Said("wrong_holds_no_trials"))
    version = data.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or not 0 < version <= VERSION:
        raise InputError(
            "version",
            "unknown_version",
            repr(version)[:24],
            Said("trials_newer", {"version": repr(version)[:24], "newest": VERSION}),
            Said("trials_newer_remedy"),
        )
    known = {"kind", "version", "formula", "next_number", "candidates", "sets", "steps", "earlier"}
    added = {name for name, since in ADDED.items() if version >= since}
    if set(data) != known | added:
        raise _damaged(
            "file", str(sorted(set(data) ^ (known | added))), Said("wrong_missing_or_unknown_parts")
        )
    number = data["next_number"]
    if isinstance(number, bool) or not isinstance(number, int):
        raise _damaged("next_number", number, Said("wrong_not_a_whole_number"))
    earlier = _list(data, "earlier")
    if not all(isinstance(item, str) for item in earlier):
        raise _damaged("earlier", str(earlier), Said("wrong_no_trials"))
    return TrialLog(
        earlier=tuple(earlier),
        candidates=tuple(_record(Candidate, item) for item in _list(data, "candidates")),
        sets=tuple(_record(SetRecord, item) for item in _list(data, "sets")),
        steps=tuple(_step(item) for item in _list(data, "steps")),
        next_number=number,
        formula=data["formula"],
        **{name: data[name] for name in added},
    )


def _damaged(field: str, given: object, wrong: Said) -> InputError:
    return refuse(field, "damaged", given, wrong, Said("do_choose_a_file_exported_as_trials"))


def _list(data: Mapping[str, Any], name: str) -> list[Any]:
    items = data[name]
    if not isinstance(items, list):
        raise _damaged(name, items, Said("wrong_not_a_list"))
    return items


def _record(kind: type[Record], item: Any) -> Record:
    names, needed = PARTS[kind]
    if not isinstance(item, dict) or not needed <= item.keys() <= names:
        raise _damaged(PLACES[kind], item, Said("wrong_without_parts"))
    if kind is Candidate and isinstance(item.get("marks"), list):
        item = item | {"marks": tuple(item["marks"])}
    if kind is SetRecord and item.get("measured") is not None:
        item = item | {"measured": _record(Measured, item["measured"])}
    if kind is Measured and isinstance(item.get("speeds_m_s"), list):
        item = item | {"speeds_m_s": tuple(item["speeds_m_s"])}
    return kind(**item)


def _step(item: Any) -> Step:
    names = {f.name for f in fields(Step)}
    if not isinstance(item, dict) or set(item) != names or not isinstance(item["what"], str):
        raise _damaged("steps", item, Said("wrong_without_parts"))
    values = dict(item)
    for name in ("set_place", "candidate_place"):
        place = item[name]
        if place is not None and (isinstance(place, bool) or not isinstance(place, int) or place < 0):
            raise _damaged("steps", place, Said("wrong_not_a_place"))
    for name in ("set_before", "set_after"):
        values[name] = None if item[name] is None else _record(SetRecord, item[name])
    for name in ("candidate_before", "candidate_after"):
        values[name] = None if item[name] is None else _record(Candidate, item[name])
    return Step(**values)


def start_anew(log: TrialLog, keep: str | None = None) -> TrialLog:
    """A new trial: this one goes to ``earlier``, and the setup ``keep`` is the present one of the new trial.

    Setups off the list come along, so that they stay off it. ``undo`` as the first change of the new trial
    takes the old one up again. Raises InputError for an unknown ``keep`` or one off the list, where the trial
    has no set yet, and where the earlier ones leave no room.
    """
    kept = None if keep is None else log.candidate(keep)
    if kept is not None and kept.off_list:
        raise refuse(
            "candidate", "off_list", kept.label, Said("wrong_off_the_list"), Said("do_choose_another_one")
        )
    if not log.sets:
        raise InputError("trial", "empty", "", Said("trial_empty"), Said("trial_empty_remedy"))
    old = to_json(replace(log, earlier=()))
    if sum(map(len, log.earlier)) + len(old) > MOST_EARLIER:
        raise refuse(
            "trial",
            "too_many",
            str(len(log.earlier)),
            Said("wrong_earlier_trials_leave_no_room"),
            Said("do_go_on_with_this_one"),
        )
    first = () if kept is None else (replace(kept, present=True),)
    off = tuple(replace(c, present=False) for c in log.candidates if c.off_list)
    return TrialLog(
        candidates=(*first, *off),
        lift=log.lift,
        formula=log.formula,
        margin_percent=log.margin_percent,
        earlier=(*log.earlier, old),
    )


def undo(log: TrialLog) -> TrialLog:
    """The log before its last change; before the first change of a trial, the trial before it.

    Raises InputError where nothing is left to undo.
    """
    if log.steps or not log.earlier or log.sets:
        return undo_step(log)
    return replace(from_json(log.earlier[-1]), earlier=log.earlier[:-1])
