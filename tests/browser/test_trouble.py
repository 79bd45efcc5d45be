"""When the calculator cannot start: said why and what to do, typing kept, and Try again works."""

from __future__ import annotations

import gzip
import io
import os
import shutil
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from site_src.make import ground
from tests.browser.screen import (
    answer,
    assert_shows,
    fill,
    poll,
    read_cautions,
    shown,
    typed,
    wait_awake,
    wait_own,
)
from tests.browser.test_worker import replace_packed

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from tests.conftest import Site


WASM = "runtime/*/pyodide.asm.wasm.packed"


def remove(file: Path) -> None:
    file.unlink()


def garble(file: Path) -> None:
    file.write_bytes(b"<!doctype html><title>Sign in to the gym's network</title>")


@pytest.mark.parametrize(
    ("pattern", "harm", "cause"),
    [  # one cause that the worker tells, all of which are in test_worker, and a worker that tells nothing
        (WASM, garble, "it is another kind of file"),
        ("worker/worker.mjs", remove, "The calculator could not start"),
        ("worker/worker.mjs", garble, "The calculator could not start"),
    ],
)
def test_failure_is_explained_and_try_again_works(
    page: Page,
    dist: Path,
    tmp_path: Path,
    serve: Callable[[Path], Site],
    pattern: str,
    harm: Callable[[Path], None],
    cause: str,
) -> None:
    page.allow_console_errors = True  # type: ignore[attr-defined]
    broken = tmp_path / "site"
    shutil.copytree(dist, broken)
    [file] = broken.glob(pattern)
    harm(file)
    site = serve(broken)
    page.goto(site.url)
    fill(page, arm_length="60", shoulder_breadth="39,5")
    trouble = page.locator("#trouble")
    trouble.wait_for()
    assert trouble.get_attribute("role") == "alert"
    said = trouble.inner_text()
    assert cause in (trouble.locator('[data-part="message"]').text_content() or "")
    assert "ry again" in (trouble.locator('[data-part="remedy"]').text_content() or "")
    assert "kept" in said
    copied = report_of(trouble)
    assert copied.startswith("Shortlever ") and "index.html" in copied
    assert "39,5" not in copied
    for foreign in ("Error:", "Traceback", "undefined", "null", "[object", ".mjs:"):
        assert foreign not in said
    assert (typed(page, "arm_length"), typed(page, "shoulder_breadth")) == ("60", "39,5")
    assert shown(page)["age"] == "example"

    shutil.copy(dist / file.relative_to(broken), file)
    os.utime(file, (later := time.time() + 10, later))  # the server tells times in whole seconds
    page.click("#retry")
    assert_shows_soon(page)
    assert trouble.is_hidden()
    assert (typed(page, "arm_length"), typed(page, "shoulder_breadth")) == ("60", "39,5")


def assert_shows_soon(page: Page) -> None:
    wait_own(page)
    assert_shows(page, answer(arm_length="60", shoulder_breadth="39,5"))


def report_of(box: Locator) -> str:
    """What the button copies, or shows to be copied where the browser does not."""
    box.locator(".copy-report").click()
    shown = box.locator('[data-part="report"]')
    shown.wait_for()
    assert poll(lambda: box.locator('[data-part="copied"]').inner_text(), bool)
    return shown.inner_text()


# Faults that say what was typed: in the reading of numbers, and in that of a sheet.
FAULTS = {
    "fitting/request": """
_read = read_request
def read_request(request):
    if "61.37" in str(request): raise ZeroDivisionError(str(request))
    return _read(request)
""",
    "view/team": """
_sound = _read
def _read(request):
    if "Zebulon" in str(request): raise KeyError(str(request))
    return _sound(request)
DOORS = {**DOORS, "team/read": _read}
""",
}


@pytest.fixture
def faulty(dist: Path, tmp_path: Path, serve: Callable[[Path], Site]) -> Site:
    """The site with faults in its core, which the plain boot reads."""
    folder = tmp_path / "site"
    shutil.copytree(dist, folder)
    shutil.rmtree(folder / "snapshot")
    [packed] = folder.glob("core/*/shortlever.zip.packed")
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(gzip.decompress(packed.read_bytes()))) as old,
        zipfile.ZipFile(made, "w") as new,
    ):
        for name in old.namelist():
            module = name.removeprefix("shortlever/").removesuffix(".pyc")
            if module not in FAULTS:
                new.writestr(name, old.read(name))
                continue
            source = (ground.CORE / "shortlever" / f"{module}.py").read_text(encoding="utf-8")
            new.writestr(name.removesuffix("c"), source + FAULTS[module])
    replace_packed(packed, made.getvalue())
    return serve(folder)


def test_a_fault_leaves_a_report_without_what_was_typed(open_page: Callable[..., Page], faulty: Site) -> None:
    """Copied by a button, or marked to be copied where the browser does not."""
    page = open_page(permissions=["clipboard-read", "clipboard-write"])
    page.allow_console_errors = True  # type: ignore[attr-defined]
    logged: list[str] = []
    page.on("console", lambda said: logged.append(said.text))
    page.goto(faulty.url)
    wait_awake(page)
    fault = page.locator("#fault")
    assert fault.is_hidden()
    fill(page, arm_length="61.37", shoulder_breadth="40")
    fault.wait_for()
    report = report_of(fault)
    assert "copied" in fault.inner_text()
    assert page.evaluate("navigator.clipboard.readText()") == report
    assert report in logged
    lines = report.splitlines()
    assert lines[0].startswith("Shortlever ") and lines[0].endswith("index.html")
    assert lines[1] == "ZeroDivisionError"
    assert any(line.startswith("  shortlever.view.answer.respond") for line in lines)
    assert any(line.startswith("  shortlever.fitting.request.read_request:") for line in lines), (
        "its line too"
    )
    assert "asked: setup (unit, fields)" in lines
    assert "fields: arm_length, shoulder_breadth" in lines
    for text in (report, *logged):
        assert "61.37" not in text
    fill(page, arm_length="61")
    read_cautions(page)
    fault.wait_for(state="hidden")
    assert_shows(page, answer(arm_length="61", shoulder_breadth="40"))

    logged.clear()
    page.add_init_script("Object.defineProperty(navigator, 'clipboard', { value: undefined });")
    page.goto(faulty.url + "team.html")
    wait_awake(page)
    page.fill("#text", "Lifter,Arm length (cm),Shoulder breadth (cm)\nZebulon Quirk,61.37,40\n")
    page.click("#read")
    fault.wait_for()
    report = report_of(fault)
    assert "copied" not in fault.inner_text()
    assert page.evaluate("getSelection().toString()").strip() == report
    assert report.splitlines()[1] == "KeyError"
    assert "  shortlever.view.team._read:" in report
    assert "asked: team/" in report
    for text in (report, *logged):
        assert "61.37" not in text and "Zebulon" not in text and "Quirk" not in text
