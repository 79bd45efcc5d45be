"""What the film check says of squats and deadlifts: depth, hips, lockout, no more than the film carries."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest

from shortlever import view
from shortlever.film.reps import find_pulls
from shortlever.lifts import LIFTS
from shortlever.lifts.deadlift.film import PULL_FILM
from shortlever.lifts.film import Number
from shortlever.lifts.squat.film import SQUAT_FILM
from tests.core.film_world import Noise, times_of
from tests.core.leg_film_world import filmed, pull_of

CLOSE = Noise(0.2, 0.3, 0.7, 0.0, 0.7)


def ask(request: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(view.answer(json.dumps(request)))
    return found


def sent(lift: str, **more: Any) -> dict[str, Any]:
    _, _, request, _ = filmed(lift, random.Random(3), True, CLOSE)
    return request | {"fit": view.example_request(lift)} | more


@pytest.fixture(scope="module")
def squat() -> dict[str, Any]:
    return ask(sent("squat"))


@pytest.fixture(scope="module")
def pull() -> dict[str, Any]:
    return ask(sent("deadlift"))


def n(value: float, margin: float) -> Number:
    return Number(value, value - margin, value + margin)


@pytest.mark.parametrize(
    ("depth", "word"),
    [(n(0.03, 0.02), "below."), (n(-0.03, 0.02), "above."), (n(0.01, 0.02), "too close to tell")],
)
def test_the_depth_is_judged_only_outside_its_error(depth: Number, word: str) -> None:
    """IPF technical rules: the top surface of the legs at the hip joint lower than the top of the knees."""
    [said] = SQUAT_FILM.before({"depth": depth}, None)
    assert str(said).startswith(f"Depth: {word}")


@pytest.mark.parametrize(
    ("shin", "shoulders", "word"),
    [
        (n(2, 5), n(-0.05, 0.03), "Lockout complete, as far"),
        (n(15, 5), n(-0.05, 0.03), "Lockout not complete: the shins"),
        (n(2, 5), n(0.08, 0.03), "Lockout not complete: the shoulders"),
        (n(8, 7), n(-0.05, 0.03), "Lockout: too close to tell"),
    ],
)
def test_a_lockout_is_judged_only_outside_its_error(shin: Number, shoulders: Number, word: str) -> None:
    [said] = PULL_FILM.before({"shin_end": shin, "shoulders_end": shoulders}, None)
    assert str(said).startswith(word)


@pytest.mark.parametrize(
    ("hips", "word"),
    [
        (n(1.5, 0.2), "The hips rose first"),
        (n(0.9, 0.1), "Up to the knee the hips rose"),  # more than planned, but not before the bar
        (n(0.6, 0.1), "Hips against bar up to the knee: as planned"),
    ],
)
def test_hips_rise_first_only_where_they_outrun_the_bar(hips: Number, word: str) -> None:
    plan = LIFTS["deadlift"].film_plan(_fit("deadlift"))
    assert plan is not None and 0.5 < plan.values["hips_first"] < 0.7
    [said] = PULL_FILM.before({"hips_first": hips}, plan)  # type: ignore[arg-type]
    assert str(said).startswith(word)


def _fit(lift: str) -> Any:
    from shortlever.fitting.fit import fit
    from shortlever.fitting.request import read_request

    asked = view.example_request(lift)
    return fit(read_request(asked), asked)


def test_the_squat_is_told_with_the_bottom_as_the_model_s_hardest_point(squat: dict[str, Any]) -> None:
    assert squat["ok"], squat["errors"]
    assert squat["sentences"][0].startswith("Depth: ")
    assert any(s.startswith("In the model the hardest point is the bottom") for s in squat["sentences"])
    assert not any("the plan with the heaviest load" in s for s in squat["sentences"])
    assert [h["key"] for h in squat["headline"]] == ["depth", "lean", "range_of_motion"]
    assert squat["headline"][1]["unit"] == "°"
    texts = json.dumps(squat, ensure_ascii=False)
    assert [word for word in ("chest", "shoulder line", "Touched", "head left") if word in texts] == []
    assert "heels left" in squat["figure"]["text"]


def test_every_number_of_a_pull_is_there_with_its_unit(pull: dict[str, Any]) -> None:
    assert pull["ok"], pull["errors"]
    [rep] = pull["reps"]
    assert [one["key"] for one in rep["numbers"]] == [one.key for one in PULL_FILM.numbers]
    for one in rep["numbers"]:
        unit = next(name for name in ("m", "deg", "s", "times") if f"value_{name}" in one)
        assert one[f"low_{unit}"] <= one[f"value_{unit}"] <= one[f"high_{unit}"]
        planned = one[f"plan_{unit}"]
        assert (planned is None) == (unit == "s")
        assert one["difference"] or planned is None
    assert rep["complete"] and rep["pause_s"] is None and rep["moments"].keys() == {"off", "knee", "lockout"}
    assert pull["sentences"][0].startswith(("The hips rose first", "Up to the knee", "Hips against bar"))
    assert {p["phase"] for p in pull["path"]} == {"up"}


@pytest.mark.parametrize("lift", ["squat", "deadlift"])
def test_the_moments_are_told_before_a_joint_is_marked(lift: str) -> None:
    _, body, request, _ = filmed(lift, random.Random(3), True, CLOSE)
    said = ask(request | {"want": "film/moments", "marks": {}})
    assert said["ok"]
    for key, t in body.times.items():
        assert said["moments"][key] == pytest.approx(t, abs=0.35), key
    form = ask({"want": "film/form", "lift": lift})
    assert {at for mark in form["marks"] for at in mark["at"]} == set(body.times)
    assert [one["key"] for one in form["moments"]] == [one.key for one in LIFTS[lift].film.moments]
    assert ask({"want": "film/moments", "lift": lift})["errors"][0]["field"]


def test_a_mark_elsewhere_counts_for_nothing_and_is_named() -> None:
    request = sent("squat")
    for mark in request["marks"]["hip"]:
        mark["t"] = 0.1
    said = ask(request)
    assert "depth" not in [one["key"] for one in said["reps"][0]["numbers"]]
    warned = [one["code"] for one in said["warnings"] if one["field"] == "hip"]
    assert warned == ["mark_elsewhere", "mark_wanted"]
    assert said["sentences"][0].startswith("Depth: mark the top of the knee")


def test_a_photo_of_the_bottom_gives_depth_and_lean() -> None:
    _, body, request, _ = filmed("squat", random.Random(3), True, CLOSE)
    near = min(request["frames"], key=lambda frame: abs(frame["t"] - body.times["bottom"]))
    marks = {key: [mark | {"t": None} for mark in some] for key, some in request["marks"].items()}
    marks.pop("bar_end")
    said = ask(request | {"frames": [near], "marks": marks})
    assert said["ok"] and said["kind"] == "photo"
    assert [h["key"] for h in said["headline"]] == ["depth", "lean"]


def test_the_toes_are_found() -> None:
    for side in (3, 4, 5, 6):
        _, _, request, _ = filmed("squat", random.Random(side), True, CLOSE)
        request["camera"].pop("feet")
        said = ask(request)
        depth = next(one for one in said["reps"][0]["numbers"] if one["key"] == "shin")
        assert depth["value_deg"] > 0, "the knee is in front of the ankle"


def test_reps_from_the_floor_are_told_apart() -> None:
    motion, _ = pull_of(random.Random(1), True)
    several = type(motion)(motion.path, reps=3, press_s=1.2, down_s=1.0, pause_s=0.3, wait_s=0.4)
    times = times_of(several, 30)
    found = find_pulls(times, [several.bar(t)[1] for t in times])
    assert len(found) == 3 and all(one.complete for one in found)
    cycle = 1.2 + 1.0 + 0.3 + 0.4
    for i, one in enumerate(found):
        assert one.rise == pytest.approx(0.4 + i * cycle, abs=0.25)
        assert one.lowest <= one.rise < one.end <= one.highest
