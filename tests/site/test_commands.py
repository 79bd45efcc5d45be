"""What build.py says, also when something is missing: one line with the remedy, never a traceback."""

import ast
import errno
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

import build
from site_src.make import ground
from tests.site.interrupt import interruptible


def run(*argv: object, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(a) for a in argv], env={**os.environ, **environment}, capture_output=True, text=True, timeout=120
    )


def outside_venv() -> str:
    """The Python that .venv was made with."""
    return str(Path(sys.base_prefix) / "bin" / f"python{sys.version_info.major}.{sys.version_info.minor}")


def copy_to(folder: Path) -> Path:
    """The project without its .venv and caches."""
    folder.mkdir()
    shutil.copy(ground.ROOT / "build.py", folder)
    shutil.copytree(ground.SITE / "make", folder / "site_src" / "make")
    return folder / "build.py"


def assert_one_line(done: subprocess.CompletedProcess[str], *words: str) -> None:
    assert done.returncode != 0
    assert "Traceback" not in done.stdout + done.stderr
    lines = done.stderr.strip().splitlines()
    assert len(lines) == 1, done.stderr
    assert lines[0].startswith("build.py: ")
    for word in words:
        assert word in lines[0], lines[0]


def test_help_gives_each_command_one_line() -> None:
    for asked in ((), ("help",), ("--help",)):
        said = run(sys.executable, ground.ROOT / "build.py", *asked)
        assert said.returncode == 0
        for name, command in build.COMMANDS.items():
            assert re.search(rf"(?m)^  {name} +{re.escape(command.__doc__ or '?')}$", said.stdout), name
    assert {"serve", "test", "build", "check", "help"} <= set(build.COMMANDS)


def test_unknown_words_are_named() -> None:
    assert_one_line(
        run(sys.executable, ground.ROOT / "build.py", "srve"), "'srve'", "serve, build, test, check"
    )
    assert_one_line(run(sys.executable, ground.ROOT / "build.py", "build", "--fast"), "'--fast'", "help")


def test_old_python_is_told_so() -> None:
    source = (ground.ROOT / "build.py").read_text()
    before_the_check = source[: source.index("import argparse")]
    ast.parse(before_the_check, feature_version=(3, 7))
    ast.parse(source, feature_version=(3, 7))  # an old Python must get as far as the check
    pretend = (
        "import runpy, sys; sys.version_info = (3, 9, 2); sys.argv = ['build.py', 'build'];"
        f"runpy.run_path({str(ground.ROOT / 'build.py')!r}, run_name='__main__')"
    )
    assert_one_line(run(sys.executable, "-c", pretend), "Python 3.9 is too old", "3.11 or newer")


def test_missing_venv_module(tmp_path: Path) -> None:
    """A Python without it, as some distributions ship it: the module is missing, or the part it needs."""
    script = copy_to(tmp_path / "project")
    (tmp_path / "shadow").mkdir()
    (tmp_path / "shadow" / "venv.py").write_text("""raise ModuleNotFoundError("No module named 'venv'")""")
    done = run(outside_venv(), script, "build", PYTHONPATH=str(tmp_path / "shadow"))
    assert_one_line(done, "no venv module", "python3-venv")
    debian = "The virtual environment was not created successfully because ensurepip is not available."
    assert "python3-venv" in str(ground.remedy_for(debian))


def test_no_network(tmp_path: Path) -> None:
    """pip is sent to a port where nothing listens."""
    script = copy_to(tmp_path / "project")
    proxies = ("HTTP_PROXY", "HTTPS_PROXY", "http_proxy", "https_proxy")
    nowhere = dict.fromkeys((*proxies, "PIP_FIND_LINKS", "PIP_EXTRA_INDEX_URL"), "")
    done = run(
        outside_venv(), script, "build", **nowhere,
        PIP_CONFIG_FILE=os.devnull, PIP_INDEX_URL="http://127.0.0.1:9/", PIP_NO_CACHE_DIR="1",
    )  # fmt: skip
    assert_one_line(done, "no network")


@pytest.mark.parametrize("script", ["tests/browser/shots.py", "tests/authorities/evidence.py"])
def test_a_script_that_a_command_runs_finds_what_it_imports(script: str) -> None:
    look = "import runpy, sys; runpy.run_path(sys.argv[1], run_name='looked_at')"
    done = run(sys.executable, "-c", look, ground.ROOT / script)
    assert done.returncode == 0, done.stderr


def test_full_disk(tmp_path: Path, dist: Path) -> None:
    assert "the disk is full" in str(ground.remedy_for(str(OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)))))
    if Path("/dev/full").exists():  # Linux: a file that is always full
        (tmp_path / "index.html").symlink_to("/dev/full")
        assert_one_line(
            run(sys.executable, ground.ROOT / "build.py", "build", "--out", tmp_path), "the disk is full"
        )


def test_taken_port_moves_to_the_next(dist: Path) -> None:
    with socket.create_server(("", 0)) as taken:
        port = taken.getsockname()[1]
        with interruptible():
            server = subprocess.Popen(
                [sys.executable, ground.ROOT / "build.py", "serve", "--port", str(port)],
                stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            )  # fmt: skip
        try:
            assert server.stdout
            said = ""
            for line in server.stdout:
                said += line
                if found := re.search(r"http://localhost:(\d+)/", line):
                    break
            else:
                pytest.fail(said)
            assert f"port {port} is taken" in said
            assert int(found[1]) > port
            with urllib.request.urlopen(found[0]) as answer:
                assert b"Shortlever" in answer.read()
        finally:
            server.send_signal(signal.SIGINT)
            rest, _ = server.communicate(timeout=60)
    assert server.returncode == 0, rest
    assert "stopped" in rest
    assert "Traceback" not in rest
