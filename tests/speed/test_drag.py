"""Whether a drag keeps up with the screen on a processor that is four times slower, by a finger on a phone
and by a mouse, and how long the browser's Python takes to suggest.

Run with ``python3 build.py test tests/speed/test_drag.py -m speed -s``, on a machine otherwise at rest.
"""

from __future__ import annotations

import json
import statistics
from collections.abc import Callable
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import view
from tests.browser.screen import wait_awake
from tests.browser.test_feel import FRAME

if TYPE_CHECKING:
    from playwright.sync_api import CDPSession, Page

    from tests.conftest import Site

FRAME_MS, SCREEN_MS, SLOWER = 16.0, 1000 / 60, 4
MOVES, THERE = 120, 30  # as often is a drag moved, and so many px there and back
SUGGEST_MS = 200.0


def busy_ms(devtools: CDPSession) -> float:
    """What all tasks of the page's main thread have taken so far, painting and input too: in its own
    processor time, so that neither waiting for a frame nor another process counts."""
    metrics = {one["name"]: one["value"] for one in devtools.send("Performance.getMetrics")["metrics"]}
    busy: float = metrics["TaskDuration"]
    return 1e3 * busy


TICK = """() => {
  globalThis.ticks = [];
  const tick = (at) => { ticks.push(at); requestAnimationFrame(tick); };
  requestAnimationFrame(tick);
}"""
SECOND = """() => new Promise((resolve) => {
  const last = ticks.length + 60;
  const look = () => (ticks.length < last ? requestAnimationFrame(look) : resolve(true));
  look();
})"""


DRAGS = [
    ("bench", "head", 0, (-1, 0)),
    ("bench", "side", 0, (1, 0)),
    ("squat", "above", 0, (1, 0)),
    ("squat", "side", 0, (-1, 0)),
    ("deadlift", "front", 0, (-1, 0)),
    ("deadlift", "above", 4, (1, 0)),
]


class Pointer:
    """A finger or a mouse. What lies under a finger is looked for once, when it comes down; a mouse hovers
    all the way."""

    def __init__(self, kind: str, page: Page, devtools: CDPSession) -> None:
        self.kind, self.page, self.devtools = kind, page, devtools

    def press(self, target: str) -> None:
        place = self.page.locator(target)
        if self.kind == "touch":
            place.tap()
        else:
            place.click()

    def _touch(self, kind: str, *at: dict[str, float]) -> None:
        self.devtools.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": list(at)})

    def down(self, x: float, y: float) -> None:
        if self.kind == "touch":
            self._touch("touchStart", {"x": x, "y": y})
        else:
            self.page.mouse.move(x, y)
            self.page.mouse.down()

    def move(self, x: float, y: float) -> None:
        if self.kind == "touch":
            self._touch("touchMove", {"x": x, "y": y})
        else:
            self.page.mouse.move(x, y)

    def up(self) -> None:
        if self.kind == "touch":
            self._touch("touchEnd")
        else:
            self.page.mouse.up()


def middle_of_ring(page: Page, view_key: str, ring: int, pointer: Pointer) -> tuple[float, float]:
    pointer.press(f'.views label:has(input[value="{view_key}"])')
    page.locator(".drawing").scroll_into_view_if_needed()
    found = page.locator(".handles circle").nth(ring).bounding_box()
    assert found
    return found["x"] + found["width"] / 2, found["y"] + found["height"] / 2


class Held:
    """A handle of a lift's figure in hand, on a page that is SLOWER times slower."""

    def __init__(self, page: Page, url: str, drag: tuple[str, str, int, tuple[int, int]], kind: str) -> None:
        lift, view_key, ring, self.way = drag
        page.goto(url if lift == "bench" else f"{url}{lift}.html")
        wait_awake(page)
        for key, value in view.example_request(lift)["fields"].items():
            page.fill(f"#{key}", value)
        self.page, self.devtools = page, page.context.new_cdp_session(page)
        self.devtools.send("Performance.enable", {"timeDomain": "threadTicks"})
        self.pointer = Pointer(kind, page, self.devtools)
        self.pointer.press("#first-read")
        page.locator(".drawing[data-feel]").wait_for()
        self.x, self.y = middle_of_ring(page, view_key, ring, self.pointer)
        self.pointer.down(self.x, self.y)
        self.devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.evaluate(TICK)

    def move(self, far: int) -> None:
        self.pointer.move(self.x + self.way[0] * far, self.y + self.way[1] * far)

    def let_go(self) -> None:
        assert self.page.get_attribute("#setup", "data-felt") == "yes"
        self.devtools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        self.pointer.up()


@pytest.fixture
def hold(open_page: Callable[..., Page], site: Site) -> Callable[..., Held]:
    def held(drag: tuple[str, str, int, tuple[int, int]], kind: str) -> Held:
        page = open_page(**({"has_touch": True, "is_mobile": True} if kind == "touch" else {}))
        return Held(page, site.url, drag, kind)

    return held


of_every_drag = pytest.mark.parametrize("drag", DRAGS, ids=lambda drag: f"{drag[0]} {drag[1]}")
by_both = pytest.mark.parametrize("kind", ["touch", "mouse"])


@pytest.mark.speed
@by_both
@of_every_drag
def test_a_drag_keeps_up_with_the_screen(
    hold: Callable[..., Held], drag: tuple[str, str, int, tuple[int, int]], kind: str
) -> None:
    held = hold(drag, kind)

    def since(action: Callable[[], object]) -> tuple[float, list[float]]:
        """What the page's main thread was busy meanwhile, ms, and the times from frame to frame."""
        busy, first = busy_ms(held.devtools), held.page.evaluate("ticks.length")
        action()
        busy = busy_ms(held.devtools) - busy
        ticks = held.page.evaluate("(first) => ticks.slice(Math.max(first - 1, 0))", first)
        return busy, [b - a for a, b in pairwise(ticks)]

    def there_and_back() -> None:
        for i in range(MOVES):
            held.move(THERE - abs(i % (2 * THERE) - THERE))

    for far in range(1, THERE + 1):  # code that ran once runs quicker
        held.move(far)
    still, idle = since(lambda: held.page.evaluate(SECOND))
    busy, frames = since(there_and_back)
    held.let_go()
    move_ms = (busy - len(frames) * still / len(idle)) / MOVES
    late = sum(gap > 1.5 * SCREEN_MS for gap in frames) / len(frames)
    print(
        f"\n{drag[0]} {drag[1]} by {kind}: {1000 * len(frames) / sum(frames):.0f} frames a second, "
        f"{100 * late:.1f} % late, {move_ms:.1f} ms busy for a move"
    )
    assert late <= 0.02
    assert move_ms < FRAME_MS


@pytest.mark.speed
@by_both
@of_every_drag
def test_one_move_that_is_waited_for_takes_a_frame_nine_times_in_ten(
    hold: Callable[..., Held], drag: tuple[str, str, int, tuple[int, int]], kind: str
) -> None:
    """A miss, and it fails: 13 to 27 ms on the machine it was built on, in two of twelve under 16. With
    nothing drawn at all the press from the head by touch still took 20, so asking the browser is in it."""
    held = hold(drag, kind)

    def alone(far: int) -> float:
        """What one move, or none, costs with a frame of its own, ms."""
        before = busy_ms(held.devtools)
        if far:
            held.move(far)
        held.page.evaluate(FRAME)
        return busy_ms(held.devtools) - before

    asked = statistics.median(alone(0) for _ in range(10))  # what it costs to ask
    moved = sorted(alone(far) - asked for far in range(1, THERE + 1))
    held.let_go()
    print(
        f"\n{drag[0]} {drag[1]} by {kind}: {moved[THERE // 2]:.1f} ms in the middle, "
        f"nine in ten under {moved[9 * THERE // 10]:.1f}"
    )
    assert moved[9 * THERE // 10] < FRAME_MS


ANSWER = """(requests) => new Promise((resolve, reject) => {
  const worker = new Worker(new URL('worker/worker.mjs', document.baseURI), { type: 'module' });
  const taken = [];
  let asked = 0;
  const ask = () => {
    asked = performance.now();
    worker.postMessage({ id: taken.length + 1, request: requests[taken.length] });
  };
  worker.onerror = (event) => reject(new Error(event.message));
  worker.onmessage = ({ data }) => {
    if (data.state === 'failed') reject(new Error(data.cause.message));
    if (data.state === 'ready') ask();
    if (!data.response) return;
    taken.push(performance.now() - asked);
    if (taken.length < requests.length) return ask();
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
    """The shortest of six, of lifters that the build has never seen: another process can only add to it."""
    page = open_page()
    page.goto(site.url)
    example: dict[str, Any] = view.example_request(lift) | ({"want": want} if want else {})
    key = "stature" if "stature" in example["fields"] else "arm_length"
    of = [example["fields"] | {key: str(float(example["fields"][key]) + i / 4)} for i in range(1, 7)]
    ok, taken = page.evaluate(ANSWER, [json.dumps(example | {"fields": fields}) for fields in of])
    assert ok
    print(f"\n{lift} {want or 'setup'}: {min(taken):.0f} ms, first {taken[0]:.0f} ms")
    if not want:
        assert min(taken) < SUGGEST_MS
