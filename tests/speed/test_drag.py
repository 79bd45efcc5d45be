"""How long a frame of a drag keeps the page busy on a processor that is four times slower, and how long the
browser's Python takes to suggest.

Run with ``python3 build.py test tests/speed/test_drag.py -m speed -s``, on a machine otherwise at rest.
"""

from __future__ import annotations

import json
import statistics
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import view
from tests.browser.screen import wait_awake
from tests.browser.test_feel import FRAME
from tests.browser.test_feel_legs import take_ring

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

FRAME_MS, SLOWER = 16.0, 4
SUGGEST_MS = 200.0
# Each frame's own work, and the style and layout that it asks for.
TIMED = """{
  const { requestAnimationFrame } = globalThis;
  globalThis.frames_ms = [];
  globalThis.requestAnimationFrame = (work) => requestAnimationFrame((now) => {
    const start = performance.now();
    work(now);
    document.body.getBoundingClientRect();
    if (document.querySelector('#setup[data-felt]')) globalThis.frames_ms.push(performance.now() - start);
  });
}"""
DRAGS = [
    ("bench", "head", 0, (1, 0)),
    ("bench", "side", 0, (1, 0)),
    ("squat", "above", 0, (1, 0)),
    ("squat", "side", 0, (-1, 0)),
    ("deadlift", "front", 0, (-1, 0)),
    ("deadlift", "above", 4, (1, 0)),
]


@pytest.mark.speed
@pytest.mark.parametrize(("lift", "view_key", "ring", "way"), DRAGS)
def test_each_frame_of_a_drag_is_short(
    open_page: Callable[..., Page], site: Site, lift: str, view_key: str, ring: int, way: tuple[int, int]
) -> None:
    """The best of three drags: another process may hold the machine once, our own work comes each time."""
    page = open_page()
    page.add_init_script(TIMED)
    page.goto(site.url if lift == "bench" else f"{site.url}{lift}.html")
    wait_awake(page)
    page.locator("#figure, #setup figure").first.scroll_into_view_if_needed()
    example = view.example_request(lift)["fields"]
    for key, value in example.items():
        page.fill(f"#{key}", value)
    page.locator("#first-read").click()
    page.locator(".drawing[data-feel]").wait_for()
    slow = page.context.new_cdp_session(page)
    longest: list[float] = []
    for _ in range(3):
        x, y = take_ring(page, view_key, ring)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.evaluate("frames_ms.length = 0")
        for i in range(1, 31):
            page.mouse.move(x + way[0] * i, y + way[1] * i)
            page.evaluate(FRAME)
        frames: list[float] = page.evaluate("frames_ms")
        slow.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        page.mouse.up()
        page.locator(".drawing:not([data-feel])").wait_for()
        page.locator(".drawing[data-feel]").wait_for()
        longest.append(max(frames))
        middle = statistics.median(frames)
        print(f"\n{lift} {view_key} {ring}: median {middle:.1f}, longest {max(frames):.1f} ms")
        assert len(frames) >= 20
    assert min(longest) < FRAME_MS


ANSWER = """(request) => new Promise((resolve, reject) => {
  const worker = new Worker(new URL('worker/worker.mjs', document.baseURI), { type: 'module' });
  const taken = [];
  let asked = 0;
  const ask = () => {
    asked = performance.now();
    worker.postMessage({ id: taken.length + 1, request });
  };
  worker.onerror = (event) => reject(new Error(event.message));
  worker.onmessage = ({ data }) => {
    if (data.state === 'failed') reject(new Error(data.cause.message));
    if (data.state === 'ready') ask();
    if (!data.response) return;
    taken.push(performance.now() - asked);
    if (taken.length < 6) return ask();
    worker.terminate();
    resolve([JSON.parse(data.response).ok, taken]);
  };
})"""


@pytest.mark.speed
@pytest.mark.parametrize("lift", ["bench", "squat", "deadlift"])
@pytest.mark.parametrize("want", ["", "doubt", "feel"])
def test_the_browsers_python_suggests_in_time(
    open_page: Callable[..., Page], site: Site, lift: str, want: str
) -> None:
    page = open_page()
    page.goto(site.url)
    request: dict[str, Any] = view.example_request(lift) | ({"want": want} if want else {})
    ok, taken = page.evaluate(ANSWER, json.dumps(request))
    assert ok
    middle = statistics.median(taken)
    print(f"\n{lift} {want or 'setup'}: {middle:.0f} ms, first {taken[0]:.0f} ms")
    if not want:
        assert middle < SUGGEST_MS
