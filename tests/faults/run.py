"""Puts small faults (faults.toml) into a copy of the project, one after the other: which do the tests see?

.venv/bin/python tests/faults/run.py            all of them, an hour of one core
.venv/bin/python tests/faults/run.py store pain those that have such a word in their name or their file
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
KEPT = (".venv", ".build/npm", ".build/wheels", ".build/checks")  # never written, once they are there


def copy_to(folder: Path) -> None:
    """All that is not set up, and what is made of it; the large parts stay where they are."""
    inside = shutil.ignore_patterns("__pycache__", ".git", ".venv", ".build", "dist")
    shutil.copytree(ROOT, folder, ignore=inside, dirs_exist_ok=True)
    for name in (".build", "dist"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("npm", "wheels", "checks"))
    for name in KEPT:
        (folder / name).symlink_to(ROOT / name)


def is_seen(folder: Path, tests: str) -> bool:
    """Whether a test fails. What stops the tests themselves is no test that fails."""
    words = tests.split()
    scripts, others = [w for w in words if w.endswith(".mjs")], [w for w in words if not w.endswith(".mjs")]
    quiet = {"cwd": folder, "stdout": subprocess.PIPE, "stderr": subprocess.STDOUT, "text": True}
    if scripts:
        build = "from site_src.make.assemble import build_site; build_site()"
        subprocess.run([sys.executable, "-c", build], **quiet, check=True)
        if subprocess.run([folder / ".venv/bin/node", "--test", *scripts], **quiet).returncode:
            return True
    if not others:
        return False
    environment = os.environ | {"PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([sys.executable, "-m", "pytest", "-qx", *others], **quiet, env=environment)
    if done.returncode not in (0, 1):
        sys.exit(f"{tests}: the tests do not run\n{done.stdout[-3000:]}")
    return done.returncode == 1


def main(words: list[str]) -> int:
    faults = tomllib.loads((ROOT / "tests/faults/faults.toml").read_text(encoding="utf-8"))["fault"]
    chosen = [one for one in faults if not words or any(w in one["what"] + one["file"] for w in words)]
    unseen = 0
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "project"
        copy_to(folder)
        for fault in chosen:
            file = folder / fault["file"]
            whole = file.read_text(encoding="utf-8")
            if whole.count(fault["old"]) != 1:
                said = "not there once: write it anew"
            else:
                file.write_text(whole.replace(fault["old"], fault["new"]), encoding="utf-8")
                said = "caught" if is_seen(folder, fault["tests"]) else "NOT CAUGHT"
                file.write_text(whole, encoding="utf-8")
            unseen += said != "caught"
            print(f"{said}: {fault['what']} ({fault['file']})", flush=True)
    print(f"{len(chosen) - unseen} of {len(chosen)} caught")
    return int(unseen > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
