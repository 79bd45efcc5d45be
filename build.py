#!/usr/bin/env python3
"""Shortlever's one entry point: it sets up what it needs, then builds, serves, checks or tests."""

import sys

OLDEST = (3, 11)
if sys.version_info < OLDEST:  # said before anything newer than Python 3.6 is used
    sys.exit(
        "build.py: Python %d.%d is too old; run it with Python 3.11 or newer, such as: python3.12 build.py"
        % (sys.version_info[0], sys.version_info[1])
    )

import argparse
import contextlib
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from subprocess import PIPE, STDOUT

from site_src.make.assemble import build_site
from site_src.make.browsers import ensure_chromium, set_up_engines
from site_src.make.ground import CORE, DIST, ROOT, VENV, WORK, Trouble, meanwhile, remedy_for, run
from site_src.make.server import lan_address, make_server
from site_src.make.setup import CHECKS, fetch_script_checks, set_up_build, set_up_tests, set_up_wheel

SCRIPT_TYPES = sorted(CHECKS.glob("tsconfig*.json"))  # page, workers, Node: each knows other globals
NODE_TESTS = ("--test-reporter=dot", "tests/page/*.test.mjs")


def command_build(options: argparse.Namespace, _: list[str]) -> int:
    """build the site into dist/"""
    set_up_build()
    if options.afresh:
        with tempfile.TemporaryDirectory(dir=WORK) as stage:
            build_site(options.out, Path(stage) / "stage")
    else:
        build_site(options.out)
    return 0


def command_serve(options: argparse.Namespace, _: list[str]) -> int:
    """build the site and serve it here and on the local network"""
    set_up_build()
    build_site(options.out)
    server = make_server(options.out, options.port)
    port = server.server_address[1]
    print(f"\nShortlever: http://localhost:{port}/   (stop with Ctrl-C)")
    address = lan_address()
    if address and not address.startswith("127."):
        print(f"On a phone in the same network: http://{address}:{port}/")
        print("  It works there while this computer serves it; to be kept offline it must come from https")
        print("  or localhost.")
    sys.stdout.flush()
    with contextlib.suppress(KeyboardInterrupt):
        server.serve_forever()
    print("\nstopped")
    return 0


def command_check(_options: argparse.Namespace, _: list[str]) -> int:
    """check style and types: ruff and mypy --strict, for scripts ESLint and the TypeScript compiler"""
    set_up_tests()
    modules = fetch_script_checks()
    python, node = (sys.executable, "-m"), VENV / "bin" / "node"
    lint = modules.parent / "eslint.config.mjs"
    checks = (
        [*python, "ruff", "check", "--quiet", "--output-format=concise", "."],
        [*python, "mypy", "--strict"],
        [node, modules / "eslint" / "bin" / "eslint.js", "--config", lint, "site_src", "tests"],
        *([node, modules / "typescript" / "bin" / "tsc", "--project", where] for where in SCRIPT_TYPES),
    )
    with ThreadPoolExecutor() as pool:
        done = pool.map(partial(subprocess.run, cwd=ROOT, stdout=PIPE, stderr=STDOUT, text=True), checks)
        failed = 0
        for check in done:
            print(check.stdout, end="", flush=True)
            failed |= check.returncode != 0
    return failed


def command_test(options: argparse.Namespace, extra: list[str]) -> int:
    """check, then run every test; more arguments go to pytest"""
    set_up_build()

    def set_up_all() -> None:
        set_up_tests()
        ensure_chromium()

    with meanwhile(set_up_all):
        build_site()
    failed = command_check(options, [])
    if "engines" in extra:
        set_up_engines()
    if failed:
        print("· the checks above failed; the tests run all the same", flush=True)
    if not extra:  # the scripts' own, without a browser
        failed |= subprocess.run([VENV / "bin" / "node", "--test", *NODE_TESTS], cwd=ROOT).returncode
    workers = str(min((os.cpu_count() or 1) + 1, 4))  # one more: a test of the browser often waits
    side_by_side = ["-n", workers, "--dist", "loadfile", "--no-loadscope-reorder"]  # pays for the whole only
    how = extra or side_by_side
    env = os.environ | {"SHORTLEVER_SITE": "built"}  # not once more by each process of tests
    return subprocess.run([sys.executable, "-m", "pytest", *how], cwd=ROOT, env=env).returncode or failed


def command_evidence(_options: argparse.Namespace, extra: list[str]) -> int:
    """print published values beside the model's own"""
    set_up_tests()
    script = ROOT / "tests" / "authorities" / "evidence.py"
    return subprocess.run([sys.executable, script, *extra], cwd=ROOT).returncode


def command_wheel(_options: argparse.Namespace, extra: list[str]) -> int:
    """make the library's wheel, in .build/wheel or the folder that is given"""
    set_up_wheel()
    folder = Path(extra[0]).absolute() if extra else WORK / "wheel"
    with tempfile.TemporaryDirectory() as copy:  # setuptools leaves files where it builds
        for name in ("pyproject.toml", "README.md", "LICENSE"):
            shutil.copy(ROOT / name, copy)
        shutil.copytree(CORE, Path(copy) / "core", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info"))
        how = ["--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", folder]
        run("making the wheel", sys.executable, "-m", "pip", "wheel", *how, copy)
    print(f"· {os.path.relpath(max(folder.glob('*.whl'), key=os.path.getmtime))}")
    return 0


def command_shots(_options: argparse.Namespace, extra: list[str]) -> int:
    """take pictures of the screen into a folder (without one: the README's own picture)"""
    set_up_tests()
    ensure_chromium()
    build_site()
    script = ROOT / "tests" / "browser" / "shots.py"
    return subprocess.run([sys.executable, script, *(extra or ["site_src/docs"])], cwd=ROOT).returncode


def command_help(_options: argparse.Namespace, _: list[str]) -> int:
    """list the commands"""
    print("python3 build.py COMMAND\n")
    for name, command in COMMANDS.items():
        print(f"  {name:8} {command.__doc__}")
    return 0


COMMANDS: dict[str, Callable[[argparse.Namespace, list[str]], int]] = {
    "serve": command_serve,
    "build": command_build,
    "test": command_test,
    "check": command_check,
    "evidence": command_evidence,
    "shots": command_shots,
    "wheel": command_wheel,
    "help": command_help,
}


def main(arguments: Iterable[str]) -> int:
    parser = argparse.ArgumentParser(prog="build.py", add_help=False, allow_abbrev=False)
    parser.add_argument("command", nargs="?", default="help")
    parser.add_argument("--port", type=int, default=8000)
    parser.add_argument("--out", type=Path, default=DIST)
    parser.add_argument("--afresh", action="store_true", help="build: compile again, whatever is kept")
    arguments = list(arguments)
    if arguments[:1] in (["-h"], ["--help"]):
        arguments = ["help"]
    options, extra = parser.parse_known_args(arguments)
    if options.command not in COMMANDS:
        raise Trouble(f"there is no command {options.command!r}; there are: {', '.join(COMMANDS)}")
    if extra and options.command not in ("test", "evidence", "shots", "wheel"):
        raise Trouble(f"{options.command} does not take {extra[0]!r}; see: python3 build.py help")
    return COMMANDS[options.command](options, extra)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except Trouble as trouble:
        sys.exit(f"build.py: {trouble}")
    except OSError as error:
        sys.exit(f"build.py: {remedy_for(str(error)) or error}")
    except KeyboardInterrupt:
        sys.exit("\nbuild.py: stopped")
