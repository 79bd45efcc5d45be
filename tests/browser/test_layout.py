"""One screen: what must be seen without scrolling, reached with a thumb, and read by everybody."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import view
from tests.browser.screen import SIZES, answer, assert_shows, fill, shown, typed, wait_awake, wait_own

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from tests.conftest import Site

OPTIONAL = {"chest_arched": "28", "current_grip": "60", "current_touch": "18"}
ON_ONE_SCREEN = [
    "#arm_length",
    "#shoulder_breadth",
    '.step[aria-controls="arm_length"] >> nth=0',
    '.step[aria-controls="shoulder_breadth"] >> nth=1',
    '[data-key="grip"]',
    '[data-key="touch"]',
    '[data-key="tuck"]',
    '[data-key="moment_arm"]',
    '[data-key="range_of_motion"]',
    ".drawing",
    "#age",
]
NAME_OF_FOCUS = """() => {
  const e = document.activeElement;
  return e.id || e.getAttribute('aria-label') || e.name || e.className || e.tagName;
}"""
TARGET_PX = 48
GAP_PX = 8


def box(where: Locator) -> tuple[float, float, float, float]:
    found = where.bounding_box()
    assert found, f"{where} is not on the screen"
    return found["x"], found["y"], found["x"] + found["width"], found["y"] + found["height"]


def resize(page: Page, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})


def has_no_sideways_scroll(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"))


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_form_result_and_figure_share_one_screen(awake: Page, unit: str) -> None:
    present = {"current_grip": "60", "current_touch": "20"}
    for fields in ({}, {"arm_length": "68.5", "shoulder_breadth": "43,5"}, present):
        fill(awake, **fields)
        if fields:
            wait_own(awake)
            awake.check(f'input[value="{unit}"]')
            awake.locator(f'[data-key="grip"] .unit:text-is("{unit}")').wait_for()
        if fields is present:
            awake.click("#more > summary")
            awake.locator(".gain:not([hidden])").wait_for()
        for size in SIZES.values():
            resize(awake, size)
            awake.evaluate("scrollTo(0, 0)")
            for selector in ON_ONE_SCREEN + [".gain"] * (fields is present):
                left, top, right, bottom = box(awake.locator(selector))
                inside = left >= 0 and top >= 0 and right <= size[0] and bottom <= size[1]
                assert inside, (size, selector, right, bottom)
            assert box(awake.locator(".drawing"))[3] - box(awake.locator(".drawing"))[1] >= 150
            assert awake.evaluate("scrollY") == 0
            assert has_no_sideways_scroll(awake)
        if fields is not present:
            awake.check('input[value="cm"]')


def test_headline_numbers_are_readable_at_arms_length(awake: Page) -> None:
    for key in ("grip", "touch", "tuck"):
        value = awake.locator(f'[data-key="{key}"] [data-part="value"]')
        assert value.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") >= 28


BOXES = """(selector) => [...document.querySelectorAll(selector)].filter((e) => e.checkVisibility())
  .map((e) => {
  const { left, top, right, bottom } = e.getBoundingClientRect();
  return [left, top, right, bottom];
})"""
TARGETS = (
    "input[type=text], input[type=range], button, .units label, .choice label, summary, header a, .to-top"
)


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_targets_are_large_and_apart(awake: Page, size: tuple[int, int]) -> None:
    resize(awake, size)
    awake.locator("details").evaluate_all("all => { for (const e of all) e.open = true; }")
    boxes = awake.evaluate(BOXES, TARGETS)
    assert len(boxes) > 80
    for left, top, right, bottom in boxes:
        assert right - left >= TARGET_PX - 0.01 and bottom - top >= TARGET_PX - 0.01, (
            left,
            top,
            right,
            bottom,
        )
    steps = awake.evaluate(BOXES, ".step, .field input, .choice label, .rep input")
    for i, one in enumerate(steps):
        for other in steps[:i]:
            apart = max(other[0] - one[2], one[0] - other[2], other[1] - one[3], one[1] - other[3])
            assert apart >= GAP_PX - 0.01, (one, other)


def test_two_columns_on_a_tablet(awake: Page) -> None:
    page = awake
    resize(page, SIZES["tablet"])
    form, result = box(page.locator("#tape")), box(page.locator("#setup"))
    assert form[2] < result[0]
    assert abs(form[1] - result[1]) < GAP_PX


@pytest.mark.parametrize(
    "size", [(320, 640), (195, 422), (512, 384)], ids=["320 px", "phone at 200 %", "tablet at 200 %"]
)
def test_reflows_when_narrow_or_zoomed(awake: Page, size: tuple[int, int]) -> None:
    page = awake
    resize(page, size)
    fill(page, arm_length="6.1", **OPTIONAL)
    page.locator("#arm_length[aria-invalid]").wait_for()
    assert has_no_sideways_scroll(page)
    for field in page.locator(".field input").all():
        assert box(field)[2] - box(field)[0] >= 60, "a number must still fit in its window"


def test_text_alone_can_grow_to_twice_its_size(fresh: Page) -> None:
    fresh.evaluate("document.documentElement.style.fontSize = '200%'")
    assert has_no_sideways_scroll(fresh)
    fill(fresh, arm_length="61", shoulder_breadth="40")
    wait_own(fresh)
    fresh.locator('[data-interval="grip"]:not(:empty)').wait_for()
    assert has_no_sideways_scroll(fresh)
    words = box(fresh.locator('[data-part="next-text"]'))
    assert words[2] - words[0] >= 200, "beside the drawing only where there is room"


def test_the_top_is_one_row_on_every_phone(awake: Page) -> None:
    for width in (360, 375, 390, 412, 430):
        resize(awake, (width, 800))
        assert box(awake.locator(".top"))[3] <= 60, width


def test_the_page_opens_with_the_example_worked_out(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page(java_script_enabled=False)
    page.goto(site.url)
    response = json.loads(view.answer(json.dumps(view.example_request())))
    for number in response["headline"] + response["measures"]:
        value = page.locator(f'[data-key="{number["key"]}"] [data-part="value"]')
        assert value.text_content() == number["value"]
    assert "example" in (page.locator("#age").text_content() or "").lower()
    assert "invented" in (page.locator("#age").text_content() or "")
    assert page.locator(".drawing svg .fig-arm-line").count() >= 1


def test_the_moment_arm_is_drawn_and_labelled(awake: Page) -> None:
    measures = {m["key"]: m["value"] for m in answer(arm_length="58", shoulder_breadth="38")["measures"]}
    fill(awake, arm_length="58", shoulder_breadth="38")
    wait_own(awake)
    assert measures["moment_arm"] in (awake.locator(".drawing svg").first.text_content() or "")
    line = awake.locator(".drawing .fig-arm-line").first
    assert line.bounding_box()
    colours = {
        kind: awake.locator(f".drawing .{kind}").first.evaluate("e => getComputedStyle(e).stroke")
        for kind in ("fig-arm-line", "fig-stroke")
    }
    assert colours["fig-arm-line"] != colours["fig-stroke"]


def violations(page: Page) -> list[tuple[str, str, str]]:
    found = Axe().run(page).response["violations"]
    return [(v["id"], n["html"], n["failureSummary"]) for v in found for n in v["nodes"]]


@pytest.mark.parametrize(
    ("size", "scheme"),
    [("phone", "dark"), pytest.param("tablet", "light", marks=pytest.mark.slow)],
)
def test_no_accessibility_violations(awake: Page, size: str, scheme: str) -> None:
    page = awake
    resize(page, SIZES[size])
    page.emulate_media(color_scheme=scheme)
    page.locator("details").evaluate_all("all => { for (const e of all) e.open = true; }")
    assert not violations(page), "the example"
    fill(page, arm_length="61", shoulder_breadth="40", **OPTIONAL)
    for hint in page.locator(".hint").all():
        hint.click()
    page.locator("#first").wait_for()
    assert not violations(page), "the cautions before the first setup; every drawing of the tape"
    wait_own(page)
    page.locator('[data-interval="grip"]:not(:empty)').wait_for()
    assert not violations(page), "own numbers, with the present setup and the intervals"
    page.check('input[name="view"][value="above"]', force=True)
    page.click("#share")
    page.locator("#qr svg").wait_for()
    page.click("#next-lifter")
    assert not violations(page), "from above, the link, and the question before clearing"
    page.click("#next-no")
    page.click("#trade-list button >> nth=0")
    page.locator("#trade-back").wait_for()
    assert not violations(page), "a setup chosen from the trade-off"
    fill(page, arm_length="610")
    page.locator('#setup[data-age="old"]').wait_for()
    page.evaluate("location.hash = '#v=1&u=cm&a=6&k=00000000'")
    page.locator("#received:visible").get_by_text("damaged").wait_for()
    assert not violations(page), "a wrong number, the last good result marked as old, a damaged link"


def test_cautions_are_one_tap_away(awake: Page) -> None:
    awake.click("a.to-cautions")
    text = awake.locator("#cautions").inner_text().lower()
    for needed in (
        "spotter",
        "safety arms",
        "collars",
        "pain",
        "stop",
        "licensed clinician",
        "rulebook",
        "gym",
    ):
        assert needed in text
    assert awake.evaluate("document.activeElement.id") == "cautions"


def test_keyboard_alone_reaches_everything_in_reading_order(fresh: Page) -> None:
    order = []
    for _ in range(13):
        fresh.keyboard.press("Tab")
        order.append(fresh.evaluate(NAME_OF_FOCUS))
    assert [order.pop(0), order.pop(0)] == ["lift-now", "menu"]
    first, second = (f["label"] for f in view.form()[:2])
    assert order[:2] == ["unit", "to-cautions"]
    assert order[2] == "arm_length"
    assert order[3:7] == ["hint", f"{first}: less", f"{first}: more", "shoulder_breadth"]
    assert order[7:] == ["hint", f"{second}: less", f"{second}: more", "SUMMARY"]
    fresh.focus("#arm_length")
    fresh.keyboard.press("ArrowUp")
    fresh.focus("#shoulder_breadth")
    fresh.keyboard.press("ArrowUp")
    assert typed(fresh, "arm_length") == f"{round(2 * view.form()[0]['begin']['value']) / 2:g}"
    arm, shoulders = (typed(fresh, f["key"]) for f in view.form()[:2])
    assert shoulders
    assert_shows(fresh, answer(arm_length=arm, shoulder_breadth=shoulders))


def test_motion_is_left_out_when_not_wanted_and_forced_colours_show_the_chosen_unit(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page(forced_colors="active")
    page.goto(site.url)
    wait_awake(page)
    assert page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"
    assert page.evaluate("document.getAnimations().length") == 0
    outlines = page.locator(".units span").evaluate_all(
        "all => all.map(e => getComputedStyle(e).outlineStyle)"
    )
    assert outlines == ["solid", "none"]


def test_no_inline_style_or_script(dist: Path) -> None:
    html = (dist / "index.html").read_text(encoding="utf-8")
    assert "style=" not in html and "<style" not in html
    scripts = ('<script src="start.js"></script>', '<script type="module" src="page/fit/main.mjs"></script>')
    assert html.count("<script") == 2 and all(html.count(script) == 1 for script in scripts)
    assert "://" not in html.replace("http://www.w3.org/2000/svg", "")


def test_nothing_is_stored_on_the_device(fresh: Page) -> None:
    fill(fresh, arm_length="61", shoulder_breadth="40")
    wait_own(fresh)
    assert fresh.evaluate("[localStorage.length, document.cookie]") == [0, ""]
    store = "import('./page/shared/store.mjs')"
    kept = f"{store}.then(async (store) => [await store.list(), await store.deleted()])"
    assert fresh.evaluate(kept) == [[], []]
    assert shown(fresh)["age"] == "own"
