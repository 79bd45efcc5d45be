"""`shortlever` as a program: closed and endless streams, narrow terminals, numbers without end."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from site_src.make import ground

TAPE = {"arm_length": "62 cm", "shoulder_breadth": "39 cm"}
COMMAND = [sys.executable, "-m", "shortlever"]


def run(*arguments: object, **settings: Any) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *map(str, arguments)], cwd=ground.CORE, stderr=subprocess.PIPE, text=True, timeout=60,
        **{"stdout": subprocess.PIPE} | settings,
    )  # fmt: skip


@pytest.fixture
def tape(tmp_path: Path) -> Path:
    file = tmp_path / "tape.json"
    file.write_text(json.dumps(TAPE), encoding="utf-8")
    return file


def assert_one_line(done: subprocess.CompletedProcess[str], *words: str) -> None:
    assert done.returncode == 2
    assert done.stderr.startswith("shortlever: ") and done.stderr.count("\n") == 1
    for word in words:
        assert word in done.stderr


def test_a_number_with_thousands_of_digits(tape: Path) -> None:
    tape.write_text(f'{{"arm_length": {"9" * 5000}}}', encoding="utf-8")
    assert_one_line(run("suggest", tape), "too many digits")


@pytest.mark.parametrize("command", [["suggest", "-"], ["team", "-", "-"]])
def test_input_without_end_is_read_no_further_than_it_can_be_used(command: list[str]) -> None:
    with subprocess.Popen(["yes", "1"], stdout=subprocess.PIPE) as endless:
        done = run(*command, stdin=endless.stdout)
        endless.kill()
    assert_one_line(done)


def test_no_input_is_no_tape() -> None:
    assert_one_line(run("suggest", "-", stdin=subprocess.DEVNULL), "is not JSON")


def test_a_reader_that_has_enough_is_no_error(tape: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    done = run("suggest", tape, stdout=write)
    os.close(write)
    assert (done.returncode, done.stderr) == (1, "")


def test_a_closed_output_is_told(tape: Path) -> None:
    shell = f'exec "$0" -m shortlever suggest "{tape}" >&-'
    done = subprocess.run(
        ["sh", "-c", shell, sys.executable], cwd=ground.CORE, capture_output=True, text=True, timeout=60
    )
    assert_one_line(done, "output is closed")


def test_a_terminal_that_knows_ascii_only(tape: Path) -> None:
    done = run("suggest", tape, env=os.environ | {"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0 and done.stdout.startswith("Grip") and "?" in done.stdout
