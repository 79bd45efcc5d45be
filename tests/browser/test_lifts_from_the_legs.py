"""The pages of squat and deadlift with their own Python: what the core says is what they show."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from shortlever.lifts import LIFTS, UNNAMED
from tests.browser.screen import (
    WATCH,
    ask,
    assert_shows,
    at_rest,
    fill,
    poll,
    read_cautions,
    shown,
    wait_awake,
    wait_own,
)

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

PRESENT = {"current_heels": "35", "current_turn_out": "20"}
OWN = {"stature": "182", "body_mass": "90", **PRESENT}
NARROW = "() => document.documentElement.scrollWidth <= innerWidth"


@pytest.mark.parametrize("lift", [key for key in LIFTS if key != UNNAMED])
def test_a_lift_from_the_legs_answers_on_its_page(
    open_page: Callable[..., Page], site: Site, lift: str
) -> None:
    page = open_page()
    page.add_init_script(WATCH)
    page.goto(f"{site.url}{lift}.html")
    wait_awake(page)

    def said(unit: str, fields: dict[str, str]) -> dict[str, Any]:
        return ask(fields, unit, lift=lift)

    example = dict(LIFTS[lift].example)
    assert_shows(page, said("cm", example), age="example", tag="Example")
    page.locator('input[name="unit"][value="in"]').check(force=True)
    inches = said("in", {"stature": f"{example['stature']} cm", "body_mass": f"{example['body_mass']} kg"})
    wanted = [number["value"] for number in inches["headline"]]
    now = poll(lambda: [one["value"] for one in shown(page)["headline"]], lambda values: values == wanted)
    assert now == wanted, "a weight stays one where lengths are in inches"
    page.locator('input[name="unit"][value="cm"]').check(force=True)
    fill(page, **OWN)
    read_cautions(page)
    wait_own(page)
    at_rest(page)
    response = said("cm", OWN)
    assert_shows(page, response)
    assert page.inner_text('[data-part="decision"]') == response["gain"]["decision"] != ""
    bands = page.locator('#free [data-part="bands"] li').all_inner_texts()
    assert bands == [band["text"] for band in response["bands"]] != []
    assert page.inner_text('#beside [data-part="beside-text"]') == response["beside"]["text"]
    assert page.evaluate(NARROW)
