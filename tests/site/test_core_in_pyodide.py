"""The tests of the core, which CPython runs too, pass inside the pinned Pyodide, every one of them."""

import json
import os
import subprocess
import sys
import sysconfig
from typing import Any

import pytest

from site_src.make import ground, setup

HERE = ground.ROOT / "tests" / "site"


def last_line(*argv: object) -> dict[str, Any]:
    environment = {**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    done = subprocess.run(
        [str(a) for a in argv], cwd=ground.ROOT, env=environment, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.parametrize("which", ["not sweep", pytest.param("sweep", marks=pytest.mark.slow)])
def test_core_suite_passes_inside_pyodide(which: str) -> None:
    here = last_line(sys.executable, HERE / "run_core.py", ground.ROOT, which, "--collect-only")
    there = last_line(
        ground.VENV / "bin" / "node", HERE / "core_in_pyodide.mjs",
        setup.fetch_npm() / "pyodide", ground.ROOT, sysconfig.get_path("purelib"), which,
    )  # fmt: skip
    for result in (here, there):
        assert result["other"] == []
        assert result["status"] == 0
    assert len(here["named"]) >= {"sweep": 10, "not sweep": 1400}[which]
    assert there["passed"] == here["named"]
