"""The squat through every door: form, screen, link, sets, sheet, file, command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from shortlever import cli, team, view
from shortlever.lifts import LIFTS
from shortlever.team.fit import results_of

LIFT = LIFTS["squat"]
FIELDS = {"stature": "172", "body_mass": "80", "knee_to_wall": "9"}
PRESENT = {"current_heels": "38", "current_turn_out": "20", "current_heel": "1"}
ASKED: dict[str, Any] = {"lift": "squat", "unit": "cm", "fields": FIELDS, "sex": "male"}


def ask(**request: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(view.answer(json.dumps(request)))
    return found


def test_stature_and_weight_are_enough_and_an_angle_is_asked_in_degrees() -> None:
    form = {field["key"]: field for field in view.form("squat")}
    assert [key for key, field in form.items() if field["required"]] == ["stature", "body_mass"]
    turn = form["current_turn_out"]
    assert (turn["unit_kind"], turn["low_cm"], round(turn["high_cm"])) == ("angle", 0.0, 75)
    assert ask(lift="squat", unit="cm", fields={"stature": "172", "body_mass": "80"})["ok"]
    wrong = ask(**ASKED | {"fields": FIELDS | {"current_turn_out": "99"}})["errors"][0]
    assert wrong["field"] == "current_turn_out" and "0 to 75°" in wrong["message"]
    for typed in ("25", "25°", "25 deg", "25 degrees"):
        read = ask(**ASKED | {"fields": FIELDS | {"current_turn_out": typed}})["reading"]
        assert read["current_turn_out"] == "25°"


def test_the_screen_says_gain_and_price_marks_and_what_is_nearly_free() -> None:
    said = ask(**ASKED | {"fields": FIELDS | PRESENT})
    assert said["ok"] and [one["key"] for one in said["headline"]] == ["heels", "turn_out", "sit_back"]
    assert "at the hardest point" in said["gain"]["text"] or "stay" in said["gain"]["text"]
    assert {one["key"] for one in said["marks"]} >= {"heels", "toes", "hooks", "safeties", "knees", "box"}
    assert [view_["key"] for view_ in said["figure"]["views"]] == ["side", "front", "above"]
    assert len(said["figure"]["rows"]) == len(said["figure"]["views"][0]["rows"]) == 16
    assert [one["present"] for one in said["trial"]] == [True, False]
    now, new = (one["stroke_m"] for one in said["trial"])
    assert now > new and f"range of motion {100 * (1 - new / now):.0f} % shorter" in said["gain"]["text"]
    assert said["bands"] and said["beside"]["there"] == "high bar"
    assert "fig-ghost" in said["figure"]["svg"] and "kg" not in said["gain"]["text"]
    tape = {"stature": "68", "body_mass": "176", "knee_to_wall": "0.5", "current_heels": "15"}
    inches = ask(**ASKED | {"unit": "in", "fields": tape})
    assert inches["ok"] and " cm" not in json.dumps(inches)


@pytest.mark.parametrize("choice", [{"bar_position": "high"}, {"depth": "level"}, {"hips": "careful"}])
def test_every_choice_changes_the_setup(choice: dict[str, str]) -> None:
    usual, other = ask(**ASKED), ask(**ASKED | choice)
    assert other["ok"] and other["setup"] != usual["setup"]


def test_the_dial_and_a_picked_setup() -> None:
    ends = [ask(**ASKED | {"preference": p})["setup"]["sit_back_m"] for p in (0.0, 1.0)]
    assert ends[0] < ends[1] - 0.02
    picked = {"stance_m": 0.5, "turn_out_deg": 25.0, "heel_m": 0.0, "sit_back_m": 0.21}
    said = ask(**ASKED | {"choice": picked})
    assert said["chosen"] and said["setup"]["turn_out_deg"] == 25.0
    assert said["setup"]["sit_back_m"] == pytest.approx(0.21, abs=0.01)  # as the shin allows


def test_its_link_opens() -> None:
    choice = {"stance_m": 0.543, "turn_out_deg": 35.0, "heel_m": 0.015, "sit_back_m": 0.205}
    request = ASKED | {"bar_position": "high", "preference": 0.25, "choice": choice}
    fragment = ask(**request, want="link")["fragment"]
    assert fragment.startswith("v=2&l=squat&u=cm&n=172&y=80&W=9&")
    assert ask(want="open", fragment=fragment)["request"] == request


def test_its_setups_go_on_trial() -> None:
    trial = ask(**ASKED | {"fields": FIELDS | PRESENT})["trial"]
    at = "2031-05-05T18:00:00.000Z"
    changes: list[dict[str, Any]] = [{"what": "add_candidate", "at": at, "candidate": one} for one in trial]
    entry = {"candidate": "B", "load": "120", "unit": "kg", "reps": "5", "reserve": "2"}
    changes.append({"what": "add_set", "at": at, "set": entry})
    verdict = ask(want="sets/verdict", lift="squat", log="", pending=changes, unit="kg", date="2031-05-06")
    assert verdict["ok"] and verdict["refused"] == [] and len(verdict["rows"]) == 1


def test_its_sheet_comes_back_with_setups(tmp_path: Path) -> None:
    example = ask(want="team/example", lift="squat", unit="cm")["text"]
    assert example.splitlines()[0].startswith("Lifter,Height (cm),Body weight (kg)")
    assert "Current toe-out (°)" in example.splitlines()[0]
    read = ask(want="team/read", lift="squat", text=example, unit=None, assign={})
    assert read["ok"] and read["notes"] == [] and read["problems"] == []
    results = ask(want="team/fit", rows=read["rows"])["results"]
    assert len(results) == len(LIFT.invented) and all(one["ok"] for one in results)
    assert set(results[0]["cells"]) == {one.key for one in results_of(LIFT)} - {"problem"}
    sheet, out = tmp_path / "in.csv", tmp_path / "out.csv"
    sheet.write_text(team.example_sheet("in", LIFT), encoding="utf-8")
    assert cli.main(["team", "--lift", "squat", str(sheet), str(out)]) == 0
    assert "Setup: heels, middle to middle (in)" in out.read_text("utf-8-sig")


KEYS = {
    *("hip_arm_m", "knee_arm_m", "back_arm_m", "trunk_lean_deg", "shin_deg", "thigh_deg", "hip_moment_n_m"),
    *("knee_moment_n_m", "back_moment_n_m", "stroke_m", "bar_drift_m", "ankle_deg", "limit_load_index"),
    *("work_share", "path", "setup"),
}


@pytest.mark.sweep
def test_its_command_line_has_the_keys_that_were_agreed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = tmp_path / "tape.json"
    tape.write_text('{"stature": 1.72, "body_mass": "80 kg", "hip_bone_height": "88 cm"}', encoding="utf-8")
    ways = ["--bar-position", "high", "--depth", "level", "--load", "120", "--bar", "power"]
    given = ["--stance", "0.45", "--turn-out", "25", "--heel", "0.02"]
    assert cli.main(["assess", "--lift", "squat", str(tape), *given, *ways, "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert set(got) >= KEYS and set(got["work_share"]) == {"hip", "knee", "ankle"}
    setup = {"stance_m": 0.45, "turn_out_deg": 25.0, "heel_m": 0.02, "bar_position": "high", "depth": "level"}
    assert {key: got["setup"][key] for key in setup} == setup and got["load_kg"] == 120
    row = {"height_m", "trunk_lean_deg", "shin_deg", "thigh_deg", "hip_arm_m", "hip_moment_n_m"}
    assert row <= set(got["path"][0]) and got["path"][0]["height_m"] == 0
    assert cli.main(["suggest", "--lift", "squat", str(tape), "--json"]) == 0
    advice = json.loads(capsys.readouterr().out)
    assert set(advice["setup"]) >= set(setup) and advice["intervals"] and advice["bands"]
    assert cli.main(["suggest", "--lift", "squat", str(tape)]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Heels") and "licensed clinician" in text
    assert cli.main(["assess", "--lift", "squat", str(tape), "--stance", "9", "--turn-out", "25"]) == 2
    assert "stance_m" in capsys.readouterr().err


def test_cautions_are_the_lifts_own() -> None:
    said = " ".join(text for text, _ in view.cautions("squat"))
    for word in ("safety arms", "spotters", "collars", "knee", "back", "licensed clinician", "rulebook"):
        assert word in said
