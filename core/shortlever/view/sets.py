"""The screen of sets: changes that were tapped in, folded into the log; and everything the screen shows.

Stateless: a log as text and a list of changes (``sets_changes``) come in, the new log and what it says go
out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from shortlever.errors import InputError
from shortlever.lifts import LIFTS, UNNAMED
from shortlever.say import ENGLISH, Language, Said, Text, Voice
from shortlever.trials import (
    FORMULAS,
    TrialLog,
    fair_order,
    from_json,
    judge,
    to_json,
)
from shortlever.trials.checks import day_of, refuse
from shortlever.trials.log import MARGINS_PERCENT
from shortlever.trials.repmax import LOAD_KG, MOST_TOTAL_REPS, REPS, RESERVE
from shortlever.view.sets_changes import TERMS, UNITS, Change, fold, plain
from shortlever.view.sets_rows import Rows
from shortlever.view.verdict import Verdict

MOST_CHANGES = 5000


def example_request(lift: str = UNNAMED, language: Language = ENGLISH) -> dict[str, Any]:
    """The trial of the invented lifter Mara Feld of the invented gym Kalkwerk: what the screen shows as a
    lift's example."""
    sets = (("A", 5), ("B", 6), ("B", 6), ("A", 5), ("B", 5), ("A", 4), ("A", 3), ("B", 5))
    first = LIFTS[lift].example_load_kg
    changes: list[dict[str, Any]] = [
        {"what": "add_candidate", "at": "2031-05-05T18:00", "candidate": Voice(language, "cm").all(setup)}
        for setup in LIFTS[lift].example_trial
    ]
    for place, (key, reps) in enumerate(sets):
        load = f"{first + (0 if place < len(sets) // 2 else 2.5):g}"
        entry = {"candidate": key, "load": load, "unit": "kg", "reps": reps, "reserve": 2}
        day = "2031-05-05" if place < len(sets) // 2 else "2031-05-09"
        changes.append({"what": "add_set", "at": f"{day}T18:{5 * place:02d}", "set": entry})
    request = {"want": "sets/verdict", "log": "", "pending": changes, "unit": "kg", "date": "2031-05-12"}
    return request if lift == UNNAMED else request | {"lift": lift}


def answer(request: Mapping[str, Any]) -> dict[str, Any]:
    """Answer "sets/fold" (at once) or "sets/verdict" (everything, a few tenths of a second).

    The request holds "lift", "log" (text, or "" for none yet), "pending" (changes), "unit" ("kg" or "lb") and
    "date" (today, ISO). Both answer with "log" (the text with the changes in it), "folded" (how many changes
    were used up, the refused ones among them), "refused", "rows", "candidates", "coming" and "undo".
    """
    try:
        unit, changes, date = _read(request)
        text = request.get("log") or ""
        log = from_json(text) if text else TrialLog(lift=str(request.get("lift", UNNAMED)))
    except InputError as wrong:
        return {"ok": False, "errors": [plain(wrong)], "warnings": []}
    log, refused = fold(log, changes)
    found: dict[str, Any] = {
        "ok": True,
        "errors": [],
        "warnings": [],
        "log": to_json(log),
        "folded": len(changes),
        "refused": refused,
        "coming": coming(log, date),
        "undo": _undoes(log),
        "formulas": [{"key": f.key, "label": f.label, "source": f.source} for f in FORMULAS.values()],
        "terms": {name: getattr(log, name) for name in TERMS},
        "margins": list(MARGINS_PERCENT),
        "limits": {"load": LOAD_KG, "reps": REPS, "reserve": RESERVE, "total": MOST_TOTAL_REPS},
    }
    rows = Rows(log, unit)
    found |= {"candidates": rows.candidates(), "rows": rows.rows(), "formula": rows.formula()}
    if request.get("want") == "sets/verdict":
        found |= Verdict(log, unit).everything(judge(_lettered(log), date))
    return found


def _undoes(log: TrialLog) -> Text | None:
    """What "undo" would take back, in words."""
    if not log.steps:
        return Said("undo_new_trial") if log.earlier and not log.sets else None
    step = log.steps[-1]
    record, setup = step.set_after or step.set_before, step.candidate_after or step.candidate_before
    if record:
        what = "delete" if not step.set_after else "edit" if step.set_before else "add"
        if step.set_before and step.set_after and step.set_before.measured != step.set_after.measured:
            what = "film"
        return Said(f"undo_{what}_set", {"number": record.number})
    what = "remove" if not step.candidate_after else "clear" if step.candidate_before else "add"
    return Said(f"undo_{what}_setup", {"label": setup.label if setup else ""})


def _lettered(log: TrialLog) -> TrialLog:
    """The log with letters for names, so that sentences about it stay short."""
    return replace(log, candidates=tuple(replace(c, label=c.key) for c in log.candidates))


def _read(request: Mapping[str, Any]) -> tuple[str, list[Change], str]:
    """Unit, changes and date of a request, checked."""
    unit, changes, date = request.get("unit"), request.get("pending"), request.get("date")
    if unit not in UNITS:
        raise refuse(
            "unit", "not_a_choice", str(unit), Said("wrong_not_a_choice"), Said("do_choose_kg_or_lb")
        )
    if not isinstance(changes, list) or len(changes) > MOST_CHANGES:
        raise refuse(
            "pending",
            "damaged",
            str(type(changes).__name__),
            Said("wrong_no_list_of_changes"),
            Said("do_reload"),
        )
    coming(TrialLog(), date)
    return str(unit), changes, str(date)


# ---- what comes next


def coming(log: TrialLog, date: object) -> dict[str, Any] | None:
    """The fair order of the day and what is next in it; None while fewer than two setups are on the list.

    "order" is the running block with the sets done in it left in, "done" how many of it are done, "next" the
    key to do now. Sets done out of order are made up for: the block goes on with what is left of it. Raises
    InputError for a date that is none.
    """
    today = day_of(str(date))
    earlier = sum(day_of(d) < today for d in log.dates)
    keys = [c.key for c in log.on_list]
    if len(keys) < 2:
        return None
    done = [s.candidate for s in log.sets if s.date == date and s.candidate in keys]
    block = 0
    while True:
        order = list(fair_order(keys, session=earlier + block))
        left, still = list(order), []
        for key in done:
            if key in left:
                left.remove(key)
            else:
                still.append(key)
        if left:
            return {"order": order, "done": len(order) - len(left), "left": left, "next": left[0]}
        done, block = still, block + 1
