"""Fixtures of the browser tests."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import wait_awake

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site


@pytest.fixture
def awake(page: Page, site: Site) -> Page:
    """The screen on a phone, its calculator ready."""
    page.goto(site.url)
    wait_awake(page)
    return page
