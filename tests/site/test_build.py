"""What build.py makes: complete, the same every time, and with nothing in it that does not belong there."""

import ast
import gzip
import hashlib
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
import urllib.error
import urllib.request
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import shortlever
from shortlever.lifts import PLACES
from shortlever.say import english
from site_src.make import assemble, ground, python, server, setup


def tracked_files() -> list[Path]:
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ground.ROOT, capture_output=True, check=True, text=True
    )
    return [path for name in listing.stdout.split("\0") if name and (path := ground.ROOT / name).is_file()]


def contents(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".gitignore"
    }


def kept_list(dist: Path) -> dict[str, Any]:
    line = re.search(r"^const BUILD = (\{.*\});$", (dist / "sw.js").read_text(), re.M)
    assert line
    return json.loads(line[1])


def opened(path: Path) -> io.BytesIO:
    return io.BytesIO(gzip.decompress(path.read_bytes()))


def run_build(*arguments: str, root: Path = ground.ROOT, **environment: str) -> str:
    done = subprocess.run(
        [sys.executable, root / "build.py", "build", *arguments],
        env={**os.environ, **environment}, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.parametrize(
    "kept",
    [["slim", "packed"], pytest.param([], marks=pytest.mark.slow)],
    ids=["", "slimmed and packed anew"],
)
def test_same_inputs_give_same_bytes(dist: Path, tmp_path: Path, kept: list[str]) -> None:
    """What is here, and all afresh from a copy elsewhere, in another time zone, language and hash seed."""
    copy = tmp_path / "a copy"
    copy.mkdir()
    for name in ("build.py", "core", "site_src"):
        source = ground.ROOT / name
        (shutil.copytree if source.is_dir() else shutil.copy)(source, copy / name)
    (copy / ".venv").symlink_to(ground.VENV)
    (copy / ".build").mkdir()
    for name in ("npm", "wheels", *kept):
        (copy / ".build" / name).symlink_to(ground.WORK / name)
    run_build(
        *([] if kept else ["--afresh"]), "--out", str(tmp_path / "two"), root=copy,
        PYTHONHASHSEED="2", TZ="Pacific/Auckland", LC_ALL="C", SOURCE_DATE_EPOCH="1700000000",
    )  # fmt: skip

    assert contents(dist) == contents(tmp_path / "two")


def test_second_run_has_nothing_to_do_and_touches_nothing(dist: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in dist.rglob("*") if path.is_file()}
    said = run_build()
    assert re.search(r"\b0 changed\b", said)
    assert "…" not in said  # no long step
    assert {path: path.stat().st_mtime_ns for path in dist.rglob("*") if path.is_file()} == before


def test_stale_files_go_and_foreign_ignore_file_stays(tmp_path: Path) -> None:
    out = tmp_path / "site"
    (out / "old" / "deep").mkdir(parents=True)
    (out / "old" / "deep" / "page.html").write_text("old")
    (out / ".gitignore").write_text("*")
    assert assemble.write_site({"a.txt": b"a", "sub/b.txt": b"b"}, out) == 3
    assert contents(out).keys() == {"a.txt", "sub/b.txt"}
    assert (out / ".gitignore").exists()
    assert not (out / "old").exists()
    assert assemble.write_site({"a.txt": b"a", "sub/b.txt": b"b"}, out) == 0


def test_modules_are_put_into_one_script(tmp_path: Path) -> None:
    texts = {
        "first.mjs": "import { two } from './second.mjs';\nimport { one } from './third.mjs';\n\nsay(two);\n",
        "second.mjs": "import { one } from './third.mjs';\n/** @type {0} */\nexport const two = one + one;\n",
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text)
    made = {"third.mjs": b"export const one = 1; // made\n"}
    assert assemble.in_one(tmp_path, "first.mjs", made).decode() == (
        "{\nconst one = 1; // made\nconst two = one + one;\n\nsay(two);\n}\n"
    )
    with pytest.raises(
        ground.Trouble, match=r"second\.mjs: the build cannot put this .*: export default two"
    ):
        (tmp_path / "second.mjs").write_text("export default two;\n")
        assemble.in_one(tmp_path, "first.mjs", made)
    with pytest.raises(
        ground.Trouble, match=r"first\.mjs imports itself by way of first\.mjs and second\.mjs"
    ):
        (tmp_path / "second.mjs").write_text("import { one } from './first.mjs';\n")
        assemble.in_one(tmp_path, "first.mjs", made)


def test_layout(dist: Path) -> None:
    names = set(contents(dist))
    assert {"index.html", "manifest.webmanifest", "sw.js", "worker/worker.mjs"} <= names
    (runtime,) = {name.split("/")[1] for name in names if name.startswith("runtime/")}
    assert {name.split("/", 2)[2] for name in names if name.startswith("runtime/")} == {
        "pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm.packed", "pyodide-lock.json",
        "python_stdlib.zip.packed",
    }  # fmt: skip
    lifts, core = sorted(name for name in names if name.startswith("core/"))
    assert re.fullmatch(r"core/[0-9a-f]{16}/shortlever\.zip\.packed", core)
    assert lifts == core.replace("shortlever.zip", "lifts.zip")
    (snapshot,) = {name for name in names if name.startswith("snapshot/")}
    assert re.fullmatch(r"snapshot/[0-9a-f]{16}/python\.snapshot\.packed", snapshot)
    files = (dist / "worker" / "worker.mjs").read_text()
    assert f'"../{snapshot.rpartition("/")[0]}/"' in files
    assert f'"../runtime/{runtime}/"' in files
    assert f'"../{core.rpartition("/")[0]}/"' in files


def test_python_is_compiled_and_trimmed(dist: Path) -> None:
    (library,) = (opened(path) for path in dist.glob("runtime/*/python_stdlib.zip.packed"))
    lifts, core = (opened(path) for path in sorted(dist.glob("core/*/*.zip.packed")))
    for archive in (library, core, lifts):
        with zipfile.ZipFile(archive) as packed:
            assert [info.filename for info in packed.infolist()] == sorted(packed.namelist())
            assert {info.date_time for info in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
            assert not [name for name in packed.namelist() if name.endswith(".py")]
    assert "shortlever/view/__init__.pyc" in zipfile.ZipFile(core).namelist()
    whole = len(zipfile.ZipFile(ground.WORK / "npm/node_modules/pyodide/python_stdlib.zip").namelist())
    names = set(zipfile.ZipFile(library).namelist())
    assert len(names) < whole / 2
    heavy = {
        "urllib/request.pyc",
        "http/client.pyc",
        "email/message.pyc",
        "xml/sax/saxutils.pyc",
        "html/entities.pyc",
    }
    assert not names & heavy, "one import of the core brought these to every phone"


def test_service_worker_lists_every_file_with_its_hash(dist: Path) -> None:
    wanted = {name: whole[:16] for name, whole in contents(dist).items() if name not in ("sw.js", "_headers")}
    assert kept_list(dist)["files"] == wanted
    assert len(assemble.without_notes((ground.SITE / "sw" / "sw.js").read_text()).splitlines()) <= 190


def test_page_asks_only_for_files_that_are_there(dist: Path) -> None:
    page = (dist / "index.html").read_text()
    links = re.findall(r'(?:src|href)="([^"#][^"]*)"', page)
    assert links
    for link in links:
        assert not re.match(r"[a-z]+:|/", link), f"{link} is not relative"
        assert (dist / link / "index.html" if link == "./" else dist / link).is_file(), link


def test_version_stands_in_one_place(dist: Path) -> None:
    package = json.loads((ground.SITE / "package.json").read_text())
    lock = json.loads((ground.SITE / "package-lock.json").read_text())
    wanted = package["dependencies"]["pyodide"]
    assert lock["packages"]["node_modules/pyodide"]["version"] == wanted
    fetched = ground.WORK / "npm/node_modules/pyodide/package.json"
    assert json.loads(fetched.read_text())["version"] == wanted
    (python_lock,) = dist.glob("runtime/*/pyodide-lock.json")
    assert json.loads(python_lock.read_text())["info"]["python"].startswith(setup.PYTHON_IN_PYODIDE + ".")
    (loader,) = dist.glob("runtime/*/pyodide.mjs")
    assert f'"{wanted}"' in loader.read_text()

    assert re.fullmatch(r"\d+\.\d+\.\d+", shortlever.__version__)
    assert shortlever.__version__ in (dist / "index.html").read_text()
    project = (ground.ROOT / "pyproject.toml").read_text()
    assert 'version = { attr = "shortlever.__version__" }' in project
    assert not re.search(r'(?m)^version = "', project)


def test_pins_hold_hashes_and_no_address() -> None:
    for path in setup.PINS.glob("requirements-*.txt"):
        text = path.read_text()
        assert "://" not in text, path.name
        assert not re.search(r"(?m)^\s*--(?!hash=)", text), path.name
        blocks = re.split(r"(?m)^(?=[a-z])", text)[1:]
        assert blocks and all("==" in block and "--hash=sha256:" in block for block in blocks), path.name
    lock = json.loads((ground.SITE / "package-lock.json").read_text())["packages"]
    assert all("resolved" not in entry for entry in lock.values())
    assert all(entry["integrity"].startswith("sha512-") for name, entry in lock.items() if name)


# any host that a package registry answers at, without naming one
REGISTRY = re.compile(
    rb"(?i)\b((registry|deb|files|test)\.[a-z]*(npm|py|debian)[a-z]*|(npm|pyp|pythonh)[a-z]+)\.(org|com|io)\b"
)


def test_the_pattern_finds_registries() -> None:
    for name in ("registry.anynpmhost", "npmhost", "files.pythonbox", "pypackages"):  # invented
        assert REGISTRY.search(f"{name}.org".encode()), name
    assert not REGISTRY.search(b"npm ci, pip install, docs at example.org")


def test_no_registry_and_no_path_of_this_machine(dist: Path) -> None:
    for path in (*tracked_files(), *(path for path in dist.rglob("*") if path.is_file())):
        data = path.read_bytes()
        machine = [f"{ground.ROOT}", f"{Path.home()}/"]
        if path.name.startswith("pyodide.asm.wasm"):  # names paths of the machine that it was published from
            machine.pop()
        if path.suffix == python.PACKED:  # the zips inside are only stored
            data = gzip.decompress(data)
        where = path.relative_to(ground.ROOT)
        found = REGISTRY.search(data)
        assert not found, f"{where} names a registry at byte {found and found.start()}"
        for text in machine:
            assert text.encode() not in data, f"{where} holds {text}"


def test_one_policy_for_pages_and_headers(dist: Path, serve: Callable[[Path], Any]) -> None:
    """Every page has it; a host that reads `_headers` says it too, and so does the server of the tests."""
    pages = list(dist.glob("*.html"))
    assert pages
    for page in pages:
        [told] = re.findall(
            r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">', page.read_text()
        )
        policy = told.replace("&#39;", "'")
        if "<script" in page.read_text():  # a page of text alone asks for less
            assert policy == server.POLICY, page.name
        assert "unsafe-inline" not in policy and "'unsafe-eval'" not in policy and "http" not in policy
    lines = (dist / "_headers").read_text().splitlines()
    assert lines[0] == "/*"
    headers = dict(line.strip().split(": ", 1) for line in lines[1:])
    assert headers["Content-Security-Policy"] == f"{server.POLICY}; frame-ancestors 'none'"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    for allowed in ("camera=(self)", "screen-wake-lock=(self)", "microphone=()"):
        assert allowed in headers["Permissions-Policy"].split(", ")
    site = serve(dist)
    for name in ("index.html", "worker/worker.mjs", "sw.js"):
        with urllib.request.urlopen(site.url + name) as answer:
            assert {key: answer.headers[key] for key in headers} == headers


def test_types_and_caching(dist: Path, serve: Callable[[Path], Any]) -> None:
    site = serve(dist)
    seen = set()
    for name in contents(dist).keys() - {"_headers"}:
        with urllib.request.urlopen(site.url + name) as answer:
            seen.add(Path(name).suffix)
            assert answer.headers["Content-Type"] == server.MIME[Path(name).suffix], name
            assert answer.headers["Cache-Control"] == "no-cache", name
            assert len(answer.read()) == (dist / name).stat().st_size
    assert {".html", ".mjs", ".js", ".css", ".packed", ".json", ".webmanifest", ".svg", ".png"} <= seen
    assert "worker/worker.mjs" in " ".join(site.requests)


def test_server_sees_a_change_within_one_second(tmp_path: Path, serve: Callable[[Path], Any]) -> None:
    file = tmp_path / "a.css"
    file.write_text("old")
    site = serve(tmp_path)
    with urllib.request.urlopen(site.url + "a.css") as answer:
        mark = answer.headers["ETag"]
    asked = urllib.request.Request(site.url + "a.css", headers={"If-None-Match": mark})
    with pytest.raises(urllib.error.HTTPError) as unchanged:
        urllib.request.urlopen(asked)
    assert unchanged.value.code == 304
    unchanged.value.close()
    file.write_text("new")
    with urllib.request.urlopen(asked) as answer:
        assert answer.read() == b"new"


def test_scripts_lose_their_notes_and_nothing_else() -> None:
    """Terser, which reads the whole language, prints both the same."""
    scripts = [path for part in ("page", "worker", "sw") for path in ground.files_under(ground.SITE / part)]
    texts = [path.read_text(encoding="utf-8") for path in scripts]
    plain = [assemble.without_notes(text) for text in texts]
    assert any(text != less for text, less in zip(texts, plain, strict=True))
    print_them = """
    import { minify } from 'terser';
    let text = '';
    for await (const part of process.stdin) text += part;
    const keep = { module: true, compress: false, mangle: false, format: { comments: false } };
    const printed = JSON.parse(text).map(async (script) => (await minify(script, keep)).code);
    process.stdout.write(JSON.stringify(await Promise.all(printed)));
    """
    done = subprocess.run(
        [setup.VENV / "bin" / "node", "--input-type=module", "--eval", print_them],
        cwd=setup.fetch_npm(), input=json.dumps(texts + plain), capture_output=True, text=True, check=True,
    )  # fmt: skip
    printed = json.loads(done.stdout)
    for path, whole, less in zip(scripts, printed[: len(texts)], printed[len(texts) :], strict=True):
        assert whole == less, path
    for path, less in zip(scripts, plain, strict=True):
        assert not re.search(r"/\*\*|^\s*//", less, re.MULTILINE), path


TAGS = {
    "button": "HTMLButtonElement",
    "canvas": "HTMLCanvasElement",
    "details": "HTMLDetailsElement",
    "dialog": "HTMLDialogElement",
    "form": "HTMLFormElement",
    "input": "HTMLInputElement",
    "progress": "HTMLProgressElement",
    "select": "HTMLSelectElement",
    "svg": "SVGElement",
    "template": "HTMLTemplateElement",
    "textarea": "HTMLTextAreaElement",
    "video": "HTMLVideoElement",
}


@pytest.mark.parametrize("screen", ["index", "sets", "lifters", "team", "film"])
def test_scripts_ask_for_elements_that_are_there_and_of_that_kind(dist: Path, screen: str) -> None:
    html = (dist / f"{screen}.html").read_text(encoding="utf-8")
    tags = {found[2]: found[1] for found in re.finditer(r'<([a-z0-9]+)\b[^>]*?\sid="([^"]+)"', html)}
    rooms = ["fit", "shared"] if screen == "index" else [screen]
    scripts = [script for room in rooms for script in (dist / "page" / room).glob("*.mjs")]
    asked = {
        (path.name, *found)
        for path in scripts
        for found in re.findall(r'\bbyId\("([\w-]+)"(?:, (\w+))?\)', path.read_text(encoding="utf-8"))
    }
    assert asked
    for name, wanted, kind in sorted(asked):
        assert wanted in tags, f"{name} asks for #{wanted}"
        made = TAGS.get(tags[wanted], "HTMLElement")
        assert kind == made or (not kind and made != "SVGElement"), f"{name}: #{wanted} is a {tags[wanted]}"


def test_shared_scripts_know_no_screen_and_no_screen_knows_another() -> None:
    page = ground.SITE / "page"
    rooms = {folder.name for folder in page.iterdir() if folder.is_dir()}
    assert not list(page.glob("*.mjs"))
    for script in page.rglob("*.mjs"):
        room = script.relative_to(page).parts[0]
        for other in re.findall(r'["\'](?:\.\./)+([a-z]+)/[^"\']*\.mjs["\']', script.read_text("utf-8")):
            assert other not in rooms or other in (room, "shared"), f"{script.name} of {room} imports {other}"


FIRST_VISIT = 6_450_000  # bytes, as gzip -9 sends them: 6.39 MB before squat and deadlift, and 60 kB


def test_a_first_visit_stays_small(dist: Path) -> None:
    """Who only presses: not what comes at the second start, with a lift that is asked for, or to be tried."""
    listed = kept_list(dist)["files"]
    sizes = {name: len(gzip.compress((dist / name).read_bytes(), 9)) for name in listed}
    later = {name.rpartition("/")[2] for name in sizes if ".zip" in name}
    assert later == {"lifts.zip.packed", "python_stdlib.zip.packed", "shortlever.zip.packed"}
    first = [size for name, size in sizes.items() if ".zip" not in name and not name.startswith("example/")]
    assert sum(first) <= FIRST_VISIT


def test_the_lifts_that_are_asked_for_are_all_in_their_zip(dist: Path) -> None:
    """Their modules and their texts, and nothing that is in the snapshot."""
    [packed] = dist.glob("core/*/lifts.zip.packed")
    with zipfile.ZipFile(opened(packed)) as archive:
        names = set(archive.namelist())
    lifts = {name.split("/")[2] for name in names if name.startswith("shortlever/lifts/")}
    assert {*PLACES} <= lifts <= {*PLACES, "legs"}
    texts = {f"shortlever/say/english/{name}.json" for name in english.SUBJECTS["asked"]}
    assert texts and {name for name in names if name.endswith(".json")} == texts
    assert not any(name.endswith("commands.pyc") for name in names)


ASKED_FOR = """
import json, sys
from shortlever import view
from shortlever.say import ENGLISH
asked = [name for name in sys.modules if name.startswith("shortlever.")]
text = view.answer(json.dumps(view.example_request()))
assert json.loads(text)["ok"]
assert asked == [name for name in sys.modules if name.startswith("shortlever.")]
print(json.dumps(asked))
"""


def test_a_lift_is_imported_when_it_is_asked_for() -> None:
    """A Python that only presses has no module of another lift."""
    run = [sys.executable, "-c", ASKED_FOR]
    done = subprocess.run(run, cwd=ground.CORE, capture_output=True, text=True, check=True)
    loaded = json.loads(done.stdout)
    packages = {name.split(".")[2] for name in loaded if name.startswith("shortlever.lifts.")}
    assert "bench" in packages and not packages & {*PLACES, "legs"}


ALL_DOORS = """
import json, sys
before = set(sys.modules)
sys.path.insert(0, ".")
from shortlever import view
for lift in view.LIFTS:
    for want in ("", "doubt", "feel", "link", "build"):
        view.answer(json.dumps(view.example_request(lift) | ({"want": want} if want else {})))
    view.answer(json.dumps(view.sets.example_request(lift)))
for want in ("team/example", "film/form", "lifters/preview", "wall/fit"):
    view.answer(json.dumps({"want": want}))
print(json.dumps(sorted(set(sys.modules) - before)))
"""


def test_the_core_needs_nothing_that_the_snapshot_leaves_empty() -> None:
    tree = ast.parse((ground.SITE / "runtime" / "warm_up.py").read_text())
    [emptied] = [
        ast.literal_eval(line.value)
        for line in tree.body
        if isinstance(line, ast.Assign) and ast.unparse(line.targets[0]) == "UNUSED"
    ]
    run = [sys.executable, "-S", "-I", "-c", ALL_DOORS]
    done = subprocess.run(run, cwd=ground.CORE, capture_output=True, text=True, check=True)
    loaded = [name for name in json.loads(done.stdout) if name.startswith(emptied)]
    assert loaded == ["ipaddress"], "imported by urllib.parse, which uses it for hosts in brackets only"


def test_every_small_fault_can_still_be_put_in() -> None:
    faults = tomllib.loads((ground.ROOT / "tests" / "faults" / "faults.toml").read_text(encoding="utf-8"))[
        "fault"
    ]
    assert len(faults) > 50
    gone = [
        fault["what"]
        for fault in faults
        if (ground.ROOT / fault["file"]).read_text(encoding="utf-8").count(fault["old"]) != 1
    ]
    assert gone == []
