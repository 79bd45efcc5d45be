"""What a film showed of a set: kept with it, and counted for what was done."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from shortlever import view
from shortlever.errors import InputError
from shortlever.trials import (
    Candidate,
    Measured,
    SetRecord,
    TrialLog,
    add_candidate,
    add_set,
    edit_set,
    from_json,
    judge,
    measure_set,
    to_json,
    undo,
)
from shortlever.trials.log import AS_PLANNED_M
from shortlever.trials.model import observations
from shortlever.view.sets_rows import Rows

FILM = Measured(
    touch_m=0.16, mean_arm_m=0.08, range_of_motion_m=0.35, off_plan_m=0.03, off_plan_margin_m=0.01
)


def trial(**of_b: float) -> TrialLog:
    log = add_candidate(TrialLog(), Candidate("a", "A", 5.0, stroke_m=0.36, mean_arm_m=0.09, present=True))
    log = add_candidate(log, Candidate("b", "B", 5.1, **({"stroke_m": 0.34, "mean_arm_m": 0.10} | of_b)))
    for _ in range(4):
        for key, reps in (("a", 4), ("b", 9)):
            log = add_set(log, SetRecord(key, "2031-05-09", 100, reps, 1))
    return log


def test_it_is_kept_in_the_text_of_the_log_and_can_be_undone() -> None:
    log = measure_set(trial(), 3, FILM)
    assert log.set_numbered(3).measured == FILM
    assert from_json(to_json(log)) == log
    assert undo(log).set_numbered(3).measured is None
    assert replace(undo(log), steps=()) == replace(trial(), steps=())


def test_a_log_from_before_there_were_films_still_opens() -> None:
    old = json.loads(to_json(trial()))
    for record in old["sets"]:
        del record["measured"]
    for step in old["steps"]:
        for part in ("set_before", "set_after"):
            if step[part]:
                del step[part]["measured"]
    assert from_json(json.dumps(old)) == trial()


@pytest.mark.parametrize(
    "given",
    [
        {"touch_m": 3.0},
        {"mean_arm_m": -0.1},
        {"range_of_motion_m": float("nan")},
        {"off_plan_m": True},
        {"off_plan_margin_m": "wide"},
        {"speeds_m_s": (0.4, -1.0)},
        {"speeds_m_s": [0.4]},
        {"lost": 3.0},
        {"depth_m": 9.0},
    ],
)
def test_numbers_that_no_film_can_give_are_refused(given: dict[str, object]) -> None:
    with pytest.raises(InputError) as wrong:
        Measured(**given)  # type: ignore[arg-type]
    assert wrong.value.field == next(iter(given))


def test_bar_speeds_are_kept_said_and_in_the_table() -> None:
    film = {"speeds_m_s": [0.42, 0.38, 0.31], "speed_margin_m_s": 0.014, "lost": 0.262, "lost_margin": 0.04}
    said = ask({"what": "attach_film", "number": 2, "measured": film})
    assert not said["refused"]
    assert said["rows"][1]["film"] == (  # type: ignore[index]
        "filmed: bar speed 0.42 ± 0.01 m/s in the first, 0.31 in the last of 3 reps; "
        "lost 26 ± 4 % of its speed, a sign of effort"
    )
    log = from_json(str(said["log"]))
    kept = log.set_numbered(2).measured
    assert kept is not None and kept.speeds_m_s == (0.42, 0.38, 0.31)
    rows = Rows(log, "kg").csv().splitlines()
    assert rows[0].endswith(",bar_speeds_m_s,speed_lost") and rows[2].endswith(",0.420 0.380 0.310,0.262")
    little = ask({"what": "attach_film", "number": 2, "measured": film | {"lost": 0.03}})
    assert "effort" not in little["rows"][1]["film"], "a loss inside its error is none"  # type: ignore[index]


def test_a_damaged_film_in_a_file_is_named() -> None:
    data = json.loads(to_json(measure_set(trial(), 1, FILM)))
    data["sets"][0]["measured"]["colour"] = 1
    with pytest.raises(InputError) as wrong:
        from_json(json.dumps(data))
    assert wrong.value.field == "measured"


@pytest.mark.parametrize(
    ("noticed", "off_m", "margin_m", "as_planned"),
    [
        (True, AS_PLANNED_M + 0.01, 0.01, False),
        (False, 0.0, 0.01, True),
        (True, -AS_PLANNED_M - 0.01, 0.01, False),
        (True, AS_PLANNED_M + 0.01, 0.05, True),  # the film cannot tell
    ],
)
def test_the_film_says_whether_it_went_as_planned(
    noticed: bool, off_m: float, margin_m: float, as_planned: bool
) -> None:
    film = Measured(off_plan_m=off_m, off_plan_margin_m=margin_m)
    record = SetRecord("a", "2031-05-09", 100, 5, 1, touched=noticed, measured=film)
    assert record.as_planned is as_planned
    assert replace(record, measured=None).as_planned is noticed


def test_a_set_that_went_elsewhere_counts_less() -> None:
    plain, filmed = trial(), measure_set(trial(), 2, FILM)
    noise = [observations(log)[1].noise for log in (plain, filmed)]
    assert noise[1] > noise[0]
    assert [o.noise for o in observations(plain)[2:]] == [o.noise for o in observations(filmed)[2:]]


def test_the_preference_is_learned_from_what_was_done() -> None:
    """Planned, B has the shorter stroke and the longer arm; filmed, it is the other way round."""
    planned = judge(trial())
    log = measure_set(trial(), 2, Measured(range_of_motion_m=0.40, mean_arm_m=0.06))
    assert planned.best == judge(log).best == "b"
    assert planned.preference is not None and planned.preference < 0.5
    done = judge(log).preference
    assert done is not None and done > 0.5
    assert done == judge(trial(stroke_m=0.40, mean_arm_m=0.06)).preference


def test_the_mean_of_several_films() -> None:
    log = measure_set(measure_set(trial(), 2, Measured(mean_arm_m=0.06)), 4, Measured(mean_arm_m=0.08))
    assert log.done_m("b", "mean_arm_m") == pytest.approx(0.07)
    assert log.done_m("b", "touch_m") is None and log.done_m("a", "mean_arm_m") is None


def ask(*changes: dict[str, object]) -> dict[str, object]:
    request = {"want": "sets/fold", "log": to_json(trial()), "pending": list(changes), "unit": "kg"}
    return json.loads(view.answer(json.dumps(request | {"date": "2031-05-09"})))


def test_from_the_screen() -> None:
    film = {"touch_m": 0.16, "mean_arm_m": 0.08, "off_plan_m": -0.03, "path": "left out"}
    said = ask({"what": "attach_film", "number": 2, "measured": film})
    assert not said["refused"]
    row = said["rows"][1]  # type: ignore[index]
    assert row["film"] == (
        "filmed: touched 16.0 cm from the shoulder, 3.0 cm higher than planned; average moment arm 8.0 cm"
    )
    assert from_json(str(said["log"])).set_numbered(2).measured == Measured(
        touch_m=0.16, mean_arm_m=0.08, off_plan_m=-0.03
    )


@pytest.mark.parametrize(
    ("change", "field"),
    [({"number": 99, "measured": {}}, "number"), ({"number": 1}, "measured"), ({"measured": {}}, "number"),
     ({"number": 1, "measured": {"touch_m": "far"}}, "touch_m")],
)  # fmt: skip
def test_a_film_that_does_not_fit_is_refused_and_the_rest_counts(
    change: dict[str, object], field: str
) -> None:
    good = {"what": "attach_film", "number": 1, "measured": {"touch_m": 0.1}}
    said = ask({"what": "attach_film", **change}, good)
    assert [r["error"]["field"] for r in said["refused"]] == [field]  # type: ignore[attr-defined]
    assert said["rows"][0]["film"]  # type: ignore[index]


def test_correcting_a_set_keeps_its_film() -> None:
    log = measure_set(trial(), 2, FILM)
    corrected = edit_set(log, 2, replace(log.set_numbered(2), reps=8))
    assert corrected.set_numbered(2).measured == FILM
    film = {"what": "attach_film", "number": 2, "measured": {"touch_m": 0.1}}
    entry = {"candidate": "b", "load": "100", "unit": "kg", "reps": 8, "reserve": 1}
    said = ask(film, {"what": "edit_set", "number": 2, "set": entry})
    assert from_json(str(said["log"])).set_numbered(2).measured == Measured(touch_m=0.1)
