"""`shortlever team` on a terminal: the tape is pulled out while it works; a stop leaves nothing behind."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shortlever import team
from site_src.make import ground
from tests.site.interrupt import interruptible

LINES = "Lifter,Arm length (cm),Shoulder breadth (cm)\n"


def start(folder: Path, lifters: int) -> tuple[subprocess.Popen[bytes], int]:
    """The command with a terminal for standard error, in a process group of its own; and that terminal."""
    (folder / "in.csv").write_text(LINES + "".join(f"L{i},{60 + i / 1000:.3f},39\n" for i in range(lifters)))
    ours, its = pty.openpty()
    with interruptible():
        command = subprocess.Popen(
            [sys.executable, "-m", "shortlever", "team", folder / "in.csv", folder / "out.csv"],
            cwd=ground.CORE, stderr=its, stdout=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
    os.close(its)
    return command, ours


def rest_of(terminal: int) -> str:
    said = b""
    while True:
        try:
            part = os.read(terminal, 4096)
        except OSError:  # the other side is closed
            part = b""
        if not part:
            os.close(terminal)
            return said.decode()
        said += part


def test_progress_is_shown_and_taken_away(tmp_path: Path) -> None:
    command, terminal = start(tmp_path, 45)
    said = rest_of(terminal)
    assert command.wait(timeout=60) == 0
    assert "1 of 45" in said and "45 of 45" in said and "[" in said
    assert said.rpartition("\r" + " " * 72 + "\r")[2].startswith("45 setups.")
    sheet = team.read_sheet((tmp_path / "out.csv").read_bytes())
    assert [row.name for row in sheet.rows] == [f"L{i}" for i in range(45)]


@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGKILL])
def test_its_further_processes_end_with_it(tmp_path: Path, sent: signal.Signals) -> None:
    command, terminal = start(tmp_path, 400)
    said = b""
    while b" of " not in said:
        said += os.read(terminal, 4096)
    command.send_signal(sent)
    assert command.wait(timeout=60) == -sent
    rest_of(terminal)  # comes to its end only when the last of them has closed it
    assert [p.name for p in tmp_path.iterdir()] == ["in.csv"]


@pytest.mark.parametrize("lifters", [20, 400], ids=["one process", "several processes"])
def test_ctrl_c_leaves_nothing_behind(tmp_path: Path, lifters: int) -> None:
    command, terminal = start(tmp_path, lifters)
    said = b""
    end = time.monotonic() + 30
    while b" of " not in said and time.monotonic() < end:
        said += os.read(terminal, 4096)
    os.killpg(command.pid, signal.SIGINT)  # as a terminal does: to the whole group
    whole = said.decode() + rest_of(terminal)
    assert command.wait(timeout=30) == 130, whole
    assert "nothing was written" in whole and "Traceback" not in whole
    assert [p.name for p in tmp_path.iterdir()] == ["in.csv"]
