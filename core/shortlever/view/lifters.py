"""The lifters screen's questions about a file; what is kept on the device stays the page's own business.

- ``{"want": "lifters/preview", "text", "here": {id: record}, "base": {id: record}, "names", "alike": [id]}``:
  what the file holds, and for each lifter of it what taking it would change here; ``names`` are those here,
  ``alike`` who stands here just as in the file; ``damaged`` are its lifters who are not sound, by their place
  in it;
- ``{"want": "lifters/merge", as for preview, "choices": {id: "mine", "theirs" or "both"}, "keep": {id: [paths
  of conflicts in which mine stays]}, "spare": {id: new id}, "now": ISO time}``: the records to write, and
  what the file holds of each (also of those who are the same here). A lifter who is new here is in the file
  as he is to be written.

Nothing is remembered between questions, and nothing is written here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from shortlever.errors import InputError
from shortlever.lifts import LIFTS
from shortlever.lifts.form import Choice
from shortlever.person.tape import MEASURES
from shortlever.roster import CHOICES, Comparison, Damaged, compare, put_together, sound_of_text
from shortlever.roster.record import check
from shortlever.say import InUnit, Said, Text, in_row
from shortlever.trials import TrialLog, from_json, to_json
from shortlever.view.doors import Doors
from shortlever.view.sets_changes import fold

PARTS = {"name": Said("sheet_name")} | {
    name: Said(f"part_{name}")
    for name in (
        "notes",
        "archived",
        "preference",
        "preference_from",
        "choice",
        "cautions_read",
        "trials",
        "tapes",
        "setups",
    )
}
SHOWN = 80  # characters of a value


def _records(request: Mapping[str, Any], name: str) -> dict[str, dict[str, Any]]:
    """Records of this device by id; one that is not sound takes no part."""
    found = request.get(name)
    sound = {}
    for key, record in found.items() if isinstance(found, Mapping) else ():
        try:
            sound[key] = check(record, name)
        except InputError:
            continue
    return sound


def _all(
    request: Mapping[str, Any],
) -> tuple[dict[str, Any], list[Damaged], dict[str, dict[str, Any]], dict[str, dict[str, Any]]]:
    """The file, who is damaged in it, and the records here and before; of those who are here, too, all sets
    are worked in, so that sets stand beside sets."""
    file, damaged = sound_of_text(str(request.get("text", "")))
    here, base = (
        {key: _folded(one) for key, one in _records(request, name).items()} for name in ("here", "base")
    )
    file = {**file, "lifters": [_folded(one) if one["id"] in here else one for one in file["lifters"]]}
    return file, damaged, here, base


def _folded(record: dict[str, Any]) -> dict[str, Any]:
    """The record with the changes of its sets worked in, but where one of them would be refused."""
    lifts = dict(record["lifts"])
    for lift, kept in lifts.items():
        trials = kept["trials"]
        if trials["pending"]:
            before = from_json(trials["log"]) if trials["log"] else TrialLog(lift=lift)
            log, refused = fold(before, trials["pending"])
            if not refused:
                lifts[lift] = {**kept, "trials": {**trials, "log": to_json(log), "pending": []}}
    return {**record, "lifts": lifts}


def _preview(request: Mapping[str, Any]) -> dict[str, Any]:
    file, damaged, here, base = _all(request)
    names, alike = ({str(one) for one in request.get(part, [])} for part in ("names", "alike"))

    def seen(theirs: dict[str, Any]) -> dict[str, Any]:
        key, name = theirs["id"], theirs["name"]
        known = key in alike
        found = Comparison("same") if known else compare(here.get(key), theirs, base.get(key))
        namesake = not known and key not in here and name in names
        return {"id": key, "name": name, "namesake": namesake, **_compared(found, _unit(theirs))}

    return {
        "exported": file["exported"],
        "lifters": [seen(theirs) for theirs in file["lifters"]],
        "damaged": [
            {
                "place": one.place,
                "name": one.name,
                "fault": one.fault.field,
                "message": one.fault.told()["message"],
            }
            for one in damaged
        ],
    }


def _unit(record: Mapping[str, Any]) -> str:
    """The unit of a lifter's last tape."""
    return str(record["tapes"][-1]["unit"]) if record["tapes"] else "cm"


def _compared(found: Comparison, unit: str) -> dict[str, Any]:
    return {
        "state": found.state,
        "differences": [
            {
                "path": one.path,
                "label": label_of(one.path),
                "mine": InUnit(unit, shown(one.path, one.mine)),
                "theirs": InUnit(unit, shown(one.path, one.theirs)),
                "take": one.take,
            }
            for one in found.differences
        ],
    }


def _merge(request: Mapping[str, Any]) -> dict[str, Any]:
    file, _, here, base = _all(request)
    choices, spare, now, keep = (request.get(name) for name in ("choices", "spare", "now", "keep"))
    if not isinstance(choices, Mapping) or not isinstance(spare, Mapping):
        raise InputError("choices", "damaged", "", Said("no_choices"), Said("no_choices_remedy"))
    records: list[dict[str, Any]] = []
    common: dict[str, Any] = {}
    for theirs in file["lifters"]:
        key = theirs["id"]
        choice = choices.get(key)
        if choice not in CHOICES:
            said = Said("not_chosen", {"name": theirs["name"]})
            raise InputError(key, "missing", str(choice), said, Said("not_chosen_remedy"))
        mine, before = here.get(key), base.get(key)
        stays = keep.get(key, ()) if isinstance(keep, Mapping) else ()
        new_id = str(spare.get(key))
        record = put_together(mine, theirs, before, choice, now=str(now), new_id=new_id, keep=list(stays))
        if record is not None:
            records.append(record)
        if compare(mine, theirs, before).state == "same" if record is None else record["id"] == key:
            common[key] = theirs
    return {"records": records, "common": common}


DOORS: Doors = {"lifters/preview": _preview, "lifters/merge": _merge}


# ---- in words


def label_of(path: str) -> Text:
    """What a path of a record is called on the screen.

    >>> str(label_of("tapes/2031-05-05/fields/arm_length"))
    'Arm length, 2031-05-05'
    >>> str(label_of("lifts/chin_up/trials"))
    'Sets, chin_up'
    """
    part, *rest = path.split("/")
    if part == "tapes":
        return in_row([name_of(rest[2]) if rest[1:] else PARTS[part], rest[0]], "comma")
    if part == "lifts":
        lift = LIFTS[rest[0]].name if rest[0] in LIFTS else rest[0]
        return in_row([PARTS.get(rest[1], rest[1]), lift], "comma")
    return PARTS.get(part, part)


def name_of(key: str) -> Text:
    """A tape number or a choice of any lift by its label."""
    if key in MEASURES:
        return MEASURES[key].label
    found = (lift.measure_of(key) or lift.choice_of(key) for lift in LIFTS.values())
    return next((one.label for one in found if one), key)


def _choice_of(key: str) -> Choice | None:
    return next((one for lift in LIFTS.values() if (one := lift.choice_of(key))), None)


def shown(path: str, value: Any) -> Text:
    """A value as a person knows it; "–" for none."""
    part, *rest = path.split("/")
    if value is None or value == "":
        return "–"
    if part == "lifts" and rest[1] == "choice" and rest[0] in LIFTS and isinstance(value, Mapping):
        said = LIFTS[rest[0]].setup_in_words(value)
        if said:
            return said
    if part == "lifts":
        part = rest[1]
    if part == "tapes" and not rest[1:]:
        return _tape(value["unit"], list(value["fields"].items()))
    if part == "tapes" and rest[1] == "choices" and (choice := _choice_of(rest[2])):
        return choice.options.get(value, str(value))
    if part == "setups":
        return str(value.get("text") or value.get("name") or value["key"])[:SHOWN]
    if part == "trials":
        return _sets(value)
    if isinstance(value, bool):
        return Said("yes" if value else "no")
    return str(value)[:SHOWN]


def _tape(unit: str, numbers: Sequence[tuple[str, str]]) -> Text:
    """A whole tape, cut where it is long."""
    named = [Said("number_of_tape", {"name": name_of(key), "typed": typed}) for key, typed in numbers]
    return Said("whole_tape", {"unit": unit, "numbers": in_row(named, "comma")})


def _sets(trials: Mapping[str, Any]) -> Text:
    count = len(from_json(trials["log"]).sets) if trials["log"] else 0
    waiting = len(trials["pending"])
    sets = Said("sets", {"count": count})
    return in_row([sets, Said("sets_waiting", {"count": waiting})], "comma") if waiting else sets
