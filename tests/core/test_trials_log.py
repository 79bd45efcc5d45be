"""The record of sets: changes, undo, pain, and the exact round trip through JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shortlever import InputError
from shortlever.trials import (
    Candidate,
    SetRecord,
    TrialLog,
    add_candidate,
    add_set,
    clear_pain,
    delete_set,
    edit_set,
    from_json,
    judge,
    remove_candidate,
    start_anew,
    to_json,
    undo,
    with_formula,
    with_terms,
)
from shortlever.trials.changes import MOST_STEPS

NOW = Candidate("now", "Now", 5.0, 0.36, 0.11, present=True)
WIDE = Candidate("wide", "Wide", 5.2, 0.34, 0.13)
HIGH = Candidate("high", "High “touch” é", 4.9)
DAY = "2031-05-09"


def a_set(key: str = "now", load: float = 102.5, reps: int = 5, **more: object) -> SetRecord:
    return SetRecord(key, DAY, load, reps, 1.5, **more)  # type: ignore[arg-type]


@pytest.fixture
def log() -> TrialLog:
    made = TrialLog()
    for candidate in (NOW, WIDE, HIGH):
        made = add_candidate(made, candidate)
    return add_set(add_set(made, a_set()), a_set("wide", touched=False))


def changes(log: TrialLog) -> list[TrialLog]:
    """One log after each kind of change."""
    hurt = add_set(log, a_set("wide", pain=True))
    return [
        log,
        add_candidate(log, Candidate("fourth", "Fourth", 5.0)),
        remove_candidate(log, "high"),
        hurt,
        clear_pain(hurt, "wide"),
        edit_set(log, 1, a_set("high", 90, pain=True)),
        delete_set(log, 1),
        undo(log),
        with_formula(log, "epley"),
        with_terms(log, 5.0, 24),
        start_anew(log, "wide"),
        start_anew(add_set(start_anew(log, "now"), a_set()), "now"),
    ]


def test_round_trip_is_exact(log: TrialLog) -> None:
    for changed in changes(log):
        text = to_json(changed)
        back = from_json(text)
        assert back == changed
        assert to_json(back) == text
        if changed.steps:
            assert undo(back) == undo(changed)


def test_undo_of_every_change(log: TrialLog) -> None:
    before = (log.candidates, log.sets, log.steps)
    hurt = add_set(log, a_set("wide", pain=True))
    for changed in (*changes(log)[1:4], *changes(log)[5:7]):
        assert changed.steps != log.steps
        back = undo(changed)
        assert (back.candidates, back.sets, back.steps) == before
    assert undo(clear_pain(hurt, "wide")) == hurt


def test_a_new_trial_keeps_the_old_one(log: TrialLog) -> None:
    first = with_formula(add_set(log, a_set("high", pain=True)), "epley")
    second = add_set(start_anew(first, "wide"), a_set("wide"))
    third = start_anew(second, "wide")
    assert [c.key for c in third.candidates] == ["wide", "high"] and third.candidates[0].present
    assert [c.off_list for c in third.candidates] == [False, True], "pain comes along"
    assert third.sets == third.steps == () and third.formula == "epley"
    assert [from_json(text).sets for text in third.earlier] == [first.sets, second.sets]
    assert undo(third) == second
    assert undo(undo(second)) == first, "also after the first set of the new one"
    for keep in ("high", "nobody"):
        with pytest.raises(InputError):
            start_anew(first, keep)
    with pytest.raises(InputError, match="nothing to put away"):
        start_anew(third)


def test_undo_to_the_beginning(log: TrialLog) -> None:
    for _ in range(5):
        log = undo(log)
    assert (log.candidates, log.sets) == ((), ())
    with pytest.raises(InputError, match="Nothing is left"):
        undo(log)


def test_old_steps_are_forgotten(log: TrialLog) -> None:
    for _ in range(MOST_STEPS + 10):
        log = add_set(log, a_set())
    assert len(log.steps) == MOST_STEPS
    for _ in range(MOST_STEPS):
        log = undo(log)
    assert len(log.sets) == 12


def test_numbers_are_never_used_twice(log: TrialLog) -> None:
    again = add_set(undo(add_set(log, a_set())), a_set(load=80))
    assert [s.number for s in again.sets] == [1, 2, 4]
    assert again.set_numbered(4).load_kg == 80
    assert [s.number for s in add_set(delete_set(log, 2), a_set()).sets] == [1, 3]


def test_edit_keeps_number_and_place(log: TrialLog) -> None:
    edited = edit_set(log, 1, a_set("high", 90))
    assert [(s.number, s.candidate, s.load_kg) for s in edited.sets] == [(1, "high", 90), (2, "wide", 102.5)]
    assert log.sets[0].candidate == "now", "the old log is untouched"


@pytest.mark.sweep
def test_pain_is_sticky(log: TrialLog) -> None:
    hurt = add_set(log, a_set("wide", pain=True))
    for later in (
        hurt,
        delete_set(hurt, 3),
        edit_set(hurt, 3, a_set("wide", pain=False)),
        edit_set(hurt, 3, a_set("now", pain=False)),
        from_json(to_json(hurt)),
        add_set(hurt, a_set("wide", 300, 12)),
    ):
        assert later.candidate("wide").off_list
        assert [c.key for c in later.on_list] == ["now", "high"]
        report = judge(later)
        standing = report.standings[1]
        assert standing.off_list and standing.chance_best is None
        assert report.best != "wide" and (report.next is None or report.next.key != "wide")
        assert ("trial_pain", {"name": "Wide"}) in [(c.code, c.values) for c in report.cautions]
    cleared = clear_pain(delete_set(hurt, 3), "wide")
    assert len(cleared.on_list) == 3 and judge(cleared).cautions == ()
    assert undo(hurt).on_list == log.on_list


def test_pain_after_clearing_counts_anew(log: TrialLog) -> None:
    cleared = clear_pain(add_set(log, a_set("wide", pain=True)), "wide")
    assert not edit_set(cleared, 3, a_set("wide", 95, pain=True)).candidate("wide").off_list
    assert add_set(cleared, a_set("wide", pain=True)).candidate("wide").off_list
    assert edit_set(cleared, 2, a_set("wide", pain=True)).candidate("wide").off_list


def test_pain_moves_with_an_edit_but_stays_too(log: TrialLog) -> None:
    moved = edit_set(add_set(log, a_set("wide", pain=True)), 3, a_set("high", pain=True))
    assert [c.key for c in moved.on_list] == ["now"]


def test_pain_cannot_be_smuggled_in_or_out(log: TrialLog) -> None:
    smuggled = add_candidate(TrialLog(), replace(WIDE, pain=True, cleared=True))
    assert smuggled.candidates == (WIDE,)
    with pytest.raises(InputError, match="pain"):
        remove_candidate(delete_set(add_set(log, a_set("high", pain=True)), 3), "high")
    with pytest.raises(InputError, match="nothing to clear"):
        clear_pain(log, "wide")


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (lambda log: add_set(log, a_set("nobody")), "candidate"),
        (lambda log: edit_set(log, 9, a_set()), "number"),
        (lambda log: delete_set(log, 9), "number"),
        (lambda log: remove_candidate(log, "now"), "candidate"),
        (lambda log: add_candidate(log, Candidate("now", "Other", 1.0)), "key"),
        (lambda log: add_candidate(log, Candidate("x", "Now", 1.0)), "label"),
        (lambda log: add_candidate(log, Candidate("x", "X", 1.0, present=True)), "present"),
        (
            lambda log: add_candidate(add_candidate(log, Candidate("x", "X", 1.0)), Candidate("y", "Y", 1.0)),
            "candidates",
        ),
        (lambda log: with_formula(log, "mine"), "formula"),
        (lambda log: a_set(load=0), "load_kg"),
        (lambda log: a_set(reps=0), "reps"),
        (lambda log: SetRecord("now", "9 May", 100, 5, 1), "date"),
        (lambda log: SetRecord("now", "20310509", 100, 5, 1), "date"),
        (lambda log: SetRecord("now", "2031-02-30", 100, 5, 1), "date"),
        (lambda log: SetRecord("now", None, 100, 5, 1), "date"),
        (lambda log: SetRecord("now", DAY, 100, 5.0, 1), "reps"),
        (lambda log: a_set(pain="no"), "pain"),
        (lambda log: a_set(touched=None), "touched"),
        (lambda log: a_set(number=-1), "number"),
        (lambda log: a_set(" "), "candidate"),
        (lambda log: Candidate("x", "", 1.0), "label"),
        (lambda log: Candidate("x", "X" * 61, 1.0), "label"),
        (lambda log: Candidate("x", "X", 0.0), "index"),
        (lambda log: Candidate("x", "X", float("nan")), "index"),
        (lambda log: Candidate("x", "X", 1.0, stroke_m=36.0), "stroke_m"),
        (lambda log: Candidate("x", "X", 1.0, present=1), "present"),
    ],
)
def test_refused(log: TrialLog, change: object, field: str) -> None:
    with pytest.raises(InputError) as refused:
        change(log)  # type: ignore[operator]
    error = refused.value
    assert error.field == field
    assert error.message and error.remedy and error.code


def broken(log: TrialLog, **parts: object) -> str:
    return json.dumps({**json.loads(to_json(log)), **parts})


def test_damaged_files(log: TrialLog) -> None:
    sets = json.loads(to_json(log))["sets"]
    step = json.loads(to_json(log))["steps"][0]
    texts = [
        "",
        "[]",
        "{",
        "null",
        "[" * 100_000,
        '{"kind":' * 100_000,
        " " * 5_000_000,
        "1" * 5000,
        broken(log, kind="lifters"),
        broken(log, version=5),
        broken(log, version=True),
        broken(log, version=None),
        broken(log, surplus=1),
        broken(log, sets={}),
        broken(log, sets=[1]),
        broken(log, sets=[{**sets[0], "load_kg": "100"}]),
        broken(log, sets=[{**sets[0], "surplus": 1}]),
        broken(log, sets=[sets[0], sets[0]]),
        broken(log, sets=[{**sets[0], "number": 7}]),
        broken(log, sets=[{**sets[0], "candidate": "nobody"}]),
        broken(log, next_number="3"),
        broken(log, formula=3),
        broken(log, margin_percent=7),
        broken(log, margin_percent="2"),
        broken(log, sets_each=None),
        broken(log, version=2),
        broken(log, steps=[{**step, "set_place": -1}]),
        broken(log, steps=[{**step, "what": None}]),
        broken(log, steps=[{}]),
        broken(log, candidates=[{"key": "x"}]),
        broken(log, candidates=[{"key": "x", "label": "x", "index": 1.0, "dial": 1.5}]),
        broken(log, candidates=[{"key": "x", "label": "x", "index": 1.0, "marks": ["x"] * 7}]),
        broken(log, candidates=[{"key": "x", "label": "x", "index": 1.0, "marks": "x"}]),
    ]
    for text in texts:
        with pytest.raises(InputError) as refused:
            from_json(text)
        assert refused.value.remedy, text[:40]
    with pytest.raises(InputError, match="Update"):
        from_json(broken(log, version=5))


HERE = Path(__file__).parent


def test_a_version_once_given_out_keeps_opening() -> None:
    """Golden files: a finished trial, one going on, a filmed set; version 3 knew no marks, dial and speeds,
    2 no terms, 1 no lift."""
    golden = {v: (HERE / f"trials-{v}.json").read_text(encoding="utf-8") for v in (2, 3, 4)}
    fourth = from_json(golden[4])
    assert to_json(fourth) == golden[4].strip(), "as it was written"
    assert [len(one.marks) for one in fourth.candidates if one.key == "wide"] == [2]
    assert {one.dial for one in fourth.candidates if one.key != "wide"} == {0.75}
    filmed = fourth.sets[0].measured
    assert filmed is not None and filmed.speeds_m_s == (0.41, 0.35) and filmed.lost == 0.146
    newest = from_json(golden[3])
    assert from_json(to_json(newest)) == newest, "brought to the newest version"
    unfilmed = replace(
        fourth,
        candidates=tuple(replace(one, marks=(), dial=None) for one in fourth.candidates),
        sets=(replace(fourth.sets[0], measured=newest.sets[0].measured),),
    )
    assert replace(unfilmed, steps=newest.steps, earlier=newest.earlier) == newest
    assert (newest.margin_percent, newest.sets_each) == (3.0, 18)
    second = from_json(golden[2])
    assert (second.margin_percent, second.sets_each, second.lift) == (2.0, 12, "bench")
    assert second.sets == newest.sets and second.candidates == newest.candidates
    assert from_json(to_json(second)) == second, "brought to the newest version"
    data = json.loads(golden[2])
    first = json.dumps({name: part for name, part in data.items() if name != "lift"} | {"version": 1})
    assert from_json(first) == second
    back = undo(replace(second, steps=(), sets=(), candidates=second.candidates[:1]))
    assert [s.candidate for s in back.sets] == ["now", "wide", "high"] and len(back.earlier) == 0


def test_names_may_hold_brackets_and_quotes(log: TrialLog) -> None:
    named = add_candidate(log, Candidate("x", '[[[[[{{{"\\ ]', 1.0))
    assert from_json(to_json(named)) == named


def test_undo_of_a_step_that_does_not_fit(log: TrialLog) -> None:
    """Steps of another log, or edited by hand, must not spoil the sets."""
    for steps in (
        (replace(log.steps[-1], set_place=40),),
        (replace(log.steps[-1], set_after=a_set(load=70)),),
    ):
        with pytest.raises(InputError, match="no longer fits"):
            undo(replace(log, steps=steps))
