"""The command line: exit status, one-line remedies, and the keys that other programs rely on."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from shortlever import Setup, Tape, assess, suggest
from shortlever.cli import main
from shortlever.lifts import LIFTS

pytestmark = pytest.mark.sweep  # no browser has a command line

TAPE = {"arm_length": "62 cm", "shoulder_breadth": 0.39, "chest_flat": "24 cm", "chest_arched": "29 cm"}
ASSESS_KEYS = {
    "tuck_deg",
    "forearm_tilt_side_deg",
    "forearm_tilt_head_deg",
    "elbow_height_above_pad_m",
    "moment_arm_m",
    "mean_moment_arm_m",
    "resultant_shoulder_arm_m",
    "resultant_elbow_arm_m",
    "sideways_ratio",
    "range_of_motion_m",
    "work_j",
    "work_share",
    "shoulder_moment_n_m",
    "elbow_moment_n_m",
    "limit_load_index",
    "sticking_height_m",
    "lockout_height_m",
    "rack_height_above_floor_m",
    "path",
    "limits",
}
SUGGEST_KEYS = {
    "setup",
    "measures",
    "current",
    "gain",
    "frontier",
    "binding",
    "intervals",
    "model_error",
    "next_measurement",
    "warnings",
}


@pytest.fixture
def tape(tmp_path: Path) -> str:
    file = tmp_path / "tape.json"
    file.write_text(json.dumps(TAPE), encoding="utf-8")
    return str(file)


def told(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> Any:
    assert main([*arguments, "--json"]) == status
    return json.loads(capsys.readouterr().out)


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The one line on standard error of a command that ends with status 2."""
    try:
        status = main(list(arguments))
    except SystemExit as stop:
        status = int(stop.code or 0)
    captured = capsys.readouterr()
    assert status == 2
    assert captured.out == ""
    assert captured.err.count("\n") == 1 and captured.err.endswith("\n")
    return captured.err


def test_assess_tells_what_assess_measures(tape: str, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "assess", tape, "--grip", "0.71", "--touch", "0.128", "--load", "100")
    assert set(found) >= ASSESS_KEYS
    lifter = Tape(arm_length=0.62, shoulder_breadth=0.39, chest_flat=0.24, chest_arched=0.29)
    same = assess(lifter, Setup(0.71, 0.128, 100.0))
    assert found["range_of_motion_m"] == same.range_of_motion_m
    assert set(found["path"][0]) >= {
        "height_m",
        "y_m",
        "shoulder_arm_m",
        "elbow_arm_m",
        "sideways_ratio",
        "tuck_deg",
    }
    assert set(found["limits"][0]) >= {"name", "ok", "margin", "reason"}


@pytest.mark.parametrize(
    ("grip", "touch", "load"),
    [("71 cm", "12,5cm", "100kg"), ("0.71", "0.125 m", "100"), ("71cm", "125 mm", "1e2")],
)
def test_a_number_may_carry_its_unit(
    grip: str, touch: str, load: str, tape: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found = told(capsys, "assess", tape, "--grip", grip, "--touch", touch, "--load", load)
    same = told(capsys, "assess", tape, "--grip", "0.71", "--touch", "0.125", "--load", "100")
    assert found["moment_arm_m"] == same["moment_arm_m"] and found["load_kg"] == 100


@pytest.mark.parametrize(
    ("option", "given", "said"),
    [
        ("--grip", "71 km", "unit “km”"),
        ("--grip", "wide", "not a number"),
        ("--sideways", "1 cm", "not a number"),
    ],
)
def test_a_number_that_cannot_be_read_is_told(
    option: str, given: str, said: str, tape: str, capsys: pytest.CaptureFixture[str]
) -> None:
    others = {"--grip": "0.7", "--touch": "0.12"} | {option: given}
    line = refused(capsys, "assess", tape, *(word for pair in others.items() for word in pair))
    assert option in line and said in line


def test_a_held_sideways_ratio_is_kept(tape: str, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "assess", tape, "--grip", "0.71", "--touch", "0.128", "--sideways", "0.2")
    assert found["sideways_ratio"] == 0.2
    assert all(row["sideways_ratio"] == 0.2 for row in found["path"])


def test_suggest_tells_what_suggest_finds(tape: str, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "suggest", tape, "--current-grip", "0.50", "--current-touch", "0.19")
    assert set(found) >= SUGGEST_KEYS
    lifter = Tape(arm_length=0.62, shoulder_breadth=0.39, chest_flat=0.24, chest_arched=0.29)
    assert found["setup"]["grip_m"] == suggest(lifter).setup.grip_m
    assert found["setup"]["marks"]["touch_tape_m"] > 0.1
    assert found["gain"]["moment_arm"] == pytest.approx(found["setup"]["touch_m"] / 0.19)
    low, high = found["intervals"]["touch_m"]
    assert low < found["setup"]["touch_m"] < high


def test_the_tape_comes_from_standard_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO('{"arm_length": "24.5 in", "shoulder_breadth": "15 in"}'))
    assert told(capsys, "suggest", "-")["measures"]["range_of_motion_m"] > 0.2


def test_rules_and_bar_change_the_answer(tape: str, capsys: pytest.CaptureFixture[str]) -> None:
    wide = {"arm_length": 0.72, "shoulder_breadth": 0.50}
    Path(tape).write_text(json.dumps(wide), encoding="utf-8")
    ruled = told(capsys, "suggest", tape)
    free = told(capsys, "suggest", tape, "--rules", "none", "--bar", "training")
    assert ruled["setup"]["grip_m"] <= 0.81 < free["setup"]["grip_m"]
    assert "ring" in [reason["code"] for reason in ruled["binding"]]


@pytest.mark.parametrize("lift", LIFTS)
def test_each_lift_cautions_in_its_own_words(
    tmp_path: Path, lift: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "tape.json"
    file.write_text('{"arm_length": 0.62, "shoulder_breadth": 0.39, "stature": 1.7, "body_mass": 70}')
    assert main(["suggest", "--lift", lift, str(file)]) == 0
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith(str(LIFTS[lift].at_each_set.ready)) and "clinician" in last
    others = {str(one.at_each_set.ready) for key, one in LIFTS.items() if key != lift}
    assert not any(one in last for one in others)


def test_human_output_is_short_and_cautions(tape: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["suggest", tape]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) < 15 and lines[0].startswith("Grip")
    assert "Spotter" in lines[-1] and "clinician" in lines[-1]


def test_no_setup_is_told_and_a_status_of_its_own(tape: str, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "assess", tape, "--grip", "1.3", "--touch", "0.49", status=1)
    assert found["feasible"] is False and "reach" in found["reason"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "not json",
        "[]",
        "5",
        '{"arm_length": 6.1}',
        '{"arms": 1}',
        '{"arm_length": "ten"}',
        '{"left": 5}',
        "[" * 50,
    ],
)
def test_bad_tapes_end_with_two_and_one_line(
    text: str, tape: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path(tape).write_text(text, encoding="utf-8")
    assert len(refused(capsys, "suggest", tape)) < 400


@pytest.mark.parametrize(
    "arguments",
    [
        ["suggest", "no-such-file.json"],
        ["assess", "TAPE", "--grip", "3", "--touch", "0.1"],
        ["assess", "TAPE", "--grip", "nan", "--touch", "0.1"],
        ["assess", "TAPE", "--grip", "0.7"],
        ["suggest", "TAPE", "--preference", "2"],
        ["suggest", "TAPE", "--current-grip", "0.5"],
        ["suggest", "TAPE", "--rules", "ours"],
        ["measure", "TAPE"],
        [],
    ],
    ids=lambda v: " ".join(v),
)
def test_bad_arguments_end_with_two_and_one_line(
    arguments: list[str], tape: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert refused(capsys, *(tape if a == "TAPE" else a for a in arguments))
