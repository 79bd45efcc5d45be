"""Changes that were tapped in on the screen of sets, folded into a log.

A change is a
plain object ``{"what": …, "at": ISO time, …}``:

* "add_candidate" with "candidate": {"label", "index", "stroke_m", "mean_arm_m", "present", "dial", "marks"};
  one that is there already is left as it is
* "remove_candidate", "clear_pain" with "candidate": its key
* "add_set" with "set": {"candidate", "load", "unit", "reps", "reserve", "touched", "pain"}; load, reps and
  reserve as typed, ``unit`` (kg or lb) for a load without one
* "edit_set" with "number" and "set"; "delete_set" with "number"
* "attach_film" with "number" and "measured": what the film check measured of that set, the fields of
  ``Measured``
* "formula" with "formula"; "terms" with "margin_percent" and "sets_each", both of ``TrialLog``
* "undo"; "new_trial" with "keep": the key of the setup to go on with, or null

A set belongs to the day that "at" names, in the person's own time zone. A change that is refused is told and
left out; the others count.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from shortlever.errors import InputError
from shortlever.say import Said, Text
from shortlever.trials import (
    Candidate,
    Measured,
    SetRecord,
    TrialLog,
    add_candidate,
    add_set,
    clear_pain,
    delete_set,
    edit_set,
    measure_set,
    remove_candidate,
    start_anew,
    undo,
    with_formula,
    with_terms,
)
from shortlever.trials.checks import refuse
from shortlever.trials.repmax import LOAD_KG, REPS, RESERVE
from shortlever.units import MASS_UNITS, UnreadableError, read_quantity
from shortlever.view.sets_rows import mass

UNITS = ("kg", "lb")
KEYS = "ABCD"  # chalk letters, given in the order of arrival
FIELDS = {"load_kg": "load", "reps_in_reserve": "reserve"}  # names of the core and of the screen
CORE = {"reps": "set_reps", "reserve": "set_reps_in_reserve"}  # what the core calls the screen's fields
TERMS = ("margin_percent", "sets_each")

Change = Mapping[str, Any]


def fold(log: TrialLog, changes: Sequence[Change]) -> tuple[TrialLog, list[dict[str, Any]]]:
    """The log with the changes in it, and those refused: "place" in ``changes``, "said" (what it was, in
    words), "change" as it came, and "error".

    >>> log, refused = fold(TrialLog(), [{"what": "undo"}])
    >>> log.sets, refused[0]["error"]["code"]
    ((), 'nothing')
    """
    refused = []
    for place, change in enumerate(changes):
        try:
            log = _apply(log, change)
        except InputError as wrong:
            refused.append({"place": place, "said": _said(change), "change": change, "error": plain(wrong)})
    return log, refused


def _apply(log: TrialLog, change: Change) -> TrialLog:
    what = change.get("what") if isinstance(change, Mapping) else None
    use = CHANGES.get(what) if isinstance(what, str) else None
    if use is None:
        raise refuse(
            "what",
            "unknown",
            str(what),
            Said("wrong_no_change_this_version_knows"),
            Said("do_update_then_reload"),
        )
    return use(log, change)


def _add_candidate(log: TrialLog, change: Change) -> TrialLog:
    given = _part(change, "candidate")
    if given.get("label") in [c.label for c in log.candidates]:
        return log  # handed over once more
    free = [key for key in KEYS if key not in [c.key for c in log.candidates]]
    if not free:
        raise refuse(
            "candidate",
            "too_many",
            str(given.get("label")),
            Said("wrong_one_setup_more", {"next": len(KEYS) + 1, "most": len(KEYS)}),
            Said("do_take_one_off_first_the_fewer"),
        )
    known = ("label", "index", "stroke_m", "mean_arm_m", "present", "dial", "marks")
    values = {name: given[name] for name in known if name in given}
    if isinstance(values.get("marks"), list):
        values["marks"] = tuple(values["marks"])
    if any(c.present for c in log.candidates):
        values["present"] = False
    return add_candidate(log, Candidate(key=free[0], **{"label": None, "index": None} | values))


def _add_set(log: TrialLog, change: Change) -> TrialLog:
    return add_set(log, _set(change, str(change.get("at"))[:10]))


def _edit_set(log: TrialLog, change: Change) -> TrialLog:
    before = log.set_numbered(change["number"] if isinstance(change.get("number"), int) else -1)
    return edit_set(log, before.number, replace(_set(change, before.date), measured=before.measured))


def _attach_film(log: TrialLog, change: Change) -> TrialLog:
    given = _part(change, "measured")
    values = {f.name: given[f.name] for f in fields(Measured) if given.get(f.name) is not None}
    if isinstance(values.get("speeds_m_s"), list):
        values["speeds_m_s"] = tuple(values["speeds_m_s"])
    measured = Measured(**values)
    return measure_set(log, change["number"] if isinstance(change.get("number"), int) else -1, measured)


def _delete_set(log: TrialLog, change: Change) -> TrialLog:
    return delete_set(log, change["number"] if isinstance(change.get("number"), int) else -1)


def _with_formula(log: TrialLog, change: Change) -> TrialLog:
    return with_formula(log, str(change.get("formula")))


def _new_trial(log: TrialLog, change: Change) -> TrialLog:
    keep = change.get("keep")
    return start_anew(log, None if keep is None else str(keep))


CHANGES: dict[str, Callable[[TrialLog, Change], TrialLog]] = {
    "add_candidate": _add_candidate,
    "remove_candidate": lambda log, change: remove_candidate(log, str(change.get("candidate"))),
    "clear_pain": lambda log, change: clear_pain(log, str(change.get("candidate"))),
    "add_set": _add_set,
    "edit_set": _edit_set,
    "delete_set": _delete_set,
    "attach_film": _attach_film,
    "formula": _with_formula,
    "terms": lambda log, change: with_terms(log, *(change.get(name) for name in TERMS)),  # type: ignore[arg-type]
    "new_trial": _new_trial,
    "undo": lambda log, _: undo(log),
}


def _part(change: Change, name: str) -> Mapping[str, Any]:
    part = change.get(name)
    if not isinstance(part, Mapping):
        raise refuse(name, "damaged", str(part), Said("wrong_holds_nothing"), Said("do_enter_it_again"))
    return part


def _set(change: Change, date: str) -> SetRecord:
    entry = _part(change, "set")
    return SetRecord(
        candidate=str(entry.get("candidate")),
        date=date,
        load_kg=_load(entry),
        reps=_whole(_number(entry, "reps", *REPS)),
        reps_in_reserve=_number(entry, "reserve", *RESERVE),
        touched=bool(entry.get("touched", True)),
        pain=bool(entry.get("pain", False)),
    )


def _load(entry: Mapping[str, Any]) -> float:
    """The load in kg, as typed in kg or lb."""
    typed, unit = str(entry.get("load", "")), str(entry.get("unit"))
    unit = unit if unit in UNITS else "kg"
    low, high = (mass(value, unit) for value in LOAD_KG)
    remedy = Said("typed_load_remedy", {"low": low, "high": high})
    try:
        load = read_quantity(typed, MASS_UNITS, unit)
    except UnreadableError:
        wrong = Said("typed_no_weight", {"given": typed[:24]})
        raise InputError("load", "not_a_number", typed[:24], wrong, remedy) from None
    if not LOAD_KG[0] <= load <= LOAD_KG[1]:
        wrong = Said("typed_load_outside", {"given": mass(load, unit), "low": low, "high": high})
        raise InputError("load", "out_of_range", typed[:24], wrong, remedy)
    return load


def _number(entry: Mapping[str, Any], field: str, low: float, high: float) -> float:
    typed = str(entry.get(field, "")).strip()
    try:
        value = float(typed.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        values = {"label": Said(CORE[field]), "given": typed[:24], "low": low, "high": high}
        wrong = Said("typed_no_number" if typed else "typed_nothing", values)
        raise InputError(field, "out_of_range", typed[:24], wrong, Said("typed_remedy", values))
    return value


def _whole(value: float) -> int:
    if value != int(value):
        given = f"{value:g}"
        said = Said("set_not_whole", {"given": given})
        raise InputError("reps", "not_whole", given, said, Said("set_not_whole_remedy"))
    return int(value)


def plain(wrong: InputError) -> dict[str, Text]:
    """The error, to be said, with the screen's own field names."""
    told = dict(wrong.told())
    return told | {"field": FIELDS.get(wrong.field, wrong.field)}


def _said(change: object) -> Text:
    """What a change was, in words, for one that is refused."""
    if not isinstance(change, Mapping):
        return Said("change_unreadable")
    what = str(change.get("what"))[:24]
    entry = change.get("set")
    if isinstance(entry, Mapping):
        load, reps, unit = (str(entry.get(name, "?"))[:12] for name in ("load", "reps", "unit"))
        values = {"key": str(entry.get("candidate"))[:4], "load": load, "reps": reps, "unit": unit}
        if isinstance(change.get("number"), int):
            return Said("change_of_set_numbered", values | {"number": change["number"]})
        return Said("change_of_set", values)
    candidate = change.get("candidate")
    if isinstance(candidate, Mapping):
        return Said("change_of_setup", {"label": str(candidate.get("label"))[:40]})
    detail = str(change.get("number", change.get("candidate", "")))[:12]
    if what in CHANGES:
        return Said(f"change_{what}", {"detail": detail})
    return Said("change_unknown", {"what": what})
