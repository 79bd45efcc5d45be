"""Fixtures for every test: the built site on a counting server, and a browser that forgives no console error.

Tests of the core use none of these, so that they run inside Pyodide too (tests/site/test_core_in_pyodide.py).
"""

from __future__ import annotations

import contextlib
import os
import socket
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from site_src.make import assemble, browsers, ground, server
from tests.browser.screen import PATIENCE_S

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page

NO_OFFLINE = "Object.defineProperty(navigator, 'serviceWorker', { value: undefined });"
PHONE = {"width": 390, "height": 844}
STILL = {"viewport": PHONE, "reduced_motion": "reduce"}  # what scrolls by itself is tapped in the wrong place
FLAGS = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


class Site:
    """A server of a folder that counts its requests; it can stop and start again at the same address."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.requests: list[str] = []
        self._port = 0
        self._server: Any = None
        self._connections: set[socket.socket] = set()
        self.start()

    @property
    def url(self) -> str:
        return f"http://localhost:{self._port}/"

    def start(self) -> None:
        if self._server is not None:
            return
        requests, connections = self.requests, self._connections

        class Counting(server.Handler):
            def setup(self) -> None:
                super().setup()
                connections.add(self.connection)

            def finish(self) -> None:
                connections.discard(self.connection)
                super().finish()

            def do_GET(self) -> None:
                requests.append(self.path)
                super().do_GET()

        self._server = server.make_server(self.folder, self._port, "127.0.0.1", Counting)
        self._port = self._server.server_address[1]
        threading.Thread(
            target=self._server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True
        ).start()

    def stop(self) -> None:
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server = None
            for connection in list(self._connections):  # one that is kept alive would go on answering
                with contextlib.suppress(OSError):
                    connection.shutdown(socket.SHUT_RDWR)


@pytest.fixture(scope="session")
def dist() -> Path:
    """The folder of the site, built from the sources as they are now."""
    if os.environ.get("SHORTLEVER_SITE") != "built":  # as build.py says
        assemble.build_site()
    return ground.DIST


@pytest.fixture(scope="session")
def _served(dist: Path) -> Iterator[Site]:
    served = Site(dist)
    yield served
    served.stop()


@pytest.fixture
def site(_served: Site) -> Iterator[Site]:
    """The built site: `url`, `requests` (the paths asked for in this test), `stop()`, `start()`."""
    _served.start()
    _served.requests.clear()
    yield _served
    _served.start()


@pytest.fixture
def serve() -> Iterator[Callable[[Path], Site]]:
    """Serve any other folder, at an address of its own, until the test ends."""
    opened: list[Site] = []

    def start(folder: Path) -> Site:
        opened.append(Site(folder))
        return opened[-1]

    yield start
    for one in opened:
        one.stop()


@pytest.fixture(scope="session")
def chromium(pytestconfig: pytest.Config) -> Iterator[Browser]:
    """A running Chromium; never skipped: without one the tests fail and say what to do.

    It compiles WebAssembly once and plainly, but where time is measured: a page of a test lives too shortly
    to get back what a second, better translation of Python costs.
    """
    from playwright.sync_api import sync_playwright

    flags = FLAGS if "speed" in pytestconfig.option.markexpr else [*FLAGS, "--js-flags=--liftoff-only"]
    with sync_playwright() as engine:
        browser = engine.chromium.launch(executable_path=browsers.ensure_chromium(), args=flags)
        yield browser
        browser.close()


class Pages:
    """The one maker of pages. Any error in a console or a script fails the test in which it came, unless it
    sets `page.allow_console_errors = True`."""

    def __init__(self, browser: Browser) -> None:
        self.browser = browser
        self.errors: list[tuple[Page | None, str]] = []

    @contextlib.contextmanager
    def contexts(self, offline: bool) -> Iterator[Callable[..., BrowserContext]]:
        """Contexts of their own, each a device; closed at the end. To install all for ``offline`` use costs
        seconds, so only the tests marked so do it."""
        opened: list[BrowserContext] = []

        def start(**settings: Any) -> BrowserContext:
            context = self.browser.new_context(**STILL | settings)
            if not offline:
                context.add_init_script(NO_OFFLINE)
            context.set_default_timeout(1000 * PATIENCE_S)
            context.on("console", self._console)
            context.on("weberror", lambda found: self.errors.append((found.page, str(found.error))))
            opened.append(context)
            return context

        yield start
        for context in opened:
            context.close()

    def _console(self, said: ConsoleMessage) -> None:
        if said.type == "error":
            self.errors.append((said.page, said.text))

    def check(self) -> None:
        said = [text for page, text in self.errors if not getattr(page, "allow_console_errors", False)]
        self.errors.clear()
        assert not said, f"the page logged errors: {said}"


@pytest.fixture(scope="session")
def _pages(chromium: Browser) -> Pages:
    return Pages(chromium)


@pytest.fixture
def no_errors(_pages: Pages) -> Iterator[None]:
    """For a test on a page that tests share."""
    yield
    _pages.check()


@pytest.fixture
def open_context(
    request: pytest.FixtureRequest, _pages: Pages, no_errors: None
) -> Iterator[Callable[..., BrowserContext]]:
    """A device of its own, for several tabs: `open_context(color_scheme="dark").new_page()`."""
    with _pages.contexts(bool(request.node.get_closest_marker("offline"))) as start:
        yield start


@pytest.fixture
def open_page(open_context: Callable[..., BrowserContext]) -> Callable[..., Page]:
    """A page on a device of its own: `open_page(viewport={...}, color_scheme="dark")`."""
    return lambda **settings: open_context(**settings).new_page()


@pytest.fixture(scope="module")
def open_shared(_pages: Pages) -> Iterator[Callable[..., Page]]:
    """The same for a page that the tests of a module share, each of them with `no_errors`."""
    with _pages.contexts(offline=False) as start:
        yield lambda **settings: start(**settings).new_page()


@pytest.fixture
def page(open_page: Callable[..., Page]) -> Page:
    """One page at the size of a phone."""
    return open_page()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """What runs, and in which order: what is marked ``slow``, ``speed`` or ``engines`` only with -m."""
    asked = config.option.markexpr

    def unasked(item: pytest.Item) -> bool:
        on_demand = [name for name in ("slow", "speed", "engines") if item.get_closest_marker(name)]
        return any(name not in asked for name in on_demand)

    left_out = [item for item in items if unasked(item)]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in left_out]
    order = ["site", "browser", "reference"]  # the longest files first: two run side by side
    at = {Path(__file__).parent / name: i for i, name in enumerate(order)}
    items.sort(key=lambda item: at.get(item.path.parent, len(order)))
