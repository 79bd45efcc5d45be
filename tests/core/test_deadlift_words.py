"""The pull as a value: what its screen, its sheet and its commands say, and its pictures."""

from __future__ import annotations

import functools
import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from shortlever import cli
from shortlever.fitting.fit import doubt, fit
from shortlever.fitting.request import read_request
from shortlever.lifts.deadlift.lift import DEADLIFT
from shortlever.lifts.lift import MORE, SCREEN
from shortlever.say import Voice
from shortlever.view.link import from_fragment, to_fragment

FIELDS = {"stature": "178", "body_mass": "85", "hip_bone_height": "91", "arm_length": "66"}
PRESENT = {"current_heels": "26", "current_turn_out": "10", "current_hands": "80"}
PULL: dict[str, Any] = {"lift": "deadlift", "unit": "cm", "sex": "male", "fields": FIELDS | PRESENT}
INCHES: dict[str, Any] = {"lift": "deadlift", "unit": "in", "fields": {"stature": "70", "body_mass": "187"}}


def fitted(request: dict[str, Any]) -> Any:
    reading = read_request(request)
    assert reading.errors == []
    return fit(reading, request)


@functools.cache
def _screen(text: str) -> dict[str, Any]:
    request = json.loads(text)
    found: dict[str, Any] = Voice(unit=request["unit"]).all(DEADLIFT.screen(fitted(request)))
    json.dumps(found, allow_nan=False)
    return found


def screen(request: dict[str, Any]) -> dict[str, Any]:
    return _screen(json.dumps(request))


def every_text(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [text for one in value.values() for text in every_text(one)]
    if isinstance(value, list):
        return [text for one in value for text in every_text(one)]
    return [value] if isinstance(value, str) else []


def test_the_screen_has_its_parts_and_the_numbers_first() -> None:
    found = screen(PULL)
    assert set(SCREEN) <= set(found) <= {*SCREEN, *MORE}
    assert [one["key"] for one in found["headline"]] == ["heels", "turn_out", "hands"]
    shown = {one["key"]: one["value"] for one in found["headline"] + found["measures"]}
    assert shown["style"] == "conventional"
    assert 20 < float(shown["heels"]) < 40 and 45 < float(shown["hands"]) < 75
    assert {one["key"] for one in found["marks"]} == {"heels", "toes", "hands", "shin", "string", "bar"}


def test_hips_are_told_as_a_stretch_and_no_kilogram_is_promised() -> None:
    found = screen(PULL)
    [hips] = [one for one in found["bands"] if one["key"] == "hip_height_m"]
    assert hips["high"] - hips["low"] > 0.10 and "no one height is right" in hips["text"]
    assert f"{100 * hips['low']:.0f}" in hips["text"] or "to" in hips["text"]
    assert not [text for text in every_text(found) if re.search(r"\bkg\b", text)]


def test_the_other_style_stands_beside_and_sets_may_hold_one_of_each() -> None:
    found = screen(PULL)
    assert {found["beside"]["here"], found["beside"]["there"]} == {"conventional", "sumo"}
    assert "let sets decide" in found["beside"]["text"]
    labels = [one["label"] for one in found["trial"]]
    assert [one["present"] for one in found["trial"]] == [True, False, False]
    assert sum("sumo" in label for label in labels) == 1
    assert all(one["mean_arm_m"] is None and one["index"] > 0 for one in found["trial"])


def test_the_present_setup_is_told_with_its_price() -> None:
    gain = screen(PULL)["gain"]
    assert "range of motion" in gain["text"] and "hardest point" in gain["text"]
    assert any("hands" in part for part in gain["parts"])
    assert screen(PULL | {"fields": FIELDS})["gain"] is None


@pytest.mark.parametrize(
    ("present", "style"),
    [
        ({"current_heels": "60", "current_hands": "48"}, "sumo"),
        ({"current_heels": "60"}, "sumo"),
        ({"current_heels": "30", "current_hands": "60"}, "conventional"),
        ({"current_heels": "30"}, "conventional"),
        ({"current_hands": "60"}, "conventional"),
    ],
)
def test_the_style_that_is_carried_is_seen_from_hands_and_heels(present: dict[str, str], style: str) -> None:
    found = fitted(PULL | {"fields": FIELDS | present})
    assert found.shown.got.style == found.now.got.style == style


def test_a_style_may_be_asked_for_and_a_place_of_the_dial_picked() -> None:
    sumo = PULL | {"style": "sumo"}
    assert fitted(sumo).shown.got.style == "sumo"
    choices = screen(sumo)["tradeoff"]["choices"]
    heights = [float(re.findall(r"Hips (\d+\.\d)", one["text"])[0]) for one in choices]
    assert heights == sorted(heights) and len(choices) > 4
    picked = sumo | {"choice": {key: value for key, value in choices[0].items() if key != "text"}}
    got = fitted(picked)
    assert got.picked and abs(100 * got.shown.got.hip_height_m - heights[0]) < 1.0
    assert screen(picked)["reasons"] == []


@pytest.mark.parametrize("request_", [PULL, PULL | {"style": "sumo"}], ids=["conventional", "sumo"])
def test_pictures_are_well_formed_and_every_moving_part_is_there(request_: dict[str, Any]) -> None:
    figure = screen(request_)["figure"]
    assert [view["key"] for view in figure["views"]] == ["side", "front", "above"]
    for view in figure["views"]:
        root = ElementTree.fromstring(view["svg"])
        parts = {one.get("data-part") for one in root.iter()}
        assert len(view["rows"]) == len(figure["rows"]) == len(figure["row_arms"]) == 17
        for row in view["rows"]:
            assert set(row) <= parts
        for one in root.iter():
            part = one.get("data-part")
            if part in view["rows"][0] and one.tag.endswith("circle"):
                assert [float(one.get(name, "")) for name in ("cx", "cy")] == view["rows"][0][part]
    assert ElementTree.fromstring(screen(request_)["tradeoff"]["svg"]) is not None


def test_the_picture_stays_inside_its_frame_all_the_way_up() -> None:
    for view in screen(PULL)["figure"]["views"]:
        for row in view["rows"]:
            x, y = row["head"]
            assert 0 < x < 500 and 0 < y < 360


def test_in_inches_nothing_is_said_in_centimetres() -> None:
    found = screen(INCHES)
    assert not [text for text in every_text(found) if re.search(r"\d ?cm\b", text)]
    assert any(re.search(r"\d ?in\b", text) for text in every_text(found["marks"]))


def test_a_link_brings_the_picked_setup_back() -> None:
    choice = {"stance_m": 0.684, "turn_out_deg": 42.0, "grip_m": 0.396, "shoulder_ahead_m": 0.07}
    request = PULL | {"style": "sumo", "choice": choice}
    assert from_fragment(to_fragment(request)) == request


def test_intervals_are_told_for_what_is_shown() -> None:
    request = PULL | {"fields": {"stature": "178", "body_mass": "85"}}
    found = doubt(read_request(request), request)
    shown = screen(request)
    keys = {one["key"] for one in shown["headline"] + shown["measures"]} - {"style"}
    assert keys <= set(found.intervals)
    assert found.further is not None and found.further[0] == "hip_bone_height" and found.further[2] > 0.3
    assert "no " not in str(found.covers) and "straps" in str(found.off)


def test_a_sheet_has_every_result() -> None:
    for request in (PULL, INCHES):
        cells = DEADLIFT.cells(fitted(request))
        assert set(cells) == {one.key for one in DEADLIFT.results}
        said = {key: Voice(unit=request["unit"]).say(text) for key, text in cells.items()}
        assert float(said["hips_low"]) < float(said["hips"]) < float(said["hips_high"])
        assert "sumo" in said["other"] and "ring" in said["ring"]


def test_a_setup_is_told_by_its_parts() -> None:
    parts = {"stance_m": 0.3, "turn_out_deg": 9.0, "grip_m": 0.5, "shoulder_ahead_m": 0.07}
    assert "30.0 cm" in str(DEADLIFT.setup_in_words(parts))
    assert DEADLIFT.setup_in_words({}) == "" and DEADLIFT.setup_in_words({"stance_m": "x"}) == ""


ASKED = (
    *("hip_arm_m", "knee_arm_m", "back_arm_m", "trunk_lean_deg", "shin_deg", "thigh_deg", "hip_moment_n_m"),
    *("knee_moment_n_m", "back_moment_n_m", "stroke_m", "bar_drift_m", "ankle_deg", "limit_load_index"),
    *("work_share", "path", "style", "grip_m", "hip_height_m", "shoulder_ahead_m", "setup"),
    "hip_abduction_moment_n_m",
)


@pytest.mark.sweep
def test_commands_answer_in_words_and_as_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tape = tmp_path / "tape.json"
    tape.write_text('{"stature": "178 cm", "body_mass": "85 kg", "sex": "male"}', encoding="utf-8")
    setup = ["--style", "sumo", "--stance", "0.68", "--turn-out", "42", "--grip", "0.40", "--load", "200"]
    assert cli.main(["assess", "--lift", "deadlift", str(tape), *setup, "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert set(ASKED) <= set(got) and got["load_kg"] == 200
    assert got["path"][0]["height_m"] == 0 and got["path"][-1]["height_m"] == pytest.approx(got["stroke_m"])
    assert {"trunk_lean_deg", "shin_deg", "thigh_deg", "hip_moment_n_m"} <= set(got["path"][0])
    assert cli.main(["suggest", "--lift", "deadlift", str(tape), "--style", "sumo", "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert got["setup"]["style"] == "sumo" and got["other"]["style"] == "conventional"
    assert got["winner"] is None and got["intervals"]["hip_height_m"][0] > 0.3
    now = ["--current-style", "conventional", "--current-stance", "0.3", "--current-turn-out", "10"]
    assert cli.main(["suggest", "--lift", "deadlift", str(tape), *now, "--current-grip", "0.8"]) == 0
    said = capsys.readouterr().out
    assert "Against your current setup" in said and "Leeway" in said
    assert cli.main(["suggest", "--lift", "deadlift", str(tape), *now]) == 2
    assert "--current-grip is missing" in capsys.readouterr().err
    assert cli.main(["assess", "--lift", "deadlift", str(tape), *setup]) == 0
    assert "Per leg" in capsys.readouterr().out
