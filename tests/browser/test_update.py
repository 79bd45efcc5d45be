"""A new version is offered, never forced; changing to it reloads once and loses nothing typed."""

from __future__ import annotations

import hashlib
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import answer, assert_shows, fill, poll, typed, wait_awake, wait_kept
from tests.browser.test_service_worker import DROP, VERIFY

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site


NOTE = """() => {
  const { postMessage } = ServiceWorker.prototype;
  const noted = [];
  ServiceWorker.prototype.postMessage = function (message, ...more) {
    noted.push(message.type);
    sessionStorage.noted = JSON.stringify(noted);
    return postMessage.call(this, message, ...more);
  };
}"""
LOOK = "navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => 0)"


@pytest.fixture
def folder(page: Page, dist: Path, tmp_path: Path, serve: Callable[[Path], Site]) -> Path:
    """A host's own copy of the site, which the page has opened and keeps."""
    copy = tmp_path / "site"
    shutil.copytree(dist, copy)
    page.goto(serve(copy).url)
    wait_kept(page)
    return copy


def short_hash(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()[:16]


def publish_next_version(folder: Path, words: str, broken_before: str = "") -> None:
    """The same site with another sentence on the page, its service worker knowing the new hash.

    ``broken_before``: the last good service worker, where a broken one is being served; it never comes back,
    for a browser looks for itself and would take it for news.
    """
    page, worker = folder / "index.html", folder / "sw.js"
    old_hash = short_hash(page)
    page.write_text(page.read_text(encoding="utf-8").replace("Why this setup", words), encoding="utf-8")
    new_hash = short_hash(page)
    text = broken_before or worker.read_text(encoding="utf-8")
    assert old_hash in text
    [build_id] = re.findall(r'"id": ?"([^"]+)"', text)
    text = text.replace(old_hash, new_hash).replace(build_id, "next" + build_id[4:])
    new = folder / "sw.js.new"
    new.write_text(text, encoding="utf-8")
    new.replace(worker)


def test_works_without_a_service_worker_and_promises_nothing(page: Page, site: Site) -> None:
    page.goto(site.url)
    wait_awake(page)
    fill(page, arm_length="61", shoulder_breadth="40")
    assert_shows(page, answer(arm_length="61", shoulder_breadth="40"))
    assert page.locator("#loading").text_content() == "ready"


@pytest.mark.offline
def test_offline_is_said_only_when_every_file_is_kept(page: Page, folder: Path, tmp_path: Path) -> None:
    """A file is gone from the device, and for a while from the server too."""
    page.allow_console_errors = True  # type: ignore[attr-defined]
    page.evaluate(DROP, "evidence.html")
    (folder / "evidence.html").rename(tmp_path / "evidence.html")
    page.reload()
    wait_awake(page)
    for _ in range(2):  # the page asked the same before, so it has its answer when ours are here
        verdict = page.evaluate(VERIFY)
        assert verdict["have"] == verdict["need"] - 1
    assert page.locator("#loading").text_content() == "ready"
    (tmp_path / "evidence.html").rename(folder / "evidence.html")
    page.reload()
    wait_kept(page)
    assert page.evaluate(VERIFY)["complete"]


@pytest.mark.offline
def test_new_version_is_asked_for_and_keeps_typing(page: Page, folder: Path) -> None:
    """Before it came an empty one: that is not offered, and the next good one is all the same."""
    fill(page, arm_length="62,5", shoulder_breadth="41")
    assert_shows(page, answer(arm_length="62,5", shoulder_breadth="41"))

    worker = folder / "sw.js"
    good = worker.read_text(encoding="utf-8")
    worker.write_bytes(b"")
    page.evaluate(LOOK)
    waiting = "navigator.serviceWorker.getRegistration().then((r) => r.waiting !== null)"
    assert poll(lambda: page.evaluate(waiting), bool)
    page.reload()
    wait_kept(page)
    page.evaluate(VERIFY)
    offer = page.locator("#update")
    assert offer.is_hidden()

    publish_next_version(folder, "Why just so", broken_before=good)
    page.evaluate(LOOK)
    offer.wait_for()
    page.click("#update-later")
    assert offer.is_hidden()
    assert page.locator("#because-title").text_content() == "Why this setup"

    loads = []
    page.on("load", lambda: loads.append(1))
    page.reload()
    offer.wait_for()
    assert typed(page, "arm_length") == "62,5"
    page.evaluate(NOTE)
    page.click("#update-now")
    new = poll(lambda: page.locator("#because-title").text_content(), lambda text: text == "Why just so")
    assert new == "Why just so"
    wait_kept(page)
    assert offer.is_hidden()
    assert len(loads) == 2, "the reload of the test, and one to change"
    noted = [one for one in page.evaluate("JSON.parse(sessionStorage.noted)") if one != "verify"]
    assert noted[0] == "let-go" and set(noted[1:]) == {"skip-waiting"}, "another would wake what is to stop"
    assert (typed(page, "arm_length"), typed(page, "shoulder_breadth")) == ("62,5", "41")
    assert_shows(page, answer(arm_length="62,5", shoulder_breadth="41"))


TOLD_NOTHING = """{ // another version took over and this page was not told: none waits, another controls
  const { waiting } = Object.getOwnPropertyDescriptors(ServiceWorkerRegistration.prototype);
  Object.defineProperties(ServiceWorkerRegistration.prototype, {
    waiting: { get: () => null },
    active: { get() { return waiting.get.call(this); } },
  });
  globalThis.stillTheOldPage = true;
}"""


@pytest.mark.offline
def test_use_it_now_loads_the_page_where_nothing_waits_any_more(page: Page, folder: Path) -> None:
    publish_next_version(folder, "Why just so")
    page.evaluate(LOOK)
    page.locator("#update").wait_for()
    page.evaluate(TOLD_NOTHING)
    page.click("#update-now")
    page.wait_for_function("() => typeof stillTheOldPage === 'undefined'")
    page.locator("#update").wait_for()  # for it did not take over in truth
