"""The worker by itself: its states, its first cause of failure, and that the newest question wins."""

from __future__ import annotations

import gzip
import io
import json
import re
import shutil
import tomllib
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import view
from site_src.make import ground
from tests.browser.screen import answered, poll

if TYPE_CHECKING:
    from playwright.sync_api import Page, Request

ANSWER_TO = """([questions, enough]) => new Promise((resolve) => {
  globalThis.said = [];
  globalThis.worker = new Worker('worker/worker.mjs', { type: 'module' });
  worker.onmessage = ({ data }) => {
    said.push(data);
    if (data.state === 'ready') for (const question of questions) worker.postMessage(question);
    if (data.state === 'failed') resolve(said);
    if (data.id === enough) resolve(said);
  };
})"""


ASK = """(question) => new Promise((resolve) => {
  worker.onmessage = ({ data }) => { if (data.id === question.id) resolve(data.response); };
  worker.postMessage(question);
})"""


def talk(page: Page, *questions: dict[str, Any], until: str = "answered") -> list[dict[str, Any]]:
    """All that the worker says, up to that; and after it has failed, until nothing is under way any more."""
    last = questions[-1]["id"] if questions and until == "answered" else 0
    under_way: set[Request] = set()
    page.on("request", lambda request: under_way.add(request))
    for end in ("requestfinished", "requestfailed"):
        page.on(end, lambda request: under_way.discard(request))
    said = page.evaluate(ANSWER_TO, [list(questions), last])
    if said[-1].get("state") != "failed":
        return said
    poll(lambda: page.evaluate("0") or under_way, lambda now: not now)
    page.workers[-1].evaluate("new Promise((done) => setTimeout(done))")  # it has heard of their ends too
    return page.evaluate("said")


@pytest.fixture
def bare(dist: Path, tmp_path: Path, serve: Callable[[Path], Any]) -> Any:
    """A copy of the site that a test may damage, with a page that does nothing by itself."""
    shutil.copytree(dist, tmp_path / "site")
    (tmp_path / "site" / "bare.html").write_text(
        '<!doctype html><link rel="icon" href="icons/icon.svg"><title>bare</title>'
    )
    return serve(tmp_path / "site")


def read(answer: str) -> Any:
    """An answer to compare: every word and every drawn line the same, numbers to 9 decimals.

    The C libraries of the two Pythons differ in the last bit of some sines.
    """
    read = json.loads(answer, parse_float=lambda number: round(float(number), 9))
    read.get("report", {}).pop("where", None)  # only CPython knows the lines
    return read


def one(site: Any, pattern: str) -> Path:
    (path,) = site.folder.glob(pattern)
    return path


def ready(said: list[dict[str, Any]]) -> dict[str, Any]:
    (message,) = (message for message in said if message.get("state") == "ready")
    return message


SNAPSHOT = "snapshot/*/python.snapshot.packed"


def missing(path: Path) -> None:
    path.unlink()


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def another_kind(path: Path) -> None:
    path.write_bytes(b"<!doctype html><title>Please log in</title>".ljust(path.stat().st_size))


def scrambled(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[64:4096] = bytes(reversed(data[64:4096]))
    path.write_bytes(data)


def replace_packed(path: Path, inside: bytes) -> None:
    path.write_bytes(gzip.compress(inside, mtime=0))
    files = path.parents[2] / "worker" / "worker.mjs"
    told = re.sub(rf'("{path.name}": {{\s*"bytes": )\d+', rf"\g<1>{path.stat().st_size}", files.read_text())
    files.write_text(told)


def repacked(change: Callable[[bytearray], None]) -> Callable[[Path], None]:
    """Damage that changes what is inside; the file stays well packed, and the site knows its new size."""

    def damage(path: Path) -> None:
        inside = bytearray(gzip.decompress(path.read_bytes()))
        change(inside)
        replace_packed(path, inside)

    damage.__name__ = change.__name__
    return damage


def of_another_build(inside: bytearray) -> None:
    """Pyodide writes its build's number behind the first 16 bytes of a snapshot."""
    start = 4 + int.from_bytes(inside[:4], "little")
    inside[start + 16 : start + 48] = bytes(32)


def no_memory(inside: bytearray) -> None:
    """The memory of Python itself is all zeros."""
    start = 4 + int.from_bytes(inside[:4], "little") + 100_000
    inside[start:] = bytes(len(inside) - start)


def question(number: int, **fields: str) -> dict[str, Any]:
    return {"id": number, "request": json.dumps({"unit": "cm", "fields": fields})}


def test_states_and_bytes(page: Page, bare: Any) -> None:
    page.goto(bare.url + "bare.html")
    said = talk(page, question(1, arm_length="60", shoulder_breadth="40"))
    states = [message["state"] for message in said if "state" in message]
    assert [state for state in states if state != "fetching"] == ["waking", "ready"]
    fetching = [message for message in said if message.get("state") == "fetching"]
    assert [message["done"] for message in fetching] == sorted(message["done"] for message in fetching)
    files = [
        file for part in ("runtime", "snapshot") for file in bare.folder.glob(f"{part}/*/*")
        if ".zip" not in file.name
    ]  # fmt: skip
    assert fetching[-1]["done"] == fetching[-1]["total"] == sum(path.stat().st_size for path in files)
    assert said[-2]["milliseconds"] > 0
    assert (said[-2]["boot"], said[-2]["note"]) == ("snapshot", None)
    assert not [path for path in bare.requests if ".zip" in path], "only the plain boot needs them"


def test_the_snapshot_wakes_where_calls_go_another_way(open_page: Callable[..., Page], bare: Any) -> None:
    """On such a phone Pyodide calls functions through JavaScript, not as where the snapshot was made."""
    page = open_page(user_agent="Mozilla/5.0 (iPhone; CPU iPhone OS 19_0 like Mac OS X)")
    page.goto(bare.url + "bare.html")
    asked = question(1, arm_length="60", shoulder_breadth="40")
    said = talk(page, asked)
    assert (ready(said)["boot"], ready(said)["note"]) == ("snapshot", None)
    assert read(said[-1]["response"]) == read(answered(asked["request"]))


@pytest.mark.parametrize("boot", ["snapshot", "plain"])
def test_answers_are_those_of_cpython(page: Page, bare: Any, boot: str) -> None:
    """The compiled core on the trimmed standard library, in both boots, against the same sources here."""
    if boot == "plain":
        page.allow_console_errors = True  # the browser itself logs the missing file
        missing(one(bare, SNAPSHOT))
    page.goto(bare.url + "bare.html")
    requests = [
        json.dumps(view.example_request()),
        *(
            question(0, arm_length=a, shoulder_breadth=b)["request"]
            for a, b in (("48", "31"), ("58.5", "37,5"), ("75", "48"))
        ),
        json.dumps(
            {
                "unit": "in",
                "fields": {"arm_length": "24 1/2", "shoulder_breadth": "15.5", "current_grip": "30"},
            }
        ),
        json.dumps({"unit": "cm", "fields": {"arm_length": "6.1", "shoulder_breadth": "wide"}}),
        json.dumps({"unit": "furlong", "fields": {"arm_length": "∞" * 5000}}),
        "not JSON",
        "[]",
    ]
    woken = ready(talk(page, question(1, arm_length="60", shoulder_breadth="40")))
    assert woken["boot"] == boot and bool(woken["note"]) == (boot == "plain")
    for number, request in enumerate(requests, 2):
        said = page.evaluate(ASK, {"id": number, "request": request})
        assert read(said) == read(answered(request)), request[:200]
    strange = json.loads(page.evaluate(ASK, {"id": len(requests) + 2, "request": None}))
    assert strange["ok"] is False and strange["errors"] and "Traceback" not in json.dumps(strange)


def test_newest_question_wins(page: Page, bare: Any) -> None:
    page.goto(bare.url + "bare.html")
    said = talk(page, *(question(n, arm_length=str(55 + n), shoulder_breadth="40") for n in range(1, 9)))
    ids = [message["id"] for message in said if "id" in message]
    assert ids[-1] == 8
    assert len(ids) < 8
    last = question(8, arm_length="63", shoulder_breadth="40")
    assert read(said[-1]["response"]) == read(answered(last["request"]))


DEADLY = """
import json
def example_request(): return {}
def answer(request):
    return json.dumps({"ok": json.loads("[" * 1_000_000 if "die" in request else "1")})
"""


def test_death_of_python_is_told(page: Page, bare: Any) -> None:
    """A core that overflows the stack, which Pyodide does not outlive: an answer still, then failed."""
    page.allow_console_errors = True
    missing(one(bare, SNAPSHOT))
    core = io.BytesIO()
    with zipfile.ZipFile(core, "w") as archive:
        archive.writestr("shortlever/__init__.py", "")
        archive.writestr("shortlever/view.py", DEADLY)
    replace_packed(one(bare, "core/*/shortlever.zip.packed"), core.getvalue())
    page.goto(bare.url + "bare.html")
    said = talk(page, {"id": 1, "request": "die"}, until="failed")
    assert [message.get("state") for message in said][-3:] == ["ready", None, "failed"]
    failure = said[-2]["failure"]
    assert (said[-2]["id"], failure["code"]) == (1, "internal")
    assert said[-1]["cause"]["code"] == "stopped"
    assert said[-1]["cause"]["report"] == failure["report"]
    assert failure["report"]["kind"]


@pytest.mark.parametrize(
    ("pattern", "damage", "code", "told"),
    [
        ("runtime/*/pyodide.asm.wasm.packed", missing, "missing_file", "not_there"),
        ("runtime/*/pyodide.asm.wasm.packed", cut, "damaged_file", "cut"),
        ("runtime/*/pyodide.asm.wasm.packed", another_kind, "damaged_file", "other_kind"),
        ("runtime/*/pyodide.asm.wasm.packed", scrambled, "start_failed", "start_failed"),
        ("runtime/*/pyodide-lock.json", missing, "missing_file", "not_there"),
        ("runtime/*/pyodide.asm.mjs", missing, "missing_file", "not_loaded"),
        ("runtime/*/pyodide.asm.mjs", cut, "missing_file", "not_loaded"),
        ("runtime/*/pyodide.mjs", missing, "missing_file", "not_loaded"),
        ("runtime/*/pyodide.mjs", cut, "missing_file", "not_loaded"),
    ],
)
def test_first_cause_is_told_once(
    page: Page, bare: Any, pattern: str, damage: Callable[[Path], None], code: str, told: str
) -> None:
    page.allow_console_errors = True  # the browser itself logs the missing file
    damage(one(bare, pattern))
    page.goto(bare.url + "bare.html")
    said = talk(page)
    cause = said[-1]["cause"]
    assert cause["said"] == told
    assert told == "start_failed" or cause["parts"][0] == Path(pattern).name
    assert_explained(said, code)


@pytest.mark.parametrize(
    ("pattern", "damage", "code"),
    [
        ("runtime/*/python_stdlib.zip.packed", missing, "missing_file"),
        ("runtime/*/python_stdlib.zip.packed", cut, "damaged_file"),
        ("runtime/*/python_stdlib.zip.packed", another_kind, "damaged_file"),
        ("core/*/shortlever.zip.packed", missing, "missing_file"),
        ("core/*/shortlever.zip.packed", cut, "damaged_file"),
        ("core/*/shortlever.zip.packed", scrambled, "start_failed"),
    ],
)
def test_plain_boot_fails_with_its_first_cause(
    page: Page, bare: Any, pattern: str, damage: Callable[[Path], None], code: str
) -> None:
    """Two damages: the snapshot is gone, and so is what would have done instead."""
    page.allow_console_errors = True
    missing(one(bare, SNAPSHOT))
    damage(one(bare, pattern))
    page.goto(bare.url + "bare.html")
    assert_explained(talk(page), code)


@pytest.mark.parametrize(
    "damage",
    [cut, scrambled, repacked(of_another_build), repacked(no_memory)],
)
def test_a_bad_snapshot_is_noted_and_the_plain_boot_answers(
    page: Page, bare: Any, damage: Callable[[Path], None]
) -> None:
    page.allow_console_errors = True
    damage(one(bare, SNAPSHOT))
    page.goto(bare.url + "bare.html")
    asked = question(1, arm_length="60", shoulder_breadth="40")
    said = talk(page, asked)
    assert "failed" not in [message.get("state") for message in said]
    assert ready(said)["boot"] == "plain"
    assert ready(said)["note"]
    assert "\n" not in ready(said)["note"]
    assert read(said[-1]["response"]) == read(answered(asked["request"]))


def assert_explained(said: list[dict[str, Any]], code: str) -> None:
    assert [message["state"] for message in said].count("failed") == 1
    cause = said[-1]["cause"]
    assert cause["code"] == code
    words = tomllib.loads((ground.SITE / "pages" / "words" / "common.toml").read_text("utf-8"))["say"]
    assert words[f"worker_{code}_remedy"] and words[f"worker_{cause['said']}"].count("{}") == len(
        cause["parts"]
    )
    report = cause["report"]
    for text in (*cause["parts"], report["kind"], *report["where"]):
        assert text and "\n" not in text and "Traceback" not in text
    assert code in report["kind"] or code == "start_failed"
