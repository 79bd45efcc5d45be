"""A lifter of a file beside the same one here: what differs, who changed it, and the record a person chose.

``base`` is the record that both started from (what the last file held), where that is known. Against it, a
part that only one side changed is no conflict. Without it, nothing that stands here is ever given up by
itself: a part that is empty here is filled, every other difference is a conflict. Sets that both logged come
together.
"""

from __future__ import annotations

import copy
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from shortlever.roster.record import OF_LIFT, nothing_of_lift
from shortlever.trials import TrialLog, alike, from_json, to_json, together

Record = Mapping[str, Any]

PLAIN = ("name", "notes", "archived")
LISTS = ("setups", "trials")  # of a lift; the rest of it are single values
CHOICES = ("mine", "theirs", "both")


@dataclass(frozen=True)
class Difference:
    """One path at which the two differ; ``take``: "mine", "theirs", "together" (``put``, made of both) or
    "conflict"."""

    path: str
    mine: Any
    theirs: Any
    take: str
    put: Any = None


@dataclass(frozen=True)
class Comparison:
    """``state``: "new" (not here), "same", "older" (only this device has changed since), "changed" (the file
    adds to it), "conflict" (both changed the same part), "other" (another lifter under the same mark)."""

    state: str
    differences: tuple[Difference, ...] = ()


def compare(mine: Record | None, theirs: Record, base: Record | None = None) -> Comparison:
    """What the file's lifter would change here.

    >>> here = {"id": "a", "created": "t", "name": "Ada", "notes": ""}
    >>> compare(here, here | {"notes": "left shoulder"}).differences[0].take
    'theirs'
    """
    if mine is None:
        return Comparison("new")
    if mine["created"] != theirs["created"]:
        return Comparison("other")
    common = base if base is not None and base["created"] == mine["created"] else None
    records = [mine, theirs] + ([] if common is None else [common])
    whole = _whole_tapes(records)
    lifts = list(dict.fromkeys(lift for record in records for lift in record.get("lifts", ())))
    here, there = _paths(mine, whole, lifts), _paths(theirs, whole, lifts)
    before = None if common is None else _paths(common, whole, lifts)
    every = [*here, *(path for path in there if path not in here)]
    found = tuple(
        _difference(path, here, there, before)
        for path in every
        if not _agree(path, here.get(path), there.get(path))
    )
    takes = {difference.take for difference in found}
    if not found:
        return Comparison("same")
    if "conflict" in takes:
        return Comparison("conflict", found)
    return Comparison("changed" if takes & {"theirs", "together"} else "older", found)


def put_together(
    mine: Record | None,
    theirs: Record,
    base: Record | None,
    choice: str,
    *,
    now: str,
    new_id: str = "",
    keep: Collection[str] = (),
) -> dict[str, Any] | None:
    """The record to write for a person's choice, or None where nothing is to be written.

    "mine" leaves what is here untouched; "theirs" takes what the file changed, and in a conflict the file's
    part (mine at the paths in ``keep``), while parts that only this device changed stay; "both" makes the
    file's a lifter of its own under ``new_id``. ``now`` is the ISO time of a record that is neither's.
    """
    if choice not in CHOICES:
        raise ValueError(f"choice {choice!r} is none of {CHOICES}")
    found = compare(mine, theirs, base)
    if choice == "mine" or (found.state in ("same", "older") and choice != "both"):
        return None
    if found.state == "new":
        return copy.deepcopy(dict(theirs))
    assert mine is not None
    if choice == "both" or found.state == "other":
        return copy.deepcopy(dict(theirs)) | {"id": new_id}
    staying = [one for one in found.differences if one.take == "mine" or one.path in keep]
    taken = [one for one in found.differences if one not in staying]
    out = copy.deepcopy(dict(mine))
    for one in taken:
        _put(out, one.path, copy.deepcopy(one.put if one.take == "together" else one.theirs))
    out["tapes"] = sorted(out["tapes"], key=lambda tape: str(tape["date"]))
    for lift, kept in out["lifts"].items():
        ours, others = (record["lifts"].get(lift) or nothing_of_lift() for record in (mine, theirs))
        place = {setup["key"]: index for index, setup in enumerate(others["setups"])}
        kept["setups"].sort(key=lambda one, place=place: place.get(one["key"], len(place)))
        kept["trials"]["revision"] = max(ours["trials"]["revision"], others["trials"]["revision"]) + 1
    only_theirs = not staying and all(one.take != "together" for one in taken)
    out["changed"] = max(str(mine["changed"]), str(theirs["changed"])) if only_theirs else now
    return out


# ---- a record as values by path


def same(a: Any, b: Any) -> bool:
    """Equal as JSON: 1 and 1.0 are, 1 and true are not."""
    if isinstance(a, bool) or isinstance(b, bool):
        return a is b
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(same(a[key], b[key]) for key in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(same, a, b))
    return bool(a == b)


def _whole_tapes(records: list[Record]) -> set[str]:
    """The days whose tape only some have, or in another unit: there a single number means nothing alone."""
    tapes = [{tape["date"]: tape["unit"] for tape in record.get("tapes", [])} for record in records]
    days = {day for by_day in tapes for day in by_day}
    return {day for day in days if len({by_day.get(day) for by_day in tapes}) > 1}


def _paths(record: Record, whole: set[str], lifts: list[str]) -> dict[str, Any]:
    """Every part by its path; the device's own business (times, conflicts, the lift in view) is left out."""
    found: dict[str, Any] = {name: record.get(name) for name in PLAIN}
    for tape in record.get("tapes", []):
        at = f"tapes/{tape['date']}"
        if tape["date"] in whole:
            found[at] = tape
            continue
        for part in ("fields", "choices"):
            found |= {f"{at}/{part}/{key}": value for key, value in tape[part].items()}
    for lift in lifts:
        kept, at = record.get("lifts", {}).get(lift) or nothing_of_lift(), f"lifts/{lift}"
        found |= {f"{at}/{name}": value for name, value in kept.items() if name not in LISTS}
        found |= {f"{at}/setups/{setup['key']}": setup for setup in kept["setups"]}
        found[f"{at}/trials"] = {name: kept["trials"][name] for name in ("log", "pending")}
    known = {*PLAIN, "tapes", "lift", "lifts", "id", "version", "created", "changed", "conflicts", "heard"}
    return found | {name: value for name, value in record.items() if name not in known}


def _agree(path: str, mine: Any, theirs: Any) -> bool:
    if same(mine, theirs):
        return True
    logs = _logs(path, mine, theirs)
    return logs is not None and alike(*logs)


def _logs(path: str, mine: Any, theirs: Any) -> tuple[TrialLog, TrialLog] | None:
    """Both sides' sets, where both have some and all of them are worked in."""
    if not path.endswith("/trials") or mine is None or theirs is None or mine["pending"] or theirs["pending"]:
        return None
    return (from_json(mine["log"]), from_json(theirs["log"])) if mine["log"] and theirs["log"] else None


def _difference(path: str, here: Record, there: Record, before: Record | None) -> Difference:
    mine, theirs = here.get(path), there.get(path)
    take = _take(path, here, there, before)
    logs = _logs(path, mine, theirs) if take == "conflict" else None
    if logs is None:
        return Difference(path, mine, theirs, take)
    once = None if before is None else TrialLog(lift=logs[0].lift)
    if before is not None and (base := before.get(path)) is not None and base["log"]:
        once = None if base["pending"] else from_json(base["log"])
    one = together(*logs, once)
    if one is None:
        return Difference(path, mine, theirs, take)
    return Difference(path, mine, theirs, "together", {"log": to_json(one), "pending": []})


def _take(path: str, here: Record, there: Record, before: Record | None) -> str:
    mine, theirs = here.get(path), there.get(path)
    if before is not None:
        if same(mine, before.get(path)):
            return "theirs"
        return "mine" if same(theirs, before.get(path)) else "conflict"
    if _is_empty(mine):
        return "theirs"
    return "mine" if _is_empty(theirs) else "conflict"


def _is_empty(value: Any) -> bool:
    if isinstance(value, Mapping) and value.keys() == {"log", "pending"}:
        return not value["log"] and not value["pending"]
    return value is None or value is False or value == ""


def _put(record: dict[str, Any], path: str, value: Any) -> None:
    part, _, rest = path.partition("/")
    if part == "tapes":
        record["tapes"] = _with(record["tapes"], "date", rest, value)
    elif part == "lifts":
        lift, name, *key = rest.split("/")
        kept = record["lifts"].setdefault(lift, nothing_of_lift())
        if name == "setups":
            kept["setups"] = _with(kept["setups"], "key", key[0], value)
        elif name == "trials":
            kept["trials"] |= value
        else:
            _put_value(kept, name, value, OF_LIFT)
    else:
        _put_value(record, part, value, PLAIN)


def _put_value(place: dict[str, Any], name: str, value: Any, always: tuple[str, ...]) -> None:
    if value is None and name not in always:
        place.pop(name, None)
    else:
        place[name] = value


def _with(items: list[dict[str, Any]], name: str, path: str, value: Any) -> list[dict[str, Any]]:
    """The items with this value at "KEY", or "KEY/PART/NAME" inside the item of that key."""
    key, *inside = path.split("/")
    if not inside:
        return [item for item in items if item[name] != key] + ([] if value is None else [value])
    part, field = inside
    for item in items:
        if item[name] == key:
            item[part].pop(field, None)
            item[part] |= {} if value is None else {field: value}
    return items
