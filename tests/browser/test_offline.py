"""Load once, lose the network, and still get the right setup."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import view

if TYPE_CHECKING:
    from playwright.sync_api import Page

ASK_A_WORKER = """(request) => new Promise((resolve, reject) => {
  const worker = new Worker('worker/worker.mjs', { type: 'module' });
  let boot;
  worker.postMessage({ id: 1, request });
  worker.onmessage = ({ data }) => {
    if (data.state === 'failed') reject(new Error(data.cause.message));
    if (data.state === 'ready') boot = data.boot;
    if (data.response) resolve({ boot, response: data.response });
  };
})"""
READY = 'html[data-calculator="ready"]'


def wait_ready(page: Page) -> None:
    page.locator(READY).wait_for(timeout=60_000)


def wait_kept(page: Page) -> None:
    """The page itself says so, once every file is verified to be on the device."""
    page.get_by_text("ready, also offline").wait_for(timeout=60_000)


def headline(page: Page) -> dict[str, str]:
    return {
        key: page.locator(f'[data-key="{key}"] [data-part="value"]').first.inner_text()
        for key in ("grip", "touch", "tuck")
    }


def expected(**fields: str) -> dict[str, str]:
    answer = json.loads(view.answer(json.dumps({"unit": "cm", "fields": fields})))
    assert answer["ok"], answer["errors"]
    return {number["key"]: number["value"] for number in answer["headline"]}


def test_offline_gives_the_right_setup(page: Page, site: Any) -> None:
    page.goto(site.url)
    wait_ready(page)
    wait_kept(page)
    site.stop()
    page.reload()
    wait_ready(page)
    for number, (arm, breadth) in enumerate((("58.5", "37.5"), ("66", "43"))):
        page.fill("#arm_length", arm)
        page.fill("#shoulder_breadth", breadth)
        if number == 0:
            page.click("#first-read")  # the cautions come before the first own setup
        wanted = expected(arm_length=arm, shoulder_breadth=breadth)
        page.locator('[data-key="grip"] [data-part="value"]').filter(has_text=wanted["grip"]).wait_for()
        assert headline(page) == wanted


def test_warm_load_asks_the_network_for_nothing(page: Page, site: Any) -> None:
    page.goto(site.url)
    wait_kept(page)
    site.requests.clear()
    page.reload()
    wait_ready(page)
    wait_kept(page)
    # The browser itself looks whether the service worker has changed; nothing else goes out.
    assert [path for path in site.requests if path != "/sw.js"] == []


def test_first_visit_asks_only_its_own_site(page: Page, site: Any) -> None:
    asked: list[str] = []
    page.context.on("request", lambda request: asked.append(request.url))
    page.goto(site.url)
    wait_kept(page)
    assert asked
    assert [url for url in asked if not url.startswith(site.url)] == []


def test_a_neighbours_cache_survives(page: Page, site: Any) -> None:
    page.goto(site.url)
    page.evaluate("caches.open('neighbour|/|site|1').then((c) => c.put('/x', new Response('theirs')))")
    page.evaluate("caches.open('shortlever|/other/|site|1').then((c) => c.put('/x', new Response('theirs')))")
    page.evaluate("caches.open('shortlever|/|site|old').then((c) => c.put('/x', new Response('ours, old')))")
    wait_kept(page)
    kept = page.evaluate("caches.keys()")
    assert "neighbour|/|site|1" in kept
    assert "shortlever|/other/|site|1" in kept
    assert "shortlever|/|site|old" not in kept


@pytest.mark.parametrize("address", ["index.html", "?from=home-screen", "nowhere"])
def test_offline_navigation_ends_in_the_page(page: Page, site: Any, address: str) -> None:
    page.goto(site.url)
    wait_kept(page)
    site.stop()
    page.goto(site.url + address)
    wait_ready(page)


@pytest.mark.parametrize("gone", ["snapshot", "nothing"])
def test_offline_without_the_snapshot_the_plain_boot_answers(page: Page, site: Any, gone: str) -> None:
    """What only the plain boot needs is kept too, though a first visit does not wait for it."""
    page.goto(site.url)
    wait_kept(page)
    site.stop()
    page.evaluate(
        """async (gone) => {
          for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const { url } of await cache.keys()) if (url.includes(`/${gone}/`)) await cache.delete(url);
          }
        }""",
        gone,
    )
    page.allow_console_errors = gone == "snapshot"  # the browser logs the file that is not there
    asked = {"unit": "cm", "fields": {"arm_length": "61", "shoulder_breadth": "40"}}
    said = page.evaluate(ASK_A_WORKER, json.dumps(asked))
    assert said["boot"] == ("plain" if gone == "snapshot" else "snapshot")
    assert json.loads(said["response"])["headline"] == json.loads(view.answer(json.dumps(asked)))["headline"]
