"""Fixtures of the browser tests. Starting Python takes seconds, so tests share a screen where they can."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import SIZES, WATCH, next_lifter, wait_awake

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.conftest import Site


@pytest.fixture(scope="module")
def _one_screen(chromium: Browser, _served: Site) -> Iterator[tuple[Page, list[str]]]:
    width, height = SIZES["phone"]
    page = chromium.new_context(viewport={"width": width, "height": height}).new_page()
    page.add_init_script(WATCH)
    errors: list[str] = []
    page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(_served.url)
    wait_awake(page)
    yield page, errors
    page.context.close()


@pytest.fixture
def awake(_one_screen: tuple[Page, list[str]]) -> Iterator[Page]:
    """The screen on a phone, its calculator ready, cleared for this test as for the next lifter."""
    page, errors = _one_screen
    page.set_viewport_size(dict(zip(("width", "height"), SIZES["phone"], strict=True)))
    page.emulate_media(media="screen", color_scheme="light")
    next_lifter(page)
    errors.clear()
    yield page
    assert not errors, f"the page logged errors: {errors}"


@pytest.fixture
def fresh(page: Page, site: Site) -> Page:
    """A screen of its own, its calculator ready."""
    page.goto(site.url)
    wait_awake(page)
    return page
