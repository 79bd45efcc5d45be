"""What the screen is told of a film: numbers, sentences, figure, and what is wrong."""

from __future__ import annotations

import copy
import json
import random
import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest

from shortlever import view
from tests.core.film_world import (
    Motion,
    Noise,
    World,
    camera_at,
    planned_path,
    request_of,
    some_press,
    times_of,
)

FIT = {"unit": "cm", "fields": {"arm_length": "66.5", "shoulder_breadth": "41.6"}}
NOISE = Noise(0.2, 0.3, 0.7, 0.0, 0.7)


def ask(request: dict[str, Any]) -> dict[str, Any]:
    return json.loads(view.answer(json.dumps(request)))


def planned_touch_m() -> float:
    shown = ask(FIT)
    text = next(m["value"] for m in shown["measures"] if m["key"] == "moment_arm")
    return float(text) / 100


def sent(
    touch_m: float = 0.16, reps: int = 1, off: float = 4.0, side: int = 1, **more: Any
) -> dict[str, Any]:
    press = some_press()
    motion = Motion(
        planned_path(press, 0.71, touch_m),
        reps=reps,
        pause_s=more.pop("pause_s", 0.6),
        partial=more.pop("partial", 1.0),
    )
    camera = camera_at(
        (side * 0.69, *motion.way(0.5)),
        more.pop("distance", 3.2),
        off_deg=off,
        tilt_deg=3,
        focal_px=27.5 / 43.267 * 2203,
        side=side,
    )
    world = World(camera, motion, side=side, half_shoulder_m=press.body.half_shoulder_m)
    rate = more.pop("rate", 30)
    request = request_of(world, times_of(motion, rate), NOISE, random.Random(4), **more) | {"fit": FIT}
    for frame in request["frames"]:
        frame["moved"] = {"x": 0, "y": 0}  # the background stands still
    return request


@pytest.fixture(scope="module")
def low() -> dict[str, Any]:
    return ask(sent())


def test_a_touch_that_is_lower_than_planned_is_said_with_its_error(low: dict[str, Any]) -> None:
    assert low["ok"], low["errors"]
    gap = 100 * (0.16 - planned_touch_m())
    found = re.fullmatch(r"Touched (\d+\.\d) cm ± (\d\.\d) cm lower than planned\.", low["sentences"][0])
    assert found, low["sentences"]
    assert abs(float(found[1]) - gap) < 0.8
    assert 0.8 < float(found[2]) < gap


@pytest.mark.sweep
def test_a_difference_inside_the_error_is_not_claimed() -> None:
    said = ask(sent(planned_touch_m() + 0.004))
    assert said["sentences"][0].startswith("Touch: as planned, as far as the film can tell (")
    numbers = {n["key"]: n for n in said["reps"][0]["numbers"]}
    assert numbers["touch"]["verdict"] == "none"
    assert numbers["touch"]["difference"].startswith("no difference the film can tell (")


def test_the_contract_s_parts_are_there(low: dict[str, Any]) -> None:
    assert low["kind"] == "clip"
    assert [h["key"] for h in low["headline"]] == ["touch", "moment_arm", "range_of_motion"]
    for head in low["headline"]:
        assert float(head["value"]) > 0
        assert head["unit"] == "cm"
        assert re.match(r"± \d+\.\d; planned \d+\.\d", head["note"])
    rep = low["reps"][0]
    assert rep["complete"]
    assert rep["start"] < rep["down"] < rep["rise"] < rep["end"]
    assert rep["pause_text"].startswith(f"Motionless on the chest for {rep['pause_s']:.2f} ± 0.0")
    assert rep["pause_s"] == pytest.approx(0.6, abs=0.05)
    for number in rep["numbers"]:
        assert number["low_m"] <= number["value_m"] <= number["high_m"]
        assert number["plan_m"] is not None
    assert [n["key"] for n in rep["numbers"]][:4] == ["touch", "arm_sticking", "mean_arm", "range_of_motion"]
    assert low["table_head"] == ["What", "Measured", "Planned", "Difference"]
    assert all(len(row) == 4 for row in low["table"])
    assert [p["phase"] for p in low["path"]] == ["down"] * 17 + ["up"] * 17
    assert {p["rep"] for p in low["path"]} == {1}
    assert len(low["track"]) == len(sent()["frames"])
    assert {b["source"] for b in low["camera"]["budget"]} >= {"Camera angle", "Shoulder", "Scale"}
    assert [b["mm"] for b in low["camera"]["budget"]] == sorted(
        (b["mm"] for b in low["camera"]["budget"]), reverse=True
    )
    assert low["camera"]["advice"]


def test_headline_in_tape_numbers_is_the_plan_s_kind_of_touch(low: dict[str, Any]) -> None:
    """Touch below the notch and moment arm are off their plans by the same, but for the chest's slope."""
    values = {h["key"]: (float(h["value"]), float(h["note"].split("planned ")[1])) for h in low["headline"]}
    tape, arm = (values[key][0] - values[key][1] for key in ("touch", "moment_arm"))
    assert abs(tape - arm) < 0.35


def test_the_figure_is_svg_with_the_same_in_words(low: dict[str, Any]) -> None:
    root = ET.fromstring(low["figure"]["svg"])
    assert root.get("role") == "img"
    classes = {e.get("class") for e in root.iter() if e.get("class")}
    assert {"film-band", "film-press", "film-plan", "film-down", "fig-arm-line", "fig-label"} <= classes
    text = low["figure"]["text"]
    assert "head left" in text
    assert "Planned, in dots" in text
    assert low["reps"][0]["numbers"][0]["text"].split(" ±")[0] in text
    assert root.find(".//*[@style]") is None
    numbers = [float(v) for e in root.iter() for v in re.findall(r"-?\d+\.?\d*", e.get("points") or "")]
    assert all(-60 <= v <= 600 for v in numbers)


def test_the_smoothed_track_lies_on_the_picture_as_it_was_sent() -> None:
    for side in (1, -1):
        request = sent(side=side)
        said = ask(request)
        for frame, row in zip(request["frames"], said["track"], strict=True):
            assert abs(frame["x"] - row["x"]) < 2
            assert abs(frame["y"] - row["y"]) < 2


@pytest.mark.sweep
def test_inches() -> None:
    said = ask(sent() | {"unit": "in", "fields": {"distance": "10 ft 6 in", "diameter": "17.7"}})
    assert said["ok"]
    assert said["reading"] == {"distance": "10.5 ft", "diameter": "17 3/4 in"}
    assert "in ±" in said["sentences"][0]
    assert all(h["unit"] == "in" for h in said["headline"])


@pytest.mark.sweep
def test_several_reps() -> None:
    said = ask(sent(reps=3, pause_s=0.3))
    assert len(said["reps"]) == 3
    assert said["table_head"] == ["What", "Rep 1", "Rep 2", "Rep 3", "Planned"]
    assert all(len(row) == 5 for row in said["table"])
    assert "average of 3 reps" in said["headline"][0]["note"]
    assert sum("Motionless" in s for s in said["sentences"]) == 3
    assert {p["rep"] for p in said["path"]} == {1, 2, 3}


@pytest.mark.sweep
def test_a_failed_rep_is_said_in_words() -> None:
    said = ask(sent(partial=0.5))
    assert said["ok"]
    assert not said["reps"][0]["complete"]
    assert "below where it started" in said["reps"][0]["partial"]
    assert any("No whole rep" in s for s in said["sentences"])


@pytest.mark.sweep
def test_touch_and_go() -> None:
    said = ask(sent(pause_s=0.0))
    assert said["reps"][0]["pause_s"] < 0.1
    assert "Touch-and-go: no pause on the chest." in said["sentences"]


def stalled() -> dict[str, Any]:
    """Two reps that stall in the middle; the plan's slowest place is known."""
    press = some_press()
    motion = Motion(planned_path(press, 0.71, 0.128), press_s=2.0, pause_s=0.3, stall=0.85, reps=2)
    world = World(camera_at((0.69, *motion.way(0.5)), 3.2, focal_px=1400), motion)
    return request_of(world, times_of(motion, 30), NOISE, random.Random(4)) | {"fit": FIT}


def test_bar_speed_is_said_drawn_and_sent_for_every_rep() -> None:
    said = ask(stalled())
    slow = [rep["speed"]["slow"]["slowest"] for rep in said["reps"]]
    stroke = planned_path(some_press(), 0.71, 0.128)
    half = (stroke[-1][1] - stroke[0][1]) / 2
    assert all(one["up_m"]["value"] == pytest.approx(half, abs=0.01) for one in slow)
    told = [s for s in said["sentences"] if "Slowest" in s]
    assert len(told) == 1 and re.search(r"Rep [12]: Slowest \d+\.\d cm ± \d\.\d cm up", told[0])
    assert [row[0] for row in said["table"]][-4:] == [
        "Average bar speed on the way up", "First peak of speed", "Slowest", "Second peak of speed"
    ]  # fmt: skip
    assert all(len(row) == len(said["table_head"]) for row in said["table"])
    root = ET.fromstring(said["speed_figure"]["svg"])
    assert {"film-band", "film-press", "film-plan", "film-other"} <= {e.get("class") for e in root.iter()}
    assert "In dots the speed planned" in said["speed_figure"]["text"]
    assert ask(sent())["reps"][0]["speed"]["slow"] is None
    assert any(s.startswith("No slow stretch") for s in ask(sent())["sentences"])


@pytest.mark.sweep
def test_without_a_plan_the_numbers_stand_alone() -> None:
    request = sent()
    del request["fit"]
    said = ask(request)
    assert said["ok"]
    assert [h["key"] for h in said["headline"]] == ["moment_arm", "range_of_motion"]
    assert said["sentences"][0].startswith("Touched ")
    assert "from the shoulder line toward the feet" in said["sentences"][0]
    assert said["table_head"] == ["What", "Measured"]
    assert "no_plan" not in [w["code"] for w in said["warnings"]]
    unreadable = ask(sent() | {"fit": {"unit": "cm", "fields": {"arm_length": "x"}}})
    assert "no_plan" in [w["code"] for w in unreadable["warnings"]]


def test_a_photo() -> None:
    request = sent()
    frame = request["frames"][60]
    shoulder = request["marks"]["shoulder"][0]
    said = ask(request | {"frames": [frame], "marks": {"shoulder": [shoulder]}})
    assert said["ok"]
    assert said["kind"] == "photo"
    assert said["path"] == []
    assert [h["key"] for h in said["headline"]] == ["touch", "moment_arm"]
    assert said["figure"]["svg"].startswith("<svg")


@pytest.mark.parametrize(
    ("fields", "field", "code"),
    [
        ({"distance": "far"}, "distance", "not_a_number"),
        ({"distance": "300"}, "distance", "out_of_range"),
        ({"focal": "26 in"}, "focal", "not_a_number"),
        ({"focal": "2"}, "focal", "out_of_range"),
        ({"diameter": "4.5"}, "diameter", "out_of_range"),
        ({"plate_middle": "115", "bar_length": "200"}, "plate_middle", "beyond_bar"),
    ],
)
def test_typed_fields_that_cannot_be_used(fields: dict[str, str], field: str, code: str) -> None:
    said = ask(sent() | {"fields": fields})
    assert not said["ok"]
    assert [(e["field"], e["code"]) for e in said["errors"]] == [(field, code)]
    error = said["errors"][0]
    assert error["message"]
    assert error["remedy"]
    if code != "beyond_bar":
        assert fields[field] in error["message"]


def test_all_that_is_wrong_is_said_at_once() -> None:
    request = sent() | {"fields": {"distance": "x", "diameter": "y"}}
    request["marks"] = {}
    said = ask(request)
    assert [e["field"] for e in said["errors"]] == ["distance", "diameter", "shoulder"]


def test_no_repetition() -> None:
    request = sent()
    request["frames"] = request["frames"][:12]
    said = ask(request)
    assert not said["ok"]
    assert said["errors"][0]["code"] == "no_rep"


def codes(said: dict[str, Any]) -> list[str]:
    assert said["ok"], said["errors"]
    return [w["code"] for w in said["warnings"]]


@pytest.mark.sweep
def test_warnings_name_what_to_do() -> None:
    assert codes(ask(sent())) == []
    assert "camera_side_open" in codes(ask(sent(off=8, bar_end=False)))
    assert codes(ask(sent(off=6, bar_end=False, stands="feet"))) == ["bar_end_missing"]
    assert "too_close" in codes(ask(sent(distance=1.4) | {"fields": {"distance": "1.4"}}))
    unsaid = sent()
    del unsaid["camera"]["plates"]
    assert codes(ask(unsaid)) == ["plates_unsaid"]
    plain = sent()
    for frame in plain["frames"]:
        del frame["moved"]
    assert codes(ask(plain)) == ["stillness_unseen"]
    plain["camera"]["upright_sd"] = 0.5
    assert codes(ask(plain)) == [], "a tripod stands still"
    assert "wide_lens" in codes(ask(sent() | {"fields": {"focal": "14"}}))
    assert "slow_rate" in codes(ask(sent(rate=12)))
    assert "odd_stroke" in codes(ask(sent() | {"fields": {"diameter": "20"}}))
    request = sent()
    for i in (3, 4):
        request["frames"][i]["y"] = 1070
    said = ask(request)
    assert "plate_leaves_picture" in codes(said)
    assert next(w for w in said["warnings"] if w["code"] == "plate_leaves_picture")["frames"] == [3, 4]
    request = copy.deepcopy(sent())
    request["camera"]["feet"] = "left"
    assert "feet_side" in codes(ask(request))


def test_a_rim_marked_by_hand() -> None:
    said = ask({"want": "film/rim", "points": [[300, 0], [0, 200], [-300, 0], [0, -200], [180, 160]]})
    assert said["ok"]
    assert said["ellipse"]["a"] == pytest.approx(300, abs=1e-6)
    wrong = ask({"want": "film/rim", "points": [[1, 1]]})
    assert wrong["errors"][0]["field"] == "rims"
    assert not ask({"want": "film/rim", "points": [["x", 1]] * 6})["ok"]


def test_the_form() -> None:
    said = ask({"want": "film/form", "unit": "in"})
    assert [f["key"] for f in said["fields"]] == [
        "distance",
        "focal",
        "diameter",
        "plate_middle",
        "bar_length",
    ]
    assert said["fields"][2]["default"] == "17.72"
    assert said["fields"][0]["unit"] == "ft"


@pytest.mark.parametrize(
    "request_", [{"want": "film/else"}, {"want": "film/measure", "unit": "m"}, {"want": "film/measure"}]
)
def test_what_is_not_a_request(request_: dict[str, Any]) -> None:
    said = ask(request_)
    assert not said["ok"]
    assert said["errors"][0]["code"] != "internal"
