"""The library as others get it: a wheel, its types, its program, and nothing left lying about."""

from __future__ import annotations

import subprocess
import sys
import venv
from pathlib import Path

import pathspec
import pytest

from site_src.make import ground

USES = """
from shortlever import Setup, Tape, assess
from shortlever.picture import picture

tape = Tape(arm_length=0.665, shoulder_breadth=0.416)
arm: float = assess(tape, Setup(0.71, 0.128)).moment_arm_m
assert arm == 0.128 and picture(tape).svg.startswith("<svg ")
"""


def run(*argv: object) -> str:
    done = subprocess.run([*map(str, argv)], capture_output=True, text=True, timeout=300, cwd=ground.ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bare environment with the wheel in it."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, ground.ROOT / "build.py", "wheel", folder)
    (wheel,) = folder.glob("*.whl")
    venv.create(folder / "venv")
    run(sys.executable, "-m", "pip", "--python", folder / "venv" / "bin" / "python", "install", "--no-deps",
        "--no-index", "--quiet", wheel)  # fmt: skip
    return folder / "venv"


def test_it_runs_and_brings_all_its_files(installed: Path, tmp_path: Path) -> None:
    script = tmp_path / "uses.py"
    script.write_text(USES)
    run(installed / "bin" / "python", script)
    (tmp_path / "tape.json").write_text('{"arm_length": "66.5 cm", "shoulder_breadth": "41.6 cm"}')
    assert run(installed / "bin" / "shortlever", "suggest", tmp_path / "tape.json").startswith("Grip")


def test_a_type_checker_outside_knows_its_types(installed: Path, tmp_path: Path) -> None:
    script = tmp_path / "uses.py"
    script.write_text(USES + "wrong: str = assess(tape, Setup(0.71, 0.128)).moment_arm_m\n")
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--config-file=", "--cache-dir", tmp_path / "cache",
         "--python-executable", installed / "bin" / "python", script],
        capture_output=True, text=True, timeout=300, cwd=tmp_path,
    )  # fmt: skip
    assert "Found 1 error" in done.stdout and 'has type "float", variable has type "str"' in done.stdout, (
        done.stdout
    )


def test_nothing_that_installing_leaves_is_seen_by_git() -> None:
    ignored = pathspec.GitIgnoreSpec.from_lines((ground.ROOT / ".gitignore").read_text().splitlines())
    for left in ("build/lib/shortlever/__init__.py", "core/shortlever.egg-info/PKG-INFO"):
        assert ignored.match_file(left), left
    assert not ignored.match_file("build.py") and not ignored.match_file("core/shortlever/cli.py")
