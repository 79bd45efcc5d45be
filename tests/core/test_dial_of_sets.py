"""What sets teach a dial of a lift's own: knees and hips, low and high hips at the start."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from shortlever import roster, view
from shortlever.lifts import LIFTS
from shortlever.lifts.legs.dial import place_on
from shortlever.trials import implied_place

BODY = {"unit": "cm", "fields": {"stature": "182", "body_mass": "90"}}
DIALLED = ["squat", "deadlift"]


def ask(**request: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(view.answer(json.dumps(request)))
    assert found["ok"], found["errors"]
    return found


def trial_of(lift: str, end: int) -> tuple[list[dict[str, Any]], float]:
    """The suggestion and the setup at an end of the dial as sets try them, and where the second stands."""
    choices = ask(lift=lift, **BODY)["tradeoff"]["choices"]
    choice = {key: value for key, value in choices[end].items() if key != "text"}
    setups = [one for one in ask(lift=lift, **BODY, choice=choice)["trial"] if one["dial"] is not None]
    assert len(setups) == 2
    return setups, setups[1]["dial"]


def judged(lift: str, setups: list[dict[str, Any]], better: int) -> dict[str, Any]:
    """The verdict after twelve sets of each, one of which goes up a rep and a half further."""
    changes: list[dict[str, Any]] = [
        {"what": "add_candidate", "at": "2031-05-05T18:00", "candidate": one} for one in setups
    ]
    for day in range(6):
        for place in (0, 1, 1, 0):
            reserve = "3.5" if place == better else "1.5"
            entry = {"candidate": "AB"[place], "load": "100", "unit": "kg", "reps": "4", "reserve": reserve}
            changes.append({"what": "add_set", "at": f"2031-05-{5 + 2 * day:02d}T18:00", "set": entry})
    date = "2031-05-20"
    return ask(want="sets/verdict", lift=lift, log="", pending=changes, unit="kg", date=date)


@pytest.mark.parametrize("lift", DIALLED)
@pytest.mark.parametrize("end", [0, -1])
def test_sets_move_the_dial_to_what_won(lift: str, end: int) -> None:
    setups, place = trial_of(lift, end)
    assert (place < 0.3) if end == 0 else (place > 0.7)
    assert setups[0]["dial"] == pytest.approx(0.5, abs=0.15), "the suggestion stands in the middle"
    said = judged(lift, setups, better=1)
    assert said["best"] == "B"
    low, _, high = (str(text) for text in LIFTS[lift].leanings)
    assert said["preference_text"] == (low if end == 0 else high)
    assert abs(said["preference"] - place) < abs(said["preference"] - 0.5)
    there = ask(lift=lift, **BODY, preference=said["preference"])["setup"]
    key = {"squat": "sit_back_m", "deadlift": "shoulder_ahead_m"}[lift]
    before = ask(lift=lift, **BODY)["setup"]
    ahead = ask(lift=lift, **BODY)["tradeoff"]["choices"][end][key] - before[key]
    assert (there[key] - before[key]) * ahead >= 0, "the suggestion goes the way that won"
    assert judged(lift, setups, better=0)["preference"] < 0.5 + 0.35


@pytest.mark.parametrize("lift", DIALLED)
def test_nothing_is_learned_where_nobody_knows_where_the_hips_were(lift: str) -> None:
    """Of a present setup the feet are known only; of another style or other feet the dial says nothing."""
    fields = BODY["fields"] | {"current_heels": "40"}  # type: ignore[operator]
    trial = ask(lift=lift, unit="cm", fields=fields)["trial"]
    assert trial[0]["present"] and trial[0]["dial"] is None
    others = [one for one in trial if one["dial"] is None]
    assert len(others) == len(trial) - 1, "only the suggestion stands on the dial"
    said = judged(lift, [trial[0], trial[1]], better=0)
    assert said["best"] == "A" and said["preference"] is None
    said = judged(lift, [trial[0], trial[1]], better=1)
    assert said["best"] == "B" and said["preference"] is None


@pytest.mark.parametrize("lift", DIALLED)
def test_setups_with_marks_and_dial_go_into_a_file_and_a_table_of_sets(lift: str) -> None:
    setups, _ = trial_of(lift, -1)
    said = judged(lift, setups, better=1)
    assert [one["marks"] for one in said["candidates"]] == [one["marks"] for one in setups]
    assert said["csv"].splitlines()[0].split(",")[8] == "held_as_planned"
    golden = json.loads((Path(__file__).parent / "lifters-2.json").read_text("utf-8"))
    golden["lifters"] = golden["lifters"][:1]
    kept = roster.record.nothing_of_lift()
    at = "2031-05-05T18:00:00.000Z"
    kept["trials"]["pending"] = [{"what": "add_candidate", "at": at, "candidate": one} for one in setups]
    for pending, log in ((kept["trials"]["pending"], ""), ([], said["log"])):
        kept["trials"] |= {"pending": pending, "log": log}
        golden["lifters"][0]["lifts"][lift] = kept
        text = json.dumps(golden)
        seen = ask(want="lifters/preview", text=text, here={}, base={}, names=[])
        assert len(seen["lifters"]) == 1 and seen["damaged"] == []


def test_places_by_hand() -> None:
    """Between 0.2 and 0.6 the middle is 0.4: B is the dial's choice from there on, its middle 0.7, A's 0.2;
    at equal chances 0.45, which is pulled inside what chooses the winner."""
    assert implied_place([0.2, 0.6], [0.0, 1.0], 1) == 0.7
    assert implied_place([0.2, 0.6], [0.5, 0.5], 1) == 0.45
    assert implied_place([0.2, 0.6], [0.5, 0.5], 0) == 0.4
    assert implied_place([0.2, 0.22, 0.9], [0.9, 0.05, 0.05], 0) is None, "two setups that are alike"
    assert implied_place([0.2], [1.0], 0) is None and implied_place([0.2, 0.6], [0.5, 0.5], None) is None
    falling = [(0.0, 0.26), (0.5, 0.20), (1.0, 0.18)]
    assert [place_on(falling, back) for back in (0.23, 0.30, 0.1)] == [0.25, 0.0, 1.0]
