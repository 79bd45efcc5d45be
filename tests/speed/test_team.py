"""How long a team sheet of 1,000 lifters takes on the command line here.

Run with ``python3 build.py test tests/speed -m speed -s``.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shortlever import team
from site_src.make import ground

LIFTERS, TARGET_S = 1000, 60.0


@pytest.mark.speed
def test_a_thousand_lifters_in_under_a_minute(tmp_path: Path) -> None:
    chance = random.Random(8)
    lines = ["Lifter,Arm length (cm),Shoulder breadth (cm),Chest height flat (cm),Chest height arched (cm)"]
    for i in range(LIFTERS):
        size = chance.uniform(0.85, 1.15)
        numbers = (size * cm * chance.uniform(0.97, 1.03) for cm in (66, 39, 24, 28))
        lines.append(f"Invented {i}," + ",".join(f"{n:.1f}" for n in numbers))
    given, wanted = tmp_path / "in.csv", tmp_path / "out.csv"
    given.write_text("\n".join(lines), encoding="utf-8")
    start, before = time.monotonic(), os.times()
    done = subprocess.run(
        [sys.executable, "-m", "shortlever", "team", given, wanted],
        cwd=ground.CORE, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    wall, after = time.monotonic() - start, os.times()
    busy = after.children_user - before.children_user
    print(f"\n{LIFTERS} lifters in {wall:.0f} s, {busy:.0f} s of processor over {os.cpu_count()} processors")
    sheet = team.read_sheet(wanted.read_bytes())
    grip = next(i for i, c in enumerate(sheet.columns) if c.header.startswith("Setup: grip"))
    assert sum(1 for line in sheet.lines[1:] if line.cells[grip]) == LIFTERS
    assert busy / (os.cpu_count() or 1) < TARGET_S  # what it takes where nothing else runs
