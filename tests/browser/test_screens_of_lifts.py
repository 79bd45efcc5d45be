"""Sets, team and lifters with squat and deadlift in view; whose turn it is, and what is cleared; layouts."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import team, view
from shortlever.lifts import LIFTS, UNNAMED
from shortlever.say import ENGLISH, Voice
from shortlever.team.write import columns_shown
from tests.browser.screen import FILL, WATCH, ask, at_rest, poll, read_cautions, wait_awake, wait_own

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

OTHERS = [key for key in LIFTS if key != UNNAMED]
ONE_OF_THEM = [pytest.param("squat", marks=pytest.mark.slow), "deadlift"]  # the same screens
OWN = {"stature": "182", "body_mass": "90"}
BENCH = {"arm_length": "62", "shoulder_breadth": "40"}
STORE = "import('./page/shared/store.mjs')"
TARGETS = "main button, main select, summary, header a, header button, .choice label, .to-top"
SMALL = """(selector) => [...document.querySelectorAll(selector)].filter((e) => e.checkVisibility())
  .map((e) => {
  const { width, height } = e.getBoundingClientRect();
  return [e.outerHTML.slice(0, 80), width, height];
}).filter(([, width, height]) => width < 47.99 || height < 47.99)"""
NARROW = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"


def violations(page: Page) -> list[Any]:
    return [(v["id"], n["html"]) for v in Axe().run(page).response["violations"] for n in v["nodes"]]


def fitted(page: Page, site: Site, lift: str, fields: dict[str, str]) -> None:
    """A guest's own setup of a lift on its page."""
    page.add_init_script(WATCH)
    page.goto(site.url + ("" if lift == UNNAMED else f"{lift}.html"))
    wait_awake(page)
    page.evaluate(FILL, fields)
    wait_own(page)
    at_rest(page)


def go(page: Page, site: Site, name: str) -> None:
    page.goto(f"{site.url}{name}.html")
    wait_awake(page)


def plain(page: Page, lift: str) -> str:
    """The cautions that are seen, checked to be those of the lift alone."""
    text = page.locator("#cautions").inner_text()
    for caution, _ in view.cautions(lift):
        assert caution in text
    foreign = {caution for other in LIFTS for caution, _ in view.cautions(other)} - {
        caution for caution, _ in view.cautions(lift)
    }
    assert [caution for caution in foreign if caution in text] == []
    return text


@pytest.mark.parametrize("lift", ONE_OF_THEM)
def test_sets_ask_and_show_what_is_the_lifts_own(
    open_page: Callable[..., Page], site: Site, lift: str
) -> None:
    page = open_page(viewport={"width": 360, "height": 640})
    fitted(page, site, lift, OWN | {"current_heels": "40"})
    trial = ask(OWN | {"current_heels": "40"}, lift=lift)["trial"]
    page.click("#try-in-sets")
    page.locator('html[data-trial="own"]').wait_for()
    wait_awake(page)
    said = view.at_each_set(lift)
    assert page.locator('[data-choice-of="touched"] legend').inner_text() == said["held"]
    assert page.locator("#said").inner_text() == said["ready"]
    setups = page.locator("#setups .setups-list > li")
    assert poll(setups.count, lambda n: n == len(trial)) == len(trial)
    for place, one in enumerate(trial):
        page.locator(f'#entry .letters input[value="{"ABCD"[place]}"]').check(force=True)
        assert page.locator('#now [data-part="what"]').inner_text().casefold() == one["label"].casefold()
        marks = page.locator('#now [data-part="found"] li').all_inner_texts()
        assert marks == one["marks"] and len(marks) >= 3
        assert all(mark in setups.nth(place).inner_text() for mark in marks)
    if lift == "deadlift":
        assert {one["label"].split(",")[0] for one in trial} == {"conventional", "sumo"}
    page.fill("#load", "100")
    page.locator('[data-choice-of="pain"] label').nth(1).click()
    assert page.locator("#pain-now").inner_text() == said["stop"]
    page.locator('[data-choice-of="pain"] label').nth(0).click()
    page.locator('[data-choice-of="touched"] label').nth(1).click()
    page.click("#log")
    row = page.locator("#today li button")
    row.wait_for()
    assert said["not_held"] in row.inner_text()
    page.click("a.to-cautions")
    assert "bench" not in plain(page, lift)
    assert page.evaluate(NARROW) and not page.evaluate(SMALL, TARGETS)
    assert not violations(page)


def test_an_example_of_sets_is_of_the_lift_in_view(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    go(page, site, "sets")
    words = {key: view.sets.example_request(key)["pending"][1]["candidate"]["label"] for key in LIFTS}
    shown = page.locator("#verdict .standings div").nth(1)
    assert words[UNNAMED] in shown.inner_text()
    for lift in (*OTHERS, UNNAMED):
        if not page.locator(f'#lifts a[data-lift="{lift}"]').is_visible():
            page.click(".lift-now")
        page.click(f'#lifts a[data-lift="{lift}"]')
        page.locator(f'#lifts a[data-lift="{lift}"][aria-current="page"]').wait_for(state="attached")
        wait_awake(page)
        page.locator('#verdict[data-age="example"]').wait_for()
        assert words[lift] in poll(shown.inner_text, lambda text, lift=lift: words[lift] in text)
        assert page.locator("#verdict .tag").is_visible()


@pytest.mark.parametrize("lift", ONE_OF_THEM)
def test_a_team_sheet_shows_the_lifts_own_columns(
    open_page: Callable[..., Page], site: Site, lift: str
) -> None:
    page = open_page(viewport={"width": 640, "height": 360})
    go(page, site, lift)
    go(page, site, "team")
    first = page.locator("#text").get_attribute("placeholder") or ""
    assert all(field["label"] in first for field in view.form(lift) if field["required"])
    page.click("#example")
    page.click("#fit")
    page.locator("#save:not([disabled])").wait_for()
    heads = page.locator("#results thead th").all_inner_texts()
    columns = Voice(ENGLISH, "cm").all(columns_shown(LIFTS[lift], "cm"))
    assert heads == ["Lifter", *(one["label"] for one in columns)]
    sheet = team.read_sheet(team.example_sheet("cm", LIFTS[lift]), lift=LIFTS[lift])
    request = json.dumps({"want": "team/fit", "rows": [row.plain() for row in sheet.rows]})
    wanted = json.loads(view.answer(request))["results"]
    rows = page.locator("#results tbody tr")
    assert rows.count() == len(wanted) > 1
    for place, one in enumerate(wanted):
        cells = rows.nth(place).locator("td").all_inner_texts()
        assert cells == [one["cells"][column["key"]] for column in columns]
    assert "bench" not in plain(page, lift).lower()
    assert page.evaluate(NARROW) and not page.evaluate(SMALL, TARGETS)
    assert not violations(page)
    page.emulate_media(forced_colors="active")
    page.click(".lift-now")
    colours = page.locator("#lifts a span").evaluate_all(
        "all => all.map((e) => getComputedStyle(e).borderBlockEndColor)"
    )
    current = [key == lift for key in LIFTS].index(True)
    assert colours.count(colours[current]) == 1, "the lift in view is told without colours of ours"


def test_the_next_lifter_is_in_the_top_of_every_screen(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page(viewport={"width": 360, "height": 640})
    fitted(page, site, UNNAMED, BENCH)
    page.fill("#keep-name", "Ida Ried")
    page.click("#keep")
    page.get_by_text("Ida Ried is kept").wait_for()
    page.goto(f"{site.url}team.html")
    page.fill("#text", "Lifter,Arm length (cm)\nNobody,60")
    at_rest(page)
    for screen in ("lifters", "film", "team", "sets"):
        page.goto(f"{site.url}{screen}.html")
        page.click(".menu")
        assert not page.evaluate(SMALL, TARGETS) and not violations(page)
        page.click("#menu .next-turn")
        sure = poll(page.locator("#next-sure").inner_text, lambda text: "Ida" in text)
        assert "Ida Ried stays on this device" in sure
        assert not violations(page)
        page.click("#next-no")
        assert not page.locator("#next-sure").is_visible()
    page.click(".menu")
    page.click("#menu .next-turn")
    page.click("#next-yes")
    page.locator('#setup[data-age="example"]').wait_for()
    assert page.locator("#arm_length").input_value() == ""
    names = "(await s.list()).map((one) => one.name)"
    kept = page.evaluate(f"{STORE}.then(async (s) => [await s.current(), {names}])")
    assert kept == ["guest", ["Ida Ried"]]
    page.goto(f"{site.url}team.html")
    assert page.locator("#text").input_value() == "", "a sheet holds names"
    page.go_back()
    page.go_back()
    wait_awake(page)
    assert "Ida" not in page.locator("main").inner_text()


def test_a_shared_device_clears_itself_and_says_when(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    page.clock.install()
    go(page, site, "lifters")
    assert page.locator("#clear-after").input_value() == "0", "off by itself"
    page.select_option("#clear-after", "10")
    setting = f"{STORE}.then((s) => s.setting('clear_after'))"
    assert poll(lambda: page.evaluate(setting), lambda minutes: minutes == 10) == 10
    page.goto(site.url)
    wait_awake(page)
    page.evaluate(FILL, BENCH)
    page.clock.fast_forward(1000)
    page.locator("#first").wait_for()
    read_cautions(page)
    page.fill("#keep-name", "Ida Ried")
    page.click("#keep")
    page.get_by_text("Ida Ried is kept").wait_for()
    page.clock.fast_forward(9 * 60_000 + 5_000)
    page.locator("#turn:not([hidden])").wait_for()
    assert "clears itself at" in page.locator("#turn").inner_text()
    page.click("#turn button")
    assert not page.locator("#turn").is_visible()
    assert page.locator("#arm_length").input_value() == "62", "a touch: the time begins anew"
    page.clock.fast_forward(9 * 60_000 + 5_000)
    page.locator("#turn:not([hidden])").wait_for()
    page.clock.fast_forward(60_000)
    assert poll(page.locator("#arm_length").input_value, lambda text: text == "") == ""
    arm = "(await s.list())[0].tapes[0].fields.arm_length"
    kept = f"{STORE}.then(async (s) => [await s.current(), {arm}])"
    assert page.evaluate(kept) == ["guest", "62"], "who is kept stays"


def test_cautions_are_in_full_where_first_met_and_one_line_where_read(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page()
    page.goto(f"{site.url}sets.html")
    page.locator("#cautions li").first.wait_for()
    fitted(page, site, UNNAMED, BENCH)
    for screen in ("", "sets.html", "team.html", "film.html", "lifters.html"):
        page.goto(site.url + screen)
        page.locator("#cautions[data-folded]").wait_for()
        assert not page.locator("#cautions li").first.is_visible()
        assert page.locator("#cautions").evaluate("e => e.getBoundingClientRect().height") <= 64
        page.click("a.to-cautions")
        assert page.locator("#cautions li").first.is_visible()
    page.goto(f"{site.url}squat.html")
    page.locator("#cautions li").first.wait_for()  # those of another lift are not read yet


@pytest.mark.parametrize("lift", [UNNAMED, *ONE_OF_THEM])
def test_form_and_answer_stand_side_by_side(open_page: Callable[..., Page], site: Site, lift: str) -> None:
    page = open_page(viewport={"width": 640, "height": 360})
    fitted(page, site, lift, BENCH if lift == UNNAMED else OWN)
    boxes = """(selector) => {
      const { left, top, right, bottom } = document.querySelector(selector).getBoundingClientRect();
      return [left, top, right, bottom];
    }"""
    for width, height in ((640, 360), (844, 390), (768, 1024), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("scrollTo(0, 0)")
        form, plate, drawing = (page.evaluate(boxes, name) for name in ("#tape", ".plate", ".drawing"))
        assert form[2] <= plate[0] and form[1] < 90 > plate[1] - 30, width
        assert drawing[3] <= height and drawing[3] - drawing[1] >= 130, "the picture is seen whole"
        assert page.evaluate(NARROW)
        page.evaluate("scrollTo(0, 900)")
        held = page.evaluate(boxes, ".setup")
        assert -1 <= held[1] <= 12, "the answer stays while the rest moves"
        page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
        gap = page.evaluate(
            """() => {
            const all = [...document.querySelectorAll('main > *, .eye > *')];
            const seen = all.filter((e) => e.checkVisibility() && getComputedStyle(e).display !== 'contents');
            const ends = seen.map((e) => e.getBoundingClientRect().bottom);
            return document.querySelector('main').getBoundingClientRect().bottom - Math.max(...ends);
            }"""
        )
        assert gap < 80, "no empty column at the end"


def test_the_lift_is_chosen_in_the_top_of_a_small_phone(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page(viewport={"width": 360, "height": 640})
    page.goto(site.url)
    wait_awake(page)
    assert page.locator("header.top").bounding_box()["height"] <= 60  # type: ignore[index]
    page.focus(".lift-now")
    page.keyboard.press("Enter")
    assert page.locator("#lifts").is_visible() and not page.evaluate(SMALL, "#lifts a, .lift-now, .menu")
    page.keyboard.press("Escape")
    assert not page.locator("#lifts").is_visible()
    assert page.evaluate("document.activeElement.className") == "lift-now"
    page.keyboard.press("Enter")
    page.click('#lifts a[data-lift="squat"]')
    page.locator('html[data-lift="squat"]').wait_for()
    wait_awake(page)
    assert page.locator(".lift-now").inner_text().split() == ["Lifts", "Squat"]
