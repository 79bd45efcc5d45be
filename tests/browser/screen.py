"""What the browser tests read off the screen, and how they wait for it."""

from __future__ import annotations

import contextlib
import json
import time
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any

from shortlever import view

if TYPE_CHECKING:
    from playwright.sync_api import CDPSession, Page

    from tests.conftest import Site

SIZES = {"phone": (390, 844), "small phone": (360, 640), "tablet": (1024, 768)}
PATIENCE_S = 60.0

READ_SCREEN = """() => {
  const text = (box, name) => box.querySelector(`[data-part="${name}"]`)?.textContent.trim();
  const numbers = (list) => [...document.querySelectorAll(`${list} [data-key]`)].map((box) => ({
    key: box.dataset.key, label: text(box, 'label'), value: text(box, 'value'), unit: text(box, 'unit'),
  }));
  const lines = (name) => [...document.querySelectorAll(`[data-part="${name}"] li`)].map((li) =>
    li.textContent);
  const gain = document.querySelector('#setup .gain');
  return {
    headline: numbers('.headline'),
    measures: numbers('.measures'),
    gain: gain.hidden ? null : gain.textContent.trim(),
    reasons: lines('reasons'),
    warnings: lines('warnings'),
    svg: new XMLSerializer().serializeToString(document.querySelector('.drawing svg')),
    table: [...document.querySelectorAll('[data-part="figure-table"] tr')].map(
      (row) => [...row.children].map((cell) => cell.textContent)),
    age: document.querySelector('#setup').dataset.age,
    tag: text(document.querySelector('#age'), 'tag'),
  };
}"""

SAME_SVG = """(svg) => new XMLSerializer().serializeToString(
  new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement)"""


def poll(read: Callable[[], Any], good: Callable[[Any], bool], patience_s: float = PATIENCE_S) -> Any:
    """The first good value that is read; where none comes, the test fails with the last one."""
    end = time.monotonic() + patience_s
    while not good(value := read()):
        assert time.monotonic() < end, f"still {value!r}"
        time.sleep(0.03)
    return value


# Before a page's own scripts, where nothing is asked of Python: its start is most of what a page costs.
SILENT = """globalThis.Worker = class extends EventTarget { // it stays on the way for ever
  postMessage() {}
  terminate() {}
};"""

# Before a page's own scripts: it knows what they have under way, so that one can wait until nothing is.
WATCH = """{
  const under = new Set();
  const ending = (work, mark) => (...given) => { under.delete(mark); work(...given); };
  const { setTimeout, clearTimeout, requestAnimationFrame, Worker } = globalThis;
  globalThis.setTimeout = (work, ms = 0, ...given) => {
    const mark = {};
    if (ms < 10_000) under.add(mark);
    mark.id = setTimeout(ending(work, mark), ms, ...given);
    return mark.id;
  };
  globalThis.clearTimeout = (id) => {
    for (const mark of under) if (mark.id === id) under.delete(mark);
    clearTimeout(id);
  };
  globalThis.requestAnimationFrame = (work) => {
    const mark = {};
    under.add(mark);
    return requestAnimationFrame(ending(work, mark));
  };
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (...given) {
    const made = transaction.apply(this, given);
    under.add(made);
    for (const end of ['complete', 'abort']) made.addEventListener(end, () => under.delete(made));
    return made;
  };
  globalThis.Worker = class extends Worker {
    constructor(...given) {
      super(...given);
      this.addEventListener('message', ({ data }) => under.delete(data.id));
    }
    postMessage(message) {
      under.add(message.id);
      super.postMessage(message);
    }
  };
  globalThis.atRest = () => under.size === 0;
}"""


# Half a second in which a second tap would be the same tap: it has gone by, or it does not.
LATER = """() => {
  globalThis.realNow ??= performance.now.bind(performance);
  globalThis.timeGone = (globalThis.timeGone ?? 0) + 501;
  performance.now = () => globalThis.realNow() + globalThis.timeGone;
}"""
FREEZE = """() => {
  const now = performance.now();
  performance.now = () => now;
}"""


def resize(page: Page, size: str = "phone") -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})


def at_rest(page: Page) -> None:
    """Nothing comes by itself any more: no timer, frame or write to wait for, no answer that is owed."""
    assert poll(lambda: page.evaluate("atRest()"), bool)


def read_cautions(page: Page) -> None:
    """Dismiss the cautions, if they stand before the setup."""
    page.evaluate("document.querySelector('#first:not([hidden]) #first-read')?.click()")


def wait_own(page: Page) -> None:
    """Own numbers gave a setup, and the cautions before the first one are read."""

    def age() -> str:
        read_cautions(page)
        return str(page.evaluate("document.querySelector('#setup').dataset.age"))

    assert poll(age, lambda now: now == "own") == "own"


def next_lifter(page: Page) -> None:
    """Clear the screen by its own button; the example in centimetres stands again."""
    page.evaluate("document.querySelector('#next-yes').click()")
    page.evaluate("document.querySelector('input[name=unit][value=cm]').click()")
    wanted = [n["value"] for n in example()["headline"]]
    assert poll(lambda: [n["value"] for n in shown(page)["headline"]], lambda now: now == wanted) == wanted
    page.evaluate("scrollTo(0, 0)")


def wait_awake(page: Page) -> None:
    page.locator('html[data-calculator="ready"]').wait_for()


def wait_kept(page: Page) -> None:
    """The page itself says so, once every file is verified to be on the device."""
    page.get_by_text("ready, also offline").wait_for()


def shown(page: Page) -> dict[str, Any]:
    read_cautions(page)
    return page.evaluate(READ_SCREEN)


def answer(unit: str = "cm", **fields: str) -> dict[str, Any]:
    """What CPython says to the same request."""
    return ask(fields, unit)


def ask(fields: dict[str, str], unit: str = "cm", **more: Any) -> dict[str, Any]:
    """What CPython says to a request with more than fields in it."""
    return json.loads(answered(json.dumps({"unit": unit, "fields": fields} | more)))


@cache
def answered(request: str) -> str:
    """The text that CPython answers."""
    return view.answer(request)


def example() -> dict[str, Any]:
    return json.loads(answered(json.dumps(view.example_request())))


def as_shown(page: Page, response: dict[str, Any]) -> dict[str, Any]:
    """A response in the shape of `shown`."""
    keys = ("key", "label", "value", "unit")
    return {
        "headline": [{k: n[k] for k in keys} for n in response["headline"]],
        "measures": [{k: n[k] for k in keys} for n in response["measures"]],
        "gain": f"{response['gain']['decision']} {response['gain']['text']}" if response["gain"] else None,
        "reasons": [r["message"] for r in response["reasons"]],
        "warnings": [w["message"] for w in response["warnings"]],
        "svg": page.evaluate(SAME_SVG, response["figure"]["svg"]),
        "table": response["figure"]["table"],
        "age": "own",
        "tag": "Your setup",
    }


def assert_shows(page: Page, response: dict[str, Any], **other: str) -> None:
    """The screen comes to show exactly this response."""
    expected = as_shown(page, response) | other
    assert poll(lambda: shown(page), lambda now: now == expected) == expected


def message(page: Page, field: str) -> str:
    """What is said of a number: the message, and what to do."""
    return str(page.evaluate(SAID, field))


SAID = """(field) => ['message', 'aside'].map((place) =>
  document.getElementById(`${field}-${place}`).textContent).filter(Boolean).join(' ')"""


def typed(page: Page, field: str) -> str:
    return page.locator(f"#{field}").input_value()


# All in one task of the page: whatever asks for an answer asks with all of them, however slow the machine.
FILL = """(fields) => {
  for (const [id, text] of Object.entries(fields)) {
    const field = document.getElementById(id);
    field.focus();
    field.value = text;
    for (const kind of ['input', 'change']) field.dispatchEvent(new Event(kind, { bubbles: true }));
  }
  document.activeElement.blur();
}"""


def fill(page: Page, **fields: str) -> None:
    """Fill these fields as one entry, so that no answer to a part of it is taken for the answer."""
    folded = page.locator('#unfold[aria-expanded="false"]')
    if folded.is_visible():
        folded.click()
    for field in fields:
        if not page.locator(f"#{field}").is_visible():
            page.click("#more > summary")
        assert page.locator(f"#{field}").is_editable()
    page.evaluate(FILL, fields)


def leave_room(page: Page, site: Site, room: int) -> CDPSession:
    """Leave the site this many bytes of storage, and refuse more. The session that can lift it."""
    session = page.context.new_cdp_session(page)
    session.send("Storage.overrideQuotaForOrigin", {"origin": site.url.rstrip("/"), "quotaSize": room})
    return session


def crash(page: Page) -> None:
    """End the page's process as the system does when memory runs out."""
    from playwright.sync_api import Error

    with page.expect_event("crash"), contextlib.suppress(Error):
        page.goto("chrome://crash", wait_until="commit")
