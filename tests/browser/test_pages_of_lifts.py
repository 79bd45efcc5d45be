"""The page of another lift, opened: what it asks, what it keeps, and where the home screen's icon leads.

Its Python does not know the toy lift, so none is started; what is asked of it is looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from site_src.make.render import render_pages
from tests.browser.screen import poll
from tests.core.chin_up import ChinUp, move_in

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page, Route

    from tests.conftest import Site

ASKED = """globalThis.Worker = class extends EventTarget { // it stays on the way for ever
  postMessage({ request }) {
    (globalThis.asked ??= []).push(JSON.parse(request));
  }
  terminate() {}
};"""
LIFT = "import('/page/shared/record.mjs').then(({ LIFT }) => LIFT)"
KEPT = """async () => {
  const store = await import('/page/shared/store.mjs');
  return store.read(await store.current());
}"""


@pytest.fixture(scope="module")
def pages() -> dict[str, bytes]:
    with pytest.MonkeyPatch.context() as patch:
        move_in(patch, ChinUp())
        return render_pages("0" * 16)


@pytest.fixture
def tab(
    pages: dict[str, bytes], open_context: Callable[..., BrowserContext], site: Site
) -> Callable[[str], Page]:
    """Opens a page of the site with the toy lift in it, each in the same tab."""
    page = open_context().new_page()
    page.add_init_script(ASKED)

    def answer(route: Route) -> None:
        name = route.request.url.removeprefix(site.url).partition("#")[0].partition("?")[0] or "index.html"
        kind = "text/javascript" if name.endswith("js") else "text/html"
        if name in pages:
            route.fulfill(body=pages[name], content_type=f"{kind}; charset=utf-8")
        else:
            route.continue_()

    page.route(f"{site.url}**", answer)

    def start(name: str) -> Page:
        page.goto(site.url + name)
        return page

    return start


def asked(page: Page) -> list[dict[str, Any]]:
    return page.evaluate("globalThis.asked ?? []")


def test_what_is_asked_and_kept_names_the_lift(tab: Callable[[str], Page]) -> None:
    page = tab("chin_up.html")
    first = poll(lambda: asked(page), bool)
    assert first[0] == {"unit": "cm", "fields": {"arm_length": "62"}, "lift": "chin_up"}
    page.fill("#arm_length", "60")
    page.click("#more > summary")
    page.locator('[data-choice-of="sex"] input[value="female"]').check(force=True)

    def tape() -> dict[str, Any]:
        tapes = page.evaluate(KEPT)["tapes"]
        return tapes[-1] if tapes else {}

    kept = poll(tape, lambda now: now.get("choices") == {"sex": "female"})
    assert kept["fields"] == {"arm_length": "60"}
    page = tab("sets.html")
    assert page.evaluate(LIFT) == "chin_up"
    assert page.locator('.screens [data-screen="fit"]').get_attribute("href") == "chin_up.html"
    page.click(".menu")
    page.click('.screens [data-screen="fit"]')
    assert poll(lambda: page.input_value("#arm_length"), lambda now: now == "60") == "60"


def test_another_lifts_choice_and_numbers_stay_as_they_are(tab: Callable[[str], Page]) -> None:
    page = tab("")
    page.fill("#arm_length", "61")
    page.fill("#shoulder_breadth", "39")
    poll(lambda: page.evaluate(KEPT)["tapes"], bool)
    page.click(".lift-now")
    page.click('.lifts [data-lift="chin_up"]')
    assert poll(lambda: page.input_value("#arm_length"), lambda now: now == "61") == "61"
    page.fill("#arm_length", "62")
    wanted = {"arm_length": "62", "shoulder_breadth": "39"}
    assert poll(lambda: page.evaluate(KEPT)["tapes"][-1]["fields"], lambda now: now == wanted) == wanted


def test_the_icon_opens_the_lift_that_was_used_last(tab: Callable[[str], Page], site: Site) -> None:
    assert tab("?start").evaluate("document.documentElement.dataset.lift") == "bench"
    tab("chin_up.html").locator("#arm_length").wait_for()
    page = tab("?start")
    page.wait_for_url(site.url + "chin_up.html")
    assert page.evaluate("document.documentElement.dataset.lift") == "chin_up"
    page.click(".lift-now")
    page.click('.lifts [data-lift="bench"]')
    page.locator("#shoulder_breadth").wait_for()
    page.wait_for_function("() => localStorage.length === 0")  # the first lift needs no keeping
    assert tab("?start").evaluate("document.documentElement.dataset.lift") == "bench"


def test_the_film_check_asks_for_the_joints_of_the_lift(tab: Callable[[str], Page]) -> None:
    others = {"rim", "bar_end", "edge_a", "edge_b"}
    joints = {"": {"shoulder", "elbow", "wrist"}, "chin_up.html": {"hip"}}
    joints |= {"squat.html": {"ankle", "knee", "hip"}}
    for lift, own in joints.items():
        tab(lift)
        page = tab("film.html")
        page.locator('.kinds .set, [data-part="state"]').first.wait_for(state="attached")
        kinds = page.locator("#kinds input").evaluate_all("all => all.map((one) => one.value)")
        assert set(kinds) == others | own
        assert page.locator("#no-film").is_hidden()


def test_a_page_names_every_module_it_loads(open_page: Callable[..., Page], site: Site) -> None:
    """So that they come at once, and none in vain; the browser tells which it asked for."""
    for name in ("", "sets.html", "film.html", "lifters.html", "team.html", "three.html"):
        page = open_page()
        page.add_init_script(ASKED)
        page.goto(site.url + name)  # its load waits for them
        named = page.locator("link[rel=modulepreload], script[type=module]").evaluate_all(
            "all => all.map((e) => new URL(e.href || e.src).pathname)"
        )
        assert sorted(named) == sorted(path for path in site.requests if path.endswith(".mjs")), name
        site.requests.clear()
        page.close()
