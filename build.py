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
import errno
import functools
import hashlib
import http.server
import json
import os
import re
import shutil
import socket
import subprocess
import tempfile
import time
import tomllib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
WORK = ROOT / ".build"  # caches and logs; safe to delete
DIST = ROOT / "dist"
SITE = ROOT / "site_src"
CORE = ROOT / "core"
PYTHON_IN_PYODIDE = "3.14"
PACKED = ".packed"  # gzip inside, under a name that no server takes for a compressed text
PACKING = 12  # libdeflate's strongest level
STATIC = {
    "styles": ".css",
    "page": ".mjs",
    "icons": "",
    "worker": ".mjs",
}  # copied as they are: folder, ending
MIME = {
    ".css": "text/css",
    ".html": "text/html; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript",
    ".js": "text/javascript",
    ".packed": "application/octet-stream",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
}
POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "worker-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
    )
)  # the pages' own; as a header it binds workers too
HEADERS = {
    "Content-Security-Policy": f"{POLICY}; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "camera=(self), screen-wake-lock=(self), microphone=(), geolocation=(), "
    "display-capture=(), payment=(), usb=(), midi=(), gyroscope=(), accelerometer=(), magnetometer=()",
}


class Trouble(Exception):
    """Something a person can put right: the message says what and how."""


# ---- small tools -----------------------------------------------------------------------------------------


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


def files_under(folder: Path, ending: str = "") -> list[Path]:
    found = (p for p in folder.rglob("*") if p.is_file() and p.name.endswith(ending))
    return sorted(p for p in found if "__pycache__" not in p.parts and not p.name.startswith("."))


def stamped(stamp: Path, key: str) -> bool:
    return stamp.is_file() and stamp.read_text() == key


@contextlib.contextmanager
def step(text: str) -> Iterator[None]:
    """A progress line for something long."""
    start = time.monotonic()
    print(f"· {text} …", flush=True)
    yield
    print(f"  done in {time.monotonic() - start:.0f} s", flush=True)


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


# ---- set-up ----------------------------------------------------------------------------------------------


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
    pins, stamp = ROOT / f"requirements-{name}.txt", VENV / f"pins-{name}"
    if not stamped(stamp, digest(pins)):
        with step(text):
            run(text, sys.executable, "-m", "pip", "install", "--quiet", "--no-input", "--retries", "2",
                "--require-hashes", "-r", pins)  # fmt: skip
        stamp.write_text(digest(pins))


def fetch_compile_wheels() -> Path:
    """pyodide-build and what its compile step imports: not installed, for they run inside Pyodide."""
    pins, folder = ROOT / "requirements-compile.txt", WORK / "wheels"
    stamp = folder / "pins"
    if not stamped(stamp, digest(pins)):
        shutil.rmtree(folder, ignore_errors=True)
        with step("fetching pyodide-build"):
            run("fetching pyodide-build", sys.executable, "-m", "pip", "download", "--quiet", "--no-input",
                "--retries", "2", "--no-deps", "--require-hashes", "--only-binary=:all:",
                "--python-version", PYTHON_IN_PYODIDE, "-d", folder, "-r", pins)  # fmt: skip
        stamp.write_text(digest(pins))
    return folder


def fetch_npm() -> Path:
    """The npm packages (Pyodide, what slims it, modules of the page), by the lock file; their folder."""
    folder = WORK / "npm"
    wanted = [SITE / "package.json", SITE / "package-lock.json", SITE / ".npmrc"]
    stamp, key = folder / "pins", digest(*wanted)
    if not stamped(stamp, key):
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        for path in wanted:
            shutil.copy(path, folder)
        with step("fetching Pyodide and what makes it smaller (30 MB)"):
            programs = f"{VENV / 'bin'}{os.pathsep}{os.environ['PATH']}"
            options = ("--ignore-scripts", "--no-audit", "--no-fund", "--fetch-retries=1")
            run("fetching Pyodide", VENV / "bin" / "npm", "ci", *options, cwd=folder, env={"PATH": programs})
        stamp.write_text(key)
    return folder / "node_modules"


def node(*argv: str | Path, what: str) -> str:
    return run(what, VENV / "bin" / "node", *argv)


def set_up_build() -> None:
    enter_venv()
    WORK.mkdir(exist_ok=True)
    install("build", "installing what the build needs (60 MB)")


def set_up_tests() -> None:
    set_up_build()
    install("test", "installing what the tests need (200 MB)")


LIGHT = "chromium-headless-shell"  # one without windows: a test in it takes three fifths of the time


def find_chromium(
    names: Iterable[str] = (LIGHT, "chromium", "chromium-browser", "google-chrome"),
) -> str | None:
    """A Chromium on this machine that starts: the system's own first, then Playwright's."""
    apps = [f"/Applications/{app}.app/Contents/MacOS/{app}" for app in ("Google Chrome", "Chromium")]
    ask = (
        "from playwright.sync_api import *\nwith sync_playwright() as it: print(it.chromium.executable_path)"
    )

    def starts(place: str | None) -> bool:
        if not place or not Path(place).exists():
            return False
        return subprocess.run([place, "--version"], capture_output=True).returncode == 0

    found = next(filter(starts, [*map(shutil.which, names), *apps]), None)
    if not found:
        own = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True).stdout.strip()
        found = own if starts(own) else None
    return found


def ensure_chromium() -> str:
    fetch = [sys.executable, "-m", "playwright", "install", "chromium"]
    ways = {"fetching a Chromium for the tests": [fetch]}
    found = find_chromium()
    if shutil.which("apt-get") and os.geteuid() == 0:
        found = find_chromium([LIGHT])
        get = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", LIGHT]
        ways = {"installing the distribution's Chromium": [["apt-get", "update", "-qq"], get]} | ways
    for text, commands in ways.items():
        if found:
            break
        try:
            with step(text):
                for command in commands:
                    run(text, *command, env={"DEBIAN_FRONTEND": "noninteractive"})
        except Trouble as trouble:
            print(f"  {trouble}", flush=True)
        found = find_chromium()
    if not found:
        raise Trouble(
            "the tests need a Chromium and none could be had; install chromium, then run this again"
        )
    return found


ENGINES = {"firefox-esr": "firefox-esr", "WebKitWebDriver": "webkit2gtk-driver", "Xvfb": "xvfb"}


def set_up_engines() -> None:
    """Firefox and WebKitGTK where a package manager can be used; the tests say which is missing."""
    install("engines", "installing what drives the other engines (10 MB)")
    missing = [package for program, package in ENGINES.items() if not shutil.which(program)]
    if missing and shutil.which("apt-get") and os.geteuid() == 0:
        text = f"installing {', '.join(missing)}"
        with contextlib.suppress(Trouble), step(text):
            for options in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends", *missing]):
                run(text, "apt-get", *options, env={"DEBIAN_FRONTEND": "noninteractive"})


# ---- build -----------------------------------------------------------------------------------------------


def slim_pyodide(slim: Path) -> Path:
    """Pyodide without what only packages in native code need; kept till a pin changes."""
    modules, runtime = fetch_npm(), SITE / "runtime"
    key = digest(SITE / "package-lock.json", runtime / "slim.mjs", runtime / "snapshot.mjs")
    if not stamped(slim / "key", key):
        shutil.rmtree(slim, ignore_errors=True)
        with step("leaving out of Pyodide what nothing here calls"):
            node(runtime / "slim.mjs", modules, slim, what="slimming Pyodide")
        (slim / "key").write_text(key)
    return slim


def packed(stage: Path, kept: Path) -> None:
    """Gzip the large files as far as it goes, once for each content; the worker opens them itself."""
    import deflate

    large = {"runtime": ("pyodide.asm.wasm", "python_stdlib.zip"), "core": ("shortlever.zip",),
             "snapshot": ("python.snapshot",)}  # fmt: skip
    for part, names in large.items():
        for name in names:
            path = stage / part / name
            data = path.read_bytes()
            done = kept / digest_hex(data)
            if not done.is_file():
                kept.mkdir(exist_ok=True)
                done.write_bytes(bytes(deflate.gzip_compress(data, PACKING)))
            path.unlink()
            shutil.copyfile(done, path.with_name(name + PACKED))


def stage_python(stage: Path) -> dict[str, Path]:
    """Pyodide with a trimmed and compiled library, the compiled core, and a snapshot of both awake.

    Kept till an input changes.
    """
    wheels, pyodide = fetch_compile_wheels(), fetch_npm() / "pyodide"
    slim = slim_pyodide(stage.parent / "slim")
    inputs = [*files_under(CORE / "shortlever"), *files_under(SITE / "runtime"), SITE / "package-lock.json",
              ROOT / "requirements-compile.txt"]  # fmt: skip
    key = digest(*inputs)
    if not stamped(stage / "key", key):
        shutil.rmtree(stage, ignore_errors=True)
        (stage / "runtime").mkdir(parents=True)
        (stage / "core").mkdir()
        with step("compiling the core and the standard library inside Pyodide"):
            node(
                SITE / "runtime" / "stage.mjs", pyodide, slim, CORE, wheels, stage,
                what="compiling for the browser",
            )  # fmt: skip
        with step("taking the snapshot of a warm Python"):
            node(SITE / "runtime" / "snapshot.mjs", stage, what="taking the snapshot")
            packed(stage, stage.parent / "packed")
        (stage / "key").write_text(key)
    return {name: stage / name for name in ("runtime", "core", "snapshot")}


def folder_hash(files: dict[str, bytes]) -> str:
    return digest(*(part for name in sorted(files) for part in (name, files[name])))[:16]


def python_files(stage: Path) -> dict[str, bytes]:
    """runtime/HASH, core/HASH and snapshot/HASH, with worker/files.mjs that tells the worker of them.

    The snapshot is one unit with the runtime and the core: its hash counts them too.
    """
    out: dict[str, bytes] = {}
    listed: dict[str, object] = {}
    for part, folder in stage_python(stage).items():
        files = {p.name: p.read_bytes() for p in files_under(folder)}
        base = f"{part}/{folder_hash(out | files if part == 'snapshot' else files)}/"
        out |= {base + name: data for name, data in files.items()}
        listed[part] = {
            "base": f"../{base}",
            "files": {
                name: {"bytes": len(data), "sha256": digest_hex(data)} for name, data in sorted(files.items())
            },
        }
    lines = [f"export const {name} = {json.dumps(value, indent=2)};" for name, value in listed.items()]
    out["worker/files.mjs"] = (
        "// Made by build.py: what the worker fetches.\n" + "\n".join(lines) + "\n"
    ).encode()
    return out


NPM_MODULES = {
    "page/qr.mjs": ("lean-qr", "index.mjs"),
    "page/idb.mjs": ("idb", "build/index.js"),
    "page/film/mediabunny.mjs": ("mediabunny", "dist/bundles/mediabunny.min.mjs"),
}


def npm_module(package: str, file: str) -> bytes:
    """A package that is one module, its licence in front."""
    folder = fetch_npm() / package
    licence, code = ((folder / name).read_text() for name in ("LICENSE", file))
    return f"/* {package}\n\n{licence.strip()}\n*/\n{code}".encode()


def digest_hex(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def words_of(page: str, words: dict[str, Any]) -> dict[str, dict[str, str]]:
    """`page`: the texts of one page and those all share; `say`: what the scripts of any page say."""
    own = words.get("fit" if page == "index" else page, {})
    said: dict[str, str] = {}
    for name, part in words.items():
        twice = said.keys() & part.get("say", {})
        if twice:
            raise Trouble(f"words/{name}.toml says {sorted(twice)} once more; give it another key")
        said |= part.get("say", {})
    return {"page": words["common"]["page"] | own.get("page", {}), "say": said}


def render_pages(build_id: str) -> dict[str, bytes]:
    """Every site_src/pages/*.j2 (a name that starts with _ is only for including)."""
    import jinja2

    sys.path.insert(0, str(CORE))
    import shortlever
    from shortlever import view
    from site_src.docs import make as docs

    request = view.example_request()
    example, doubt = (json.loads(view.answer(json.dumps(request | ask))) for ask in ({}, {"want": "doubt"}))
    for response in (example, doubt):
        if not response["ok"]:
            raise Trouble(
                f"the example lifter gets no result; mend the core: {response['errors'][0]['message']}"
            )
    words = {p.stem: tomllib.loads(p.read_text("utf-8")) for p in files_under(SITE / "pages" / "words")}
    names = [p.name for p in files_under(SITE / "pages", ".j2") if not p.name.startswith("_")]
    addresses = {"./", *(name.removesuffix(".j2") for name in names)}
    context = {
        "version": shortlever.__version__,
        "form": view.form(),
        "choices": view.choices(),
        "cautions": view.CAUTIONS,
        "screens": [screen for screen in words["common"]["screens"] if screen["address"] in addresses],
        "example_request": request,
        "example": example,
        "example_doubt": doubt,
        "example_sets": json.loads(view.answer(json.dumps(view.sets.example_request()))),
        "film_fields": json.loads(view.answer('{"want": "film/form"}'))["fields"],
        "build_id": build_id,
        "evidence": json.loads((SITE / "docs" / "evidence.json").read_text(encoding="utf-8")),
        **docs.context(),
    }
    pages = jinja2.Environment(
        loader=jinja2.FileSystemLoader(SITE / "pages"), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    pages.globals["policy"] = POLICY
    try:
        return {
            name.removesuffix(".j2"): pages.get_template(name)
            .render(context, words=words_of(name.split(".")[0], words))
            .encode()
            for name in names
        }
    except jinja2.TemplateError as error:
        raise Trouble(f"a page in site_src/pages cannot be laid out; mend it: {error}") from error


def site_files(stage: Path) -> dict[str, bytes]:
    """The whole site as path → bytes."""
    out = python_files(stage)
    for folder, ending in STATIC.items():
        for path in files_under(SITE / folder, ending):
            out[path.relative_to(SITE).as_posix()] = path.read_bytes()
    out |= {path: npm_module(*where) for path, where in NPM_MODULES.items()}
    worker = SITE / "sw" / "sw.js"
    told = [*files_under(SITE / "pages"), SITE / "docs" / "evidence.json"]
    told += [*files_under(SITE / "docs", ".md"), *files_under(SITE / "docs", ".py")]
    made_by = [*told, worker, *files_under(CORE / "shortlever")]
    build_id = digest(folder_hash(out), POLICY, *made_by)[:16]
    out |= render_pages(build_id)
    kept = {name: digest_hex(data)[:16] for name, data in sorted(out.items())}
    text, times = re.subn(
        r"(?m)^const BUILD = .*; // filled in by build\.py$",
        f"const BUILD = {json.dumps({'id': build_id, 'files': kept})};",
        worker.read_text(),
    )
    if times != 1:
        raise Trouble(
            "site_src/sw/sw.js has lost its line 'const BUILD = …; // filled in by build.py'; put it back"
        )
    out["sw.js"] = text.encode()
    lines = ["/*", *(f"  {name}: {value}" for name, value in HEADERS.items())]
    out["_headers"] = ("\n".join(lines) + "\n").encode()  # for hosts that read it; no page asks for it
    return out


def write_site(files: dict[str, bytes], out: Path) -> int:
    """Make the folder hold exactly these files; what is the same already stays untouched."""
    changed = 0
    for name, data in files.items():
        path = out / name
        if not path.is_file() or path.read_bytes() != data:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            changed += 1
    for path in sorted(out.rglob("*"), reverse=True):
        if path.is_dir():
            with contextlib.suppress(OSError):
                path.rmdir()  # goes only when empty
        elif path.relative_to(out).as_posix() not in files and path != out / ".gitignore":
            path.unlink()
            changed += 1
    return changed


def build_site(out: Path = DIST, stage: Path = WORK / "stage") -> None:
    files = site_files(stage)
    changed = write_site(files, out)
    size = sum(map(len, files.values()))
    print(
        f"· built {len(files)} files, {size / 1e6:.1f} MB, {changed} changed → {os.path.relpath(out)}/",
        flush=True,
    )


# ---- serve -----------------------------------------------------------------------------------------------


class Handler(http.server.SimpleHTTPRequestHandler):
    """Static files with the right types and what `_headers` says for all of them, as such hosts do.

    The browser asks again each time whether a file has changed.
    """

    extensions_map = http.server.SimpleHTTPRequestHandler.extensions_map | MIME

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")
        mark = self.mark()
        if mark:
            self.send_header("ETag", mark)
        for name, value in self.told():
            self.send_header(name, value)
        super().end_headers()

    def told(self) -> list[tuple[str, str]]:
        path = Path(self.directory) / "_headers"
        lines = path.read_text().splitlines()[1:] if path.is_file() else []
        return [(name.strip(), value) for name, _, value in (line.partition(": ") for line in lines)]

    def mark(self) -> str:
        """What changes with the file, also within one second."""
        path = Path(self.translate_path(self.path))
        path = path / "index.html" if path.is_dir() else path
        if not path.is_file():
            return ""
        facts = path.stat()
        return f'"{facts.st_mtime_ns:x}-{facts.st_size:x}"'

    def send_head(self) -> Any:
        mark = self.mark()
        if not mark or self.headers["If-None-Match"] != mark:
            return super().send_head()
        self.send_response(304)
        self.end_headers()
        return None

    def list_directory(self, path: object) -> None:
        self.send_error(404, "Not found")

    def log_message(self, *_: object) -> None:
        pass


class Server(http.server.ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        if not isinstance(sys.exc_info()[1], ConnectionError):  # a browser may hang up in the middle
            super().handle_error(request, client_address)


def make_server(folder: Path, port: int, host: str = "", handler: type[Handler] = Handler) -> Server:
    """A server of the folder at the port, or at the first free one of the twenty after it (0: any)."""
    for candidate in range(port, port + 20):
        try:
            return Server((host, candidate), functools.partial(handler, directory=str(folder)))
        except OSError as error:
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            print(f"· port {candidate} is taken, trying {candidate + 1}", flush=True)
    raise Trouble(
        f"ports {port} to {port + 19} are taken; choose another: python3 build.py serve --port 9000"
    )


def lan_address() -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, contextlib.suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # a documentation address: only asks which way out; nothing is sent
        return str(probe.getsockname()[0])
    return None


# ---- commands --------------------------------------------------------------------------------------------


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
    """check style and types: ruff everywhere, mypy --strict on the core"""
    set_up_tests()
    checks = (["ruff", "check", "--quiet", "--output-format=concise", "."], ["mypy", "--strict"])
    return max(subprocess.run([sys.executable, "-m", *check], cwd=ROOT).returncode for check in checks)


def command_test(options: argparse.Namespace, extra: list[str]) -> int:
    """check, then run every test; more arguments go to pytest"""
    failed = command_check(options, [])
    ensure_chromium()
    if "engines" in extra:
        set_up_engines()
    build_site()
    if failed:
        print("· the checks above failed; the tests run all the same", flush=True)
    side_by_side = ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]  # pays for the whole only
    how = extra or side_by_side
    return subprocess.run([sys.executable, "-m", "pytest", *how], cwd=ROOT).returncode or failed


def command_evidence(_options: argparse.Namespace, extra: list[str]) -> int:
    """print published values beside the model's own"""
    set_up_tests()
    script = ROOT / "tests" / "authorities" / "evidence.py"
    return subprocess.run([sys.executable, script, *extra], cwd=ROOT).returncode


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
    if extra and options.command not in ("test", "evidence", "shots"):
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
