"""Set-up: the virtual environment and what is pinned, fetched by hash and only when a pin has changed."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from site_src.make.ground import ROOT, SITE, VENV, WORK, digest, run, stamped, step

PINS = Path(__file__).parent  # where the four requirements-*.txt are
CHECKS = Path(__file__).parent / "checks"  # of the scripts: pins and settings
PYTHON_IN_PYODIDE = "3.14"


def enter_venv() -> None:
    """Make .venv when it is missing or broken, and go on inside it."""
    if Path(sys.prefix).resolve() == VENV.resolve():
        return
    python = VENV / "bin" / "python"
    whole = (
        python.exists() and subprocess.run([python, "-c", "import pip"], capture_output=True).returncode == 0
    )
    if not whole:
        with step("making the virtual environment .venv"):
            run("making .venv", sys.executable, "-m", "venv", "--clear", VENV)
    os.execv(python, [str(python), str(ROOT / "build.py"), *sys.argv[1:]])


def install(name: str, text: str) -> None:
    """Install requirements-NAME.txt into .venv unless exactly these pins are there already."""
    pins, stamp = PINS / f"requirements-{name}.txt", VENV / f"pins-{name}"
    if not stamped(stamp, digest(pins)):
        with step(text):
            run(text, sys.executable, "-m", "pip", "install", "--quiet", "--no-input", "--retries", "2",
                "--no-compile", "--require-hashes", "-r", pins)  # fmt: skip
        stamp.write_text(digest(pins))


def fetch_compile_wheels() -> Path:
    """pyodide-build and what its compile step imports: not installed, for they run inside Pyodide."""
    pins, folder = PINS / "requirements-compile.txt", WORK / "wheels"
    stamp = folder / "pins"
    if not stamped(stamp, digest(pins)):
        shutil.rmtree(folder, ignore_errors=True)
        with step("fetching pyodide-build"):
            run("fetching pyodide-build", sys.executable, "-m", "pip", "download", "--quiet", "--no-input",
                "--retries", "2", "--no-deps", "--require-hashes", "--only-binary=:all:",
                "--python-version", PYTHON_IN_PYODIDE, "-d", folder, "-r", pins)  # fmt: skip
        stamp.write_text(digest(pins))
    return folder


def fetch_npm(source: Path = SITE, name: str = "npm", text: str = "Pyodide and what slims it") -> Path:
    """The npm packages of a lock file (the site's: Pyodide, what slims it, what pages take along)."""
    folder = WORK / name
    wanted = [source / "package.json", source / "package-lock.json", source / ".npmrc"]
    stamp, key = folder / "pins", digest(*wanted)
    if not stamped(stamp, key):
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        for path in wanted:
            shutil.copy(path, folder)
        with step(f"fetching {text} (30 MB)"):
            programs = f"{VENV / 'bin'}{os.pathsep}{os.environ['PATH']}"
            options = ("--ignore-scripts", "--no-audit", "--no-fund", "--fetch-retries=1")
            run(f"fetching {text}", VENV / "bin" / "npm", "ci", *options, cwd=folder, env={"PATH": programs})
        stamp.write_text(key)
    return folder / "node_modules"


def fetch_script_checks() -> Path:
    """ESLint and the TypeScript compiler, their settings beside them; their folder."""
    fetch_npm()  # for their types
    modules = fetch_npm(CHECKS, "checks", "what checks the scripts")
    shutil.copy(CHECKS / "eslint.config.mjs", modules.parent)  # it imports them
    return modules


def node(*argv: str | Path, what: str) -> str:
    return run(what, VENV / "bin" / "node", *argv)


def set_up_build() -> None:
    enter_venv()
    WORK.mkdir(exist_ok=True)
    install("build", "installing what the build needs (60 MB)")


def set_up_tests() -> None:
    set_up_build()
    install("test", "installing what the tests need (200 MB)")


def set_up_wheel() -> None:
    set_up_build()
    install("wheel", "installing what makes the wheel")
