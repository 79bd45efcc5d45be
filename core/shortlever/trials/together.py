"""Two logs of one lifter's sets, each gone on by itself from what both once had, as one log.

A set is known by what it says (setup, day, load, reps, reserve, held as planned, pain) and by how many there
are that say the same: numbers are each log's own. So what both logs have counts once, and a set of either is
never lost.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from shortlever.trials.log import MOST_CANDIDATES, MOST_SETS, Candidate, SetRecord, TrialLog

Event = tuple[str, str, float, int, float, bool, bool, int]


def together(mine: TrialLog, theirs: TrialLog, base: TrialLog | None = None) -> TrialLog | None:
    """Both as one, or None where only a person can tell: another trial was begun on one side, both changed
    the same set or the terms, or there would be too many setups.

    ``base`` is what both had. A set that one side took out since stays out; without a base none was. What is
    here keeps its numbers, and undo begins anew.

    >>> from shortlever.trials import Candidate, add_candidate, add_set
    >>> both = add_candidate(TrialLog(), Candidate("A", "Wide", 5.0))
    >>> here = add_set(both, SetRecord("A", "2031-05-09", 100.0, 5, 1))
    >>> there = add_set(both, SetRecord("A", "2031-05-09", 102.5, 4, 1))
    >>> [one.load_kg for one in together(here, there, both).sets]
    [100.0, 102.5]
    """
    before = TrialLog(lift=mine.lift) if base is None or base.earlier != mine.earlier else base
    if mine.lift != theirs.lift or mine.earlier != theirs.earlier:
        return None
    here, there, once = _events(mine), _events(theirs), _events(before)
    out_here, out_there = once.keys() - here.keys(), once.keys() - there.keys()
    new_here, new_there = here.keys() - once.keys(), there.keys() - once.keys()
    days = [
        {day for _, day, *_ in events}
        for events in (out_here & out_there, new_here - new_there, new_there - new_here)
    ]
    if set.intersection(*days):
        return None  # as if one and the same set had been edited on both sides: an edit stays in its day
    terms = _terms(mine, theirs, base)
    candidates = _candidates(mine, theirs, before)
    if terms is None or candidates is None:
        return None
    place = {one.label: one.key for one in candidates}
    label = {one.key: one.label for one in theirs.candidates}
    sets = [_with_film(one, there.get(event)) for event, one in here.items() if event not in out_there]
    number = max(mine.next_number, theirs.next_number)
    for event, one in there.items():
        if event in new_there and event not in here:
            sets.append(replace(one, candidate=place[label[one.candidate]], number=number))
            number += 1
    if len(sets) > MOST_SETS:
        return None
    sets.sort(key=lambda one: one.date)
    formula, margin, each = terms
    return replace(
        mine,
        candidates=tuple(candidates),
        sets=tuple(sets),
        steps=(),
        next_number=number,
        formula=formula,
        margin_percent=margin,
        sets_each=each,
    )


def alike(one: TrialLog, other: TrialLog) -> bool:
    """Whether two logs have the same sets, setups and terms; numbers, letters, the undo stack and how a setup
    is described are each one's own."""
    films = [{event: done.measured for event, done in _events(log).items()} for log in (one, other)]
    setups = [{(c.label, c.pain, c.cleared) for c in log.candidates} for log in (one, other)]
    rest = [(log.lift, log.earlier, *_terms_of(log)) for log in (one, other)]
    return films[0] == films[1] and setups[0] == setups[1] and rest[0] == rest[1]


def _events(log: TrialLog) -> dict[Event, SetRecord]:
    """The sets by what they say, in their order."""
    label = {one.key: one.label for one in log.candidates}
    seen: Counter[tuple[object, ...]] = Counter()
    found: dict[Event, SetRecord] = {}
    for one in log.sets:
        says = (
            label[one.candidate],
            one.date,
            one.load_kg,
            one.reps,
            one.reps_in_reserve,
            one.touched,
            one.pain,
        )
        seen[says] += 1
        found[(*says, seen[says])] = one
    return found


def _with_film(one: SetRecord, other: SetRecord | None) -> SetRecord:
    return replace(one, measured=other.measured) if one.measured is None and other is not None else one


def _terms_of(log: TrialLog) -> tuple[str, float, int]:
    return log.formula, log.margin_percent, log.sets_each


def _terms(mine: TrialLog, theirs: TrialLog, base: TrialLog | None) -> tuple[str, float, int] | None:
    here, there = _terms_of(mine), _terms_of(theirs)
    if here == there or (base is not None and there == _terms_of(base)):
        return here
    return there if base is not None and here == _terms_of(base) else None


def _candidates(mine: TrialLog, theirs: TrialLog, base: TrialLog) -> list[Candidate] | None:
    """The setups of both, those here first, and off the list where either took one off; None for too many."""
    here, there, once = ({one.label: one for one in log.candidates} for log in (mine, theirs, base))
    tried = {one.candidate for one in theirs.sets}
    added = [
        one
        for one in theirs.candidates
        if one.label not in here and (one.label not in once or one.key in tried)
    ]
    if len(here) + len(added) > MOST_CANDIDATES:
        return None
    free = [key for key in "ABCD" if key not in {one.key for one in mine.candidates}]
    has_present = any(one.present for one in mine.candidates)
    out = [_pained(one, there.get(one.label), once.get(one.label)) for one in mine.candidates]
    for one in added:
        key = one.key if one.key in free or not free else free[0]
        if key in free:
            free.remove(key)
        out.append(replace(one, key=key, present=one.present and not has_present))
    return out if len({one.key for one in out}) == len(out) else None


def _pained(mine: Candidate, theirs: Candidate | None, base: Candidate | None) -> Candidate:
    if theirs is None:
        return mine
    here, there, once = ((one.pain, one.cleared) if one else (False, False) for one in (mine, theirs, base))
    if there == once or here == there:
        return mine
    worst = there if here == once or theirs.off_list else here
    return replace(mine, pain=worst[0], cleared=worst[1])
