"""When the calculator cannot start: said why and what to do, typing kept, and Try again works."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import PATIENCE_S, answer, assert_shows, fill, shown, typed, wait_own

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site


FILES = [
    "runtime/*/pyodide.asm.wasm.packed",
    "runtime/*/pyodide.mjs",
    "runtime/*/pyodide.asm.mjs",
    "worker/worker.mjs",
]


def remove(file: Path) -> None:
    file.unlink()


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def garble(file: Path) -> None:
    file.write_bytes(b"<!doctype html><title>Sign in to the gym's network</title>")


@pytest.mark.parametrize("harm", [remove, cut, garble])
@pytest.mark.parametrize("pattern", FILES)
def test_failure_is_explained_and_try_again_works(
    page: Page,
    dist: Path,
    tmp_path: Path,
    serve: Callable[[Path], Site],
    pattern: str,
    harm: Callable[[Path], None],
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
    trouble.wait_for(timeout=PATIENCE_S * 1000)
    assert trouble.get_attribute("role") == "alert"
    said = trouble.inner_text()
    for part in ("message", "remedy"):
        assert len(trouble.locator(f'[data-part="{part}"]').text_content() or "") > 10
    assert "kept" in said
    for foreign in ("Error:", "Traceback", "undefined", "null", "[object", ".mjs:"):
        assert foreign not in said
    assert (typed(page, "arm_length"), typed(page, "shoulder_breadth")) == ("60", "39,5")
    assert shown(page)["age"] == "example"

    shutil.copy(dist / file.relative_to(broken), file)
    page.click("#retry")
    assert_shows_soon(page)
    assert trouble.is_hidden()
    assert (typed(page, "arm_length"), typed(page, "shoulder_breadth")) == ("60", "39,5")


def assert_shows_soon(page: Page) -> None:
    wait_own(page)
    assert_shows(page, answer(arm_length="60", shoulder_breadth="39,5"))
