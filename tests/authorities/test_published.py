"""The verdicts of the evidence table: what agrees goes on agreeing, what misses is listed and explained."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from pathlib import Path

import pytest

from shortlever import Body, Tape
from shortlever.lifts import LIFTS
from shortlever.lifts.bench.doubt import MODEL_ERROR_M
from shortlever.lifts.bench.worth import BELIEVED
from tests.authorities import evidence, rows, ten_lifters

ROWS = {row.id: row for row in evidence.table()}
CHECKS = (
    "B1",
    "B2",
    "B3",
    "B4",
    "B5",
    "B6",
    "B7",
    "B8",
    "B9",
    "B10",
    "B11",
    "B12",
    "B13",
    "B14",
    "B15",
    "B16",
    *(f"K{i}" for i in range(1, 14)),
    *(f"P{i}" for i in range(1, 12)),
)
KNOWN = {"read", "second-hand", "derived", "memory", "common practice"}


def test_every_check_has_a_row() -> None:
    assert set(CHECKS) <= {row_id.split("-")[0] for row_id in ROWS}
    assert len(ROWS) == len(evidence.table()), "two rows share an id"


@pytest.mark.parametrize("row", evidence.table(), ids=lambda row: row.id)
def test_verdict(row: rows.Row) -> None:
    """A row misses exactly when misses.toml lists it; a new miss and a vanished one both need a person."""
    listed = row.id in rows.reasons()
    assert row.source and row.known in KNOWN and row.published and row.model
    if row.verdict == rows.MISSES:
        assert listed, (
            f"{row.id} misses ({row.published}; model {row.model}) and misses.toml does not say why"
        )
        assert len(row.explanation.split()) >= 8 and row.explanation.endswith(".")
    else:
        assert not listed, (
            f"{row.id} {row.verdict} ({row.published}; model {row.model}): take it out of misses.toml"
        )


def test_every_lift_is_held_against_what_was_published() -> None:
    """Its value names where, and each such module has checks of its own."""
    assert [one.__name__.rpartition(".")[2] for one in rows.of_lifts()] == [
        lift.evidence for lift in LIFTS.values()
    ]
    assert all(one.GROUPS and rows.published(one.TABLE)["why"] for one in rows.of_lifts())


def numbers_in(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"-?\d+\.\d+", text)]


def off(ids: str) -> list[float]:
    """Model minus published of the rows so called, misses and the rest; of a range its middle."""
    found = []
    for row in ROWS.values():
        if re.fullmatch(ids, row.id):
            low, high = numbers_in(row.published)[:2]
            middle = (low + high) / 2 if " to " in row.published else low
            found.append(numbers_in(row.model)[0] - middle)
    return found


def test_the_error_told_of_the_model_is_that_of_the_table() -> None:
    """Root mean squares; the grips are told in shoulder breadths, the average man's and woman's."""
    grips = [
        error * Body.from_tape(Tape(sex=sex)).biacromial_m
        for ids, sex in ((r"C6-.*|C7-man", "male"), (r"C7-woman", "female"))
        for error in off(ids)
    ]
    kinds = {
        "grip_m": grips,
        "touch_m": off(r"B3-.*"),
        "range_of_motion_m": off(r"B1-(narrow|medium|wide)-.*"),
        "mean_moment_arm_m": off(r"C8-.*"),
    }
    assert [len(errors) for errors in kinds.values()] == [4, 6, 6, 18]
    for kind, errors in kinds.items():
        mean_square = sum(error * error for error in errors) / len(errors)
        assert math.sqrt(mean_square) == pytest.approx(MODEL_ERROR_M[kind], abs=6e-4)


def test_what_is_believed_of_the_hardest_point_is_what_lifters_one_rep_max_showed() -> None:
    """Least squares through the origin of ln 1-RM over ln index ratios, rows C2: fitted, so no check."""
    pairs = [
        (math.log(numbers_in(row.model)[0]), math.log(numbers_in(row.published)[0]))
        for row in ROWS.values()
        if row.id.startswith("C2-")
    ]
    assert len(pairs) == 4
    assert sum(x * y for x, y in pairs) / sum(x * x for x, _ in pairs) == pytest.approx(BELIEVED, abs=0.02)


def test_no_reason_for_a_row_that_does_not_exist() -> None:
    assert set(rows.reasons()) <= set(ROWS)


# What the trade is sure of; these may never become misses, whatever misses.toml says.
CERTAIN = ("B9", "B13", "B14", "B15", "B16", "P8", "P9", "P11", "R", "L1", "L2", "L3", "L4", "L5", "L6")


@pytest.mark.parametrize("check", CERTAIN)
def test_certain_checks_agree(check: str) -> None:
    found = [row for row_id, row in ROWS.items() if row_id.split("-")[0] == check]
    assert found
    for row in found:
        assert row.verdict != rows.MISSES, f"{row.id}: {row.published}, model {row.model}"
    assert any(row.verdict == rows.AGREES for row in found)


def test_the_judge_can_say_misses() -> None:
    """Judging tells a value outside its tolerance from one inside."""
    case = rows.Case({"source": "s", "known": "read"})
    assert case.near("x", "", "", 1.0, 0.1, 1.09).verdict == rows.AGREES
    assert case.near("x", "", "", 1.0, 0.1, 1.11).verdict == rows.MISSES
    assert case.within("x", "", "", 1.0, 2.0, 2.0).verdict == rows.AGREES
    assert case.within("x", "", "", 1.0, 2.0, 2.01).verdict == rows.MISSES
    assert case.near("x", "", "", 1.0, 0.1, float("nan")).verdict == rows.MISSES


def test_it_prints_markdown(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "argv", ["evidence.py", "--markdown"])
    evidence.main()
    said = capsys.readouterr().out
    assert said.startswith("| id |") and all(f"| {name} |" in said for name in ROWS)


@pytest.mark.parametrize("option", ([], ["--lifters"]))
def test_it_prints(option: list[str]) -> None:
    """As a script, without anything on the path."""
    script = str(rows.HERE / "evidence.py")
    done = subprocess.run(
        [sys.executable, "-I", script, *option], capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    wanted = [lifter.name for lifter in ten_lifters.lifters()] if "--lifters" in option else list(ROWS)
    assert all(name in done.stdout for name in wanted)
    if not option:
        assert all(entry["parameter"] in done.stdout for entry in rows.published("misses")["fitted"])
        told = " ".join(done.stdout.split())
        assert all(rows.reasons()[row_id] in told for row_id in rows.reasons() if row_id in ROWS)


def test_a_reason_may_hold_a_bar() -> None:
    """Markdown cells stay cells."""
    columns = evidence.as_markdown().splitlines()[0].count("|")
    for line in evidence.as_markdown().splitlines()[: len(ROWS) + 2]:
        assert line.replace("\\|", "").count("|") == columns


def test_the_sites_page_shows_the_verdicts_of_today() -> None:
    """site_src/docs/evidence.json is written by ``python3 build.py evidence --json``; write it again."""
    root = Path(__file__).parents[2]
    kept = json.loads((root / "site_src" / "docs" / "evidence.json").read_text(encoding="utf-8"))
    shown = {row["id"]: (row["verdict"], row["explanation"]) for row in kept["rows"]}
    assert shown == {row.id: (row.verdict, row.explanation) for row in evidence.table()}
    assert [kept["counts"], *kept["fitted"]] == evidence.summary().split("\n")
