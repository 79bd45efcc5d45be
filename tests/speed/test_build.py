"""What a build takes that has nothing to do.

Run with ``python3 build.py test tests/speed/test_build.py -m speed``.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from site_src.make import ground


@pytest.mark.speed
def test_a_second_run_is_quick(dist: Path) -> None:
    start = os.times()
    subprocess.run([sys.executable, ground.ROOT / "build.py", "build"], check=True, capture_output=True)
    end = os.times()  # of the processor: whatever runs beside it
    assert end.children_user + end.children_system - start.children_user - start.children_system < 5
