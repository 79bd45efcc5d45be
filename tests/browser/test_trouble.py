"""When the calculator cannot start: said why and what to do, typing kept, and Try again works."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import answer, assert_shows, fill, shown, typed, wait_own

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site


WASM, LOADER, MAKER = (f"runtime/*/pyodide.{end}" for end in ("asm.wasm.packed", "mjs", "asm.mjs"))


def remove(file: Path) -> None:
    file.unlink()


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def garble(file: Path) -> None:
    file.write_bytes(b"<!doctype html><title>Sign in to the gym's network</title>")


@pytest.mark.parametrize(
    ("pattern", "harm", "cause"),
    [
        (WASM, remove, "pyodide.asm.wasm.packed is not there"),
        (WASM, cut, "pyodide.asm.wasm.packed did not arrive whole"),
        (WASM, garble, "it is another kind of file"),
        (LOADER, remove, "pyodide.mjs could not be loaded"),
        (MAKER, cut, "pyodide.asm.mjs could not be loaded"),
        ("worker/worker.mjs", remove, "The calculator could not be started"),
        ("worker/worker.mjs", garble, "The calculator could not be started"),
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
