"""The wall as a coach uses it: everybody on one bar, side by side, printed; what the list says of each."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.screen import SIZES, poll, resize

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

BODIES = {
    "Ada": (72, 45, 190, 95),
    "Bo": (66.5, 41, 178, 82),
    "Maximiliane von Hohenfels-Wittgenstein": (57, 36, 160, 60),
}
KEEP = """async (records) => {
  const store = await import('./page/shared/store.mjs');
  await store.open();
  for (const record of records) await store.create(record);
}"""


def kept(name: str, **more: Any) -> dict[str, Any]:
    arm, shoulders, stature, mass = BODIES[name]
    fields = {"arm_length": arm, "shoulder_breadth": shoulders, "stature": stature, "body_mass": mass}
    texts = {key: f"{value:g}" for key, value in fields.items()}
    return {
        "name": name,
        "tapes": [{"date": "2031-05-09", "unit": "cm", "fields": texts, "choices": {}}],
    } | more


@pytest.fixture(scope="module")
def _wall(open_shared: Callable[..., Page], _served: Site) -> Page:
    """Three lifters kept, and one without a tape."""
    page = open_shared()
    page.goto(_served.url + "lifters.html")
    page.evaluate(KEEP, [*map(kept, BODIES), {"name": "Nobody taped"}])
    return page


@pytest.fixture
def wall(_wall: Page, _served: Site, no_errors: None) -> Page:
    """The wall of them worked out, nobody picked."""
    if not _wall.url.endswith("wall.html"):
        _wall.goto(_served.url + "wall.html")
        _wall.locator("#pictures svg").nth(1).wait_for()
    resize(_wall)
    while _wall.locator("#rows input:checked").count():
        _wall.locator("#rows input:checked").first.uncheck()
    return _wall


def test_everybody_stands_on_one_bar_with_the_setup_of_the_fit_screen(wall: Page) -> None:
    assert "3 lifters" in str(wall.text_content("#said"))
    assert "Nobody taped" in wall.inner_text("#without")
    bar = wall.locator("#pictures figure").first
    assert [one.split()[0] for one in bar.locator(".wall-name").all_text_contents()] == [
        "Maximiliane",
        "Bo",
        "Ada",
    ]
    places = [float(str(one.get_attribute("cx"))) for one in bar.locator(".wall-spot").all()]
    assert places == sorted(places)
    grip = wall.locator("#rows tr", has_text="Bo").locator("td").first.inner_text()
    wall.evaluate(
        "async (id) => (await import('./page/shared/store.mjs')).setCurrent(id)",
        wall.locator("#rows tr", has_text="Bo").locator("input").input_value(),
    )
    wall.goto(wall.url.replace("wall.html", ""))
    wall.click("#first-read")
    assert (
        poll(
            lambda: wall.locator('.headline [data-key="grip"] [data-part="value"]').inner_text(),
            lambda text: text == grip,
        )
        == grip
    )


def test_lifters_are_compared_on_one_floor(wall: Page) -> None:
    for name in ("Bo", "Ada"):
        wall.get_by_role("checkbox", name=name).check()
    wall.locator("#views svg").nth(1).wait_for()
    assert wall.locator("#views figcaption").all_inner_texts() == ["Bo", "Ada"]
    floors = wall.evaluate(
        """() => [...document.querySelectorAll('#views svg')].map((svg) => {
          const box = svg.querySelector('.fig-floor').getBoundingClientRect();
          return box.y;
        })"""
    )
    heights = wall.evaluate(
        "() => [...document.querySelectorAll('#views figure')].map((one) => one.getBoundingClientRect().top)"
    )
    if heights[0] == heights[1]:
        assert floors[0] == pytest.approx(floors[1], abs=1.5)
    assert "Ada against Bo" in wall.inner_text("#told")
    wall.get_by_role("checkbox", name="Ada").uncheck()
    wall.locator("#compared").wait_for(state="hidden")


def test_the_list_says_the_setup_and_what_is_due(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    page.clock.set_fixed_time("2031-12-24T10:00:00")
    page.goto(site.url + "lifters.html")
    setups = [
        {
            "key": "2031-05-09",
            "date": "2031-05-09",
            "text": "Grip 71.0 cm, touch 12.5 cm",
            "grip_m": 0.71,
            "touch_m": 0.125,
        },
        {
            "key": "2031-12-20-way-1",
            "date": "2031-12-20",
            "text": "Grip 73.0 cm",
            "grip_m": 0.73,
            "touch_m": 0.125,
        },
        {
            "key": "2031-12-20-way-2",
            "date": "2031-12-27",
            "text": "Grip 75.0 cm",
            "grip_m": 0.75,
            "touch_m": 0.125,
        },
    ]
    of_lift = {
        "setups": setups, "trials": {"log": "", "pending": [], "revision": 0}, "preference": None,
        "preference_from": "", "choice": None, "cautions_read": False,
    }  # fmt: skip
    page.evaluate(KEEP, [kept("Bo", lifts={"bench": of_lift}), kept("Ada"), {"name": "Nobody taped"}])
    page.reload()
    slip = page.locator(".slip", has_text="Grip 73")
    slip.wait_for()
    assert slip.locator(".set-up").inner_text() == "Grip 73.0 cm"
    assert slip.locator(".due").inner_text() == "taped 8 months ago, on a step since 2031-12-20"
    assert page.locator(".slip", has_text="Nobody").locator(".due").is_hidden()
    names = ".slip strong"
    assert page.locator(names).all_inner_texts() == ["Ada", "Bo", "Nobody taped"]
    page.select_option("#order", "due")
    assert page.locator(names).all_inner_texts()[-1] == "Nobody taped"


def test_a_page_each_is_printed_with_its_code(wall: Page) -> None:
    wall.evaluate(
        "() => { globalThis.print = () => { globalThis.printed = (globalThis.printed ?? 0) + 1; }; }"
    )
    wall.click("#print-cards")
    assert poll(lambda: wall.evaluate("() => globalThis.printed ?? 0"), bool) == 1
    cards = wall.locator("#cards .one-card")
    assert cards.count() == 3 and cards.locator(".qr svg").count() == 3
    pdf = wall.pdf(format="A4")
    assert pdf.count(b"/Type /Page\n") + pdf.count(b"/Type /Page>") + pdf.count(b"/Type/Page/") >= 3
    ids = wall.evaluate("() => [...document.querySelectorAll('[id]')].map(({ id }) => id)")
    assert len(ids) == len(set(ids)), json.dumps(ids)


def test_nothing_is_cut_and_everybody_can_use_it(wall: Page) -> None:
    for name in ("Bo", "Ada"):
        wall.get_by_role("checkbox", name=name).check()
    wall.locator("#views svg").nth(1).wait_for()
    for size in SIZES:
        resize(wall, size)
        wide = wall.evaluate(
            "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert wide <= 0, size
        found = Axe().run(wall).response["violations"]
        assert [one["id"] for one in found] == [], size
