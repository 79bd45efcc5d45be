"""What all parts of the build stand on: folders, errors a person can put right, hashes, quiet tools."""

import contextlib
import hashlib
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
WORK = ROOT / ".build"  # caches and logs; safe to delete
DIST = ROOT / "dist"
SITE = ROOT / "site_src"
CORE = ROOT / "core"


class Trouble(Exception):
    """Something a person can put right: the message says what and how."""


def digest(*parts: bytes | str | Path) -> str:
    """One hash over bytes, texts and files (a file counts with its path inside the project)."""
    total = hashlib.sha256()
    for part in parts:
        if isinstance(part, Path):
            total.update(part.relative_to(ROOT).as_posix().encode() + b"\0")
            part = part.read_bytes()
        data = part.encode() if isinstance(part, str) else part
        total.update(len(data).to_bytes(8, "big") + data)
    return total.hexdigest()


def digest_hex(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def folder_hash(files: dict[str, bytes]) -> str:
    return digest(*(part for name in sorted(files) for part in (name, files[name])))[:16]


def files_under(folder: Path, ending: str = "") -> list[Path]:
    found = (p for p in folder.rglob("*") if p.is_file() and p.name.endswith(ending))
    return sorted(p for p in found if "__pycache__" not in p.parts and not p.name.startswith("."))


def stamped(stamp: Path, key: str) -> bool:
    return stamp.is_file() and stamp.read_text() == key


@contextlib.contextmanager
def step(text: str) -> Iterator[None]:
    """A progress line for something long."""
    start = time.monotonic()
    sys.stdout.write(f"· {text} …\n")  # whole lines: another step may go on beside it
    sys.stdout.flush()
    yield
    sys.stdout.write(f"  {text}: done in {time.monotonic() - start:.0f} s\n")
    sys.stdout.flush()


@contextlib.contextmanager
def meanwhile(work: Callable[[], object]) -> Iterator[None]:
    """Do the work in a thread beside the block; its trouble comes when both are over."""
    with ThreadPoolExecutor(1) as pool:
        beside = pool.submit(work)
        yield
        beside.result()


REMEDIES = {
    r"No space left|ENOSPC": "the disk is full; free some space (1.5 GB is needed) and run this again",
    r"ensurepip is not available|No module named '?(venv|ensurepip)": (
        "this Python has no venv module; install it (on Debian: apt install python3-venv) and run this again"
    ),
    r"NewConnectionError|[Nn]ame ?[Rr]esolution|getaddrinfo|ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ETIMEDOUT"
    r"|Connection refused|ConnectTimeout|Read timed out|Network is unreachable|ProxyError": (
        "no network; the first run downloads what it needs, so connect and run this again"
    ),
    r"do not match the hashes|EINTEGRITY": (
        "a download differs from its pinned hash and was refused; try again, and report it if it stays so"
    ),
}


def remedy_for(output: str) -> str | None:
    return next((remedy for pattern, remedy in REMEDIES.items() if re.search(pattern, output)), None)


def run(what: str, *argv: str | Path, cwd: Path = ROOT, env: dict[str, str] | None = None) -> str:
    """Run a tool quietly; when it fails, say why in one line and where its own words are."""
    done = subprocess.run(
        [str(a) for a in argv], cwd=cwd, env={**os.environ, **(env or {})}, text=True, errors="replace",
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    if done.returncode == 0:
        return done.stdout
    log = WORK / "last-failure.txt"
    with contextlib.suppress(OSError):
        WORK.mkdir(exist_ok=True)
        log.write_text(done.stdout)
    last = next(
        (line.strip() for line in reversed(done.stdout.splitlines()) if line.strip()), "it said nothing"
    )
    raise Trouble(
        f"{what} failed: {remedy_for(done.stdout) or f'{last} (all of it: {log.relative_to(ROOT)})'}"
    )
