"""All lifts of one lifter on one page, and on one sheet of paper."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from shortlever import view
from shortlever.lifts import LIFTS
from tests.browser.screen import wait_awake
from tests.browser.test_layout import violations

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

FIELDS = {
    "arm_length": "70",
    "shoulder_breadth": "41",
    "stature": "175",
    "body_mass": "82",
    "shoulder_tip_height": "144",
    "hip_bone_height": "93",
    "knee_bump_height": "49",
    "current_grip": "62",
}
KEEP = """async ({ name, fields, choices }) => {
  const store = await import('./page/shared/store.mjs');
  const tapes = [{ date: '2031-05-09', unit: 'cm', fields, choices }];
  const { id } = await store.create({ name, tapes });
  await store.setCurrent(id);
}"""
SHEET = re.compile(rb"/Type\s*/Page\b(?!s)")


def keep(page: Page, fields: dict[str, str]) -> None:
    page.evaluate(KEEP, {"name": "Ada Invented", "fields": fields, "choices": {"sex": "male"}})


def test_the_page_says_what_the_core_says_and_prints_on_one_sheet(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page()
    page.goto(site.url + "lifters.html")
    keep(page, FIELDS)
    page.reload()
    page.locator("#list").get_by_text("Ada Invented").click()
    page.click("#to-three")
    page.wait_for_url("**/three.html")
    wait_awake(page)
    request = {"want": "build/sheet", "unit": "cm", "fields": FIELDS, "sex": "male"}
    said: dict[str, Any] = json.loads(view.answer(json.dumps(request)))
    page.locator("#first").wait_for()
    assert page.locator("#lifts section").count() == 0, "the cautions come first"
    assert "safety arms" in page.inner_text("#first") and "licensed clinician" in page.inner_text("#first")
    page.click("#first-read")
    page.locator("#lifts section").nth(len(LIFTS) - 1).wait_for()
    assert page.inner_text("#whose") == "Ada Invented" and "Arm length 70 cm" in page.inner_text("#tape")
    assert page.inner_text("#people") == said["people"] and page.inner_text("#note") == said["note"]
    assert page.locator("#means li").all_inner_texts() == said["means"] != []
    rows = [[one["label"], one["value"], one["text"]] for one in said["build"]]
    cells = [
        [cell.inner_text() for cell in row.locator("th, td").all()] for row in page.locator("#build tr").all()
    ]
    assert cells == rows
    for section, lift in zip(page.locator("#lifts section").all(), said["lifts"], strict=True):
        shown = section.inner_text()
        assert lift["middle"] in shown and section.locator("svg").count() == 1
        for one in lift["setup"]["card"]["lines"]:
            assert one["value"] in shown and one["text"] in shown
    assert not violations(page)
    ids = page.locator("[id]").evaluate_all("all => all.map((one) => one.id)")
    assert len(ids) == len(set(ids))
    for width in (360, 390, 1024):
        page.set_viewport_size({"width": width, "height": 700})
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert len(SHEET.findall(page.pdf(format="A4", prefer_css_page_size=True))) == 1
    page.reload()
    page.locator("#lifts section").nth(len(LIFTS) - 1).wait_for()
    assert page.locator("#first").is_hidden(), "they were read"


def test_what_a_lift_still_needs_is_said_with_the_way_there(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page()
    page.goto(site.url + "three.html")
    page.locator("#said").get_by_text("Nothing is typed").wait_for()
    keep(page, {"stature": "168", "body_mass": "75"})
    page.reload()
    page.click("#first-read")
    bench = page.locator("#lifts section").first
    bench.get_by_text("Arm length is needed").wait_for()
    assert bench.locator("a").get_attribute("href") == "./"
    assert page.locator("#lifts section >> nth=1").locator("svg").count() == 1
