"""Changes to a log: pure functions that return a new one, and undo.

Every change pushes a ``Step``; ``undo_step`` pops it. Pain is sticky: a set with pain takes its setup off
the list, and neither editing nor deleting that set, nor any number, puts it back. ``clear_pain`` does, and
only a person calls it. (Undoing takes back a whole entry, pain included: a slip of the thumb.)
"""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from shortlever.errors import InputError
from shortlever.say import Said
from shortlever.trials.checks import refuse
from shortlever.trials.log import Candidate, Measured, SetRecord, Step, TrialLog

MOST_STEPS = 50  # changes that can be undone; older ones are forgotten

T = TypeVar("T")


def _put(items: tuple[T, ...], place: int | None, old: T | None, new: T | None) -> tuple[T, ...]:
    """``items`` with ``old`` at ``place`` replaced by ``new``; None means nothing there."""
    if place is None:
        return items
    return items[:place] + (() if new is None else (new,)) + items[place + (old is not None) :]


def _stands(items: tuple[T, ...], place: int | None, item: T | None) -> bool:
    """Whether what a step left behind is still where it left it."""
    if place is None or item is None:
        return place is None or place <= len(items)
    return place < len(items) and items[place] == item


def _apply(log: TrialLog, step: Step) -> TrialLog:
    sets = _put(log.sets, step.set_place, step.set_before, step.set_after)
    candidates = _put(log.candidates, step.candidate_place, step.candidate_before, step.candidate_after)
    number = max(log.next_number, step.set_after.number + 1) if step.set_after else log.next_number
    steps = (*log.steps, step)[-MOST_STEPS:]
    return replace(log, candidates=candidates, sets=sets, steps=steps, next_number=number)


def undo_step(log: TrialLog) -> TrialLog:
    """The log before its last change; raises InputError where nothing is left to undo.

    The numbers of sets go on counting, so that no number ever means two sets.
    """
    if not log.steps:
        raise InputError("undo", "nothing", "", Said("undo_nothing"), Said("undo_nothing_remedy"))
    step = log.steps[-1]
    if not _stands(log.sets, step.set_place, step.set_after) or not _stands(
        log.candidates, step.candidate_place, step.candidate_after
    ):
        raise refuse(
            "undo",
            "damaged",
            step.what,
            Said("wrong_does_not_fit_the_log_any"),
            Said("do_edit_the_set_instead"),
        )
    sets = _put(log.sets, step.set_place, step.set_after, step.set_before)
    candidates = _put(log.candidates, step.candidate_place, step.candidate_after, step.candidate_before)
    return replace(log, candidates=candidates, sets=sets, steps=log.steps[:-1])


def add_candidate(log: TrialLog, candidate: Candidate) -> TrialLog:
    """The log with one more setup. Raises InputError for a fifth, a name twice, a second present one."""
    return _apply(
        log,
        Step(
            f"add setup {candidate.label}",
            candidate_place=len(log.candidates),
            candidate_after=replace(candidate, pain=False, cleared=False),
        ),
    )


def remove_candidate(log: TrialLog, key: str) -> TrialLog:
    """The log without a setup. Raises InputError where it has sets, or pain nobody cleared."""
    place = log.place_of(key)
    before = log.candidates[place]
    if before.off_list or any(s.candidate == key for s in log.sets):
        raise refuse(
            "candidate",
            "in_use",
            before.label,
            Said("wrong_pain_reported_with_it") if before.off_list else Said("wrong_sets_in_the_log"),
            Said("do_keep_it_or_start_a_new"),
        )
    return _apply(log, Step(f"remove setup {before.label}", candidate_place=place, candidate_before=before))


def clear_pain(log: TrialLog, key: str) -> TrialLog:
    """The log with a setup back on the list after pain: a person's own decision, never a program's."""
    place = log.place_of(key)
    before = log.candidates[place]
    if not before.off_list:
        raise refuse(
            "candidate",
            "not_off_list",
            before.label,
            Said("wrong_on_the_list"),
            Said("do_there_is_nothing_to_clear"),
        )
    return _apply(
        log,
        Step(
            f"clear {before.label}",
            candidate_place=place,
            candidate_before=before,
            candidate_after=replace(before, cleared=True),
        ),
    )


def _pained(log: TrialLog, key: str) -> tuple[int, Candidate, Candidate]:
    """Place of a candidate, the candidate, and the candidate with pain reported anew."""
    place = log.place_of(key)
    before = log.candidates[place]
    return place, before, replace(before, pain=True, cleared=False)


def add_set(log: TrialLog, record: SetRecord) -> TrialLog:
    """The log with one more set at its end, numbered by the log. Pain takes its setup off the list.

    A set of a setup that is off the list is recorded all the same: it was done.
    """
    log.place_of(record.candidate)
    place, before, after = _pained(log, record.candidate) if record.pain else (None, None, None)
    return _apply(
        log,
        Step(
            f"add set {log.next_number}",
            set_place=len(log.sets),
            set_after=replace(record, number=log.next_number),
            candidate_place=place,
            candidate_before=before,
            candidate_after=after,
        ),
    )


def measure_set(log: TrialLog, number: int, measured: Measured) -> TrialLog:
    """The log with what a film showed of a set kept with it; an earlier film of it is replaced."""
    before = log.set_numbered(number)
    step = Step(
        f"film of set {number}",
        set_place=log.set_place_of(number),
        set_before=before,
        set_after=replace(before, measured=measured),
    )
    return _apply(log, step)


def edit_set(log: TrialLog, number: int, record: SetRecord) -> TrialLog:
    """The log with one set replaced; it keeps its number and place.

    Pain that was not there before, or that moves to another setup, takes that setup off the list.
    """
    set_place = log.set_place_of(number)
    old = log.sets[set_place]
    log.place_of(record.candidate)
    new_pain = record.pain and not (old.pain and old.candidate == record.candidate)
    place, before, after = _pained(log, record.candidate) if new_pain else (None, None, None)
    return _apply(
        log,
        Step(
            f"edit set {number}",
            set_place=set_place,
            set_before=old,
            set_after=replace(record, number=number),
            candidate_place=place,
            candidate_before=before,
            candidate_after=after,
        ),
    )


def delete_set(log: TrialLog, number: int) -> TrialLog:
    """The log without one set. Pain that was reported in it stays with the setup."""
    place = log.set_place_of(number)
    return _apply(
        log, Step(f"delete set {number}", set_place=place, set_before=log.sets[place], set_after=None)
    )


def with_formula(log: TrialLog, formula: str) -> TrialLog:
    """The log read with another formula (a key of FORMULAS); no step to undo, as nothing was entered."""
    return replace(log, formula=formula)


def with_terms(log: TrialLog, margin_percent: float, sets_each: int) -> TrialLog:
    """The log with another margin and other sets of each setup at most; no step to undo, as for the formula.

    Raises InputError for a margin that is not one of MARGINS_PERCENT, and for sets outside 12 to 500.
    """
    return replace(log, margin_percent=margin_percent, sets_each=sets_each)
