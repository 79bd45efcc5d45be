"""Fixtures of the browser tests. Starting Python takes seconds, so tests share a screen where they can."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import WATCH, next_lifter, resize, wait_awake

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site


@pytest.fixture(scope="module")
def _one_screen(open_shared: Callable[..., Page], _served: Site) -> Page:
    page = open_shared()
    page.add_init_script(WATCH)
    page.goto(_served.url)
    wait_awake(page)
    return page


@pytest.fixture
def awake(_one_screen: Page, no_errors: None) -> Page:
    """The screen on a phone, its calculator ready, cleared for this test as for the next lifter."""
    resize(_one_screen)
    _one_screen.emulate_media(media="screen", color_scheme="light")
    next_lifter(_one_screen)
    return _one_screen


@pytest.fixture
def fresh(page: Page, site: Site) -> Page:
    """A screen of its own, its calculator ready."""
    page.goto(site.url)
    wait_awake(page)
    return page
