"""Feel the lever on the pages of squat and deadlift: feet, toes, hips and hands under a finger or arrow keys;
what stands there once the finger is up is Python's."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import Tape
from shortlever.lifts.legs.body import Standing
from shortlever.lifts.legs.marks import stance_of_heels_m
from tests.browser.screen import WATCH, ask, at_rest, fill, read_cautions, wait_awake, wait_own
from tests.browser.test_feel import FRAME
from tests.browser.test_fit import text

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

OWN = {"stature": "182", "body_mass": "90"}
# The ring that is taken hold of, which way it goes (px), and the number that this moves
DRAGS = [
    pytest.param("squat", "front", 0, (-12, 0), "heels", marks=pytest.mark.slow),
    ("squat", "above", 1, (-12, 0), "heels"),
    ("squat", "side", 0, (-8, 0), "sit_back"),
    pytest.param("deadlift", "front", 0, (-10, 0), "heels", marks=pytest.mark.slow),
    ("deadlift", "side", 0, (0, -10), "hip_height"),
    ("deadlift", "front", 2, (-15, 0), "hands"),
]


def take_ring(page: Page, view: str, ring: int) -> tuple[float, float]:
    """The mouse goes down in the middle of a ring over the drawing."""
    page.locator(f'.views input[value="{view}"]').check(force=True)
    page.locator(".drawing").scroll_into_view_if_needed()
    found = page.locator(".handles circle").nth(ring).bounding_box()
    assert found
    at = found["x"] + found["width"] / 2, found["y"] + found["height"] / 2
    page.mouse.move(*at)
    page.mouse.down()
    return at


@pytest.fixture(scope="module")
def _screens() -> dict[str, Page]:
    return {}


@pytest.fixture
def ready(
    _screens: dict[str, Page], open_shared: Callable[..., Page], _served: Site, no_errors: None
) -> Callable[[str], Page]:
    """The page of a lift with a setup of one's own, shared; each test goes back to what was suggested."""

    def opened(lift: str) -> Page:
        if lift in _screens:
            return _screens[lift]
        _screens[lift] = page = open_shared()
        page.add_init_script(WATCH)
        page.goto(f"{_served.url}{lift}.html")
        wait_awake(page)
        fill(page, **OWN)
        read_cautions(page)
        wait_own(page)
        at_rest(page)
        page.locator(".drawing[data-feel]").wait_for()
        return page

    return opened


def back(page: Page) -> None:
    page.click("#feel-back")
    page.locator("#feel-chosen").wait_for(state="hidden")
    page.locator(".drawing[data-feel]").wait_for()


def number(page: Page, key: str) -> float:
    return float(text(page, f'[data-key="{key}"] [data-part="value"]'))


def numbers(page: Page) -> dict[str, str]:
    return {
        one.get_attribute("data-key") or "": one.locator('[data-part="value"]').inner_text()
        for one in page.locator("#setup [data-key]").all()
    }


@pytest.mark.parametrize(("lift", "view", "ring", "by", "key"), DRAGS)
def test_what_is_dragged_moves_and_python_has_the_last_word(
    ready: Callable[[str], Page], lift: str, view: str, ring: int, by: tuple[int, int], key: str
) -> None:
    page = ready(lift)
    first = number(page, key)
    x, y = take_ring(page, view, ring)
    page.mouse.move(x + by[0], y + by[1], steps=3)
    page.evaluate(FRAME)
    felt = number(page, key)
    assert felt > first, "it follows at once"
    assert page.get_attribute("#setup", "data-felt") == "yes"
    page.mouse.up()
    page.locator('#age:has-text("Your choice")').wait_for()
    page.locator("#setup:not([data-felt])").wait_for()
    shown = number(page, key)
    assert abs(shown - felt) <= 1.0, "what was felt is what was set, to a centimetre"
    back(page)
    assert number(page, key) == first


@pytest.mark.parametrize("lift", ["squat", "deadlift"])
def test_toes_turn_until_the_hips_limit_and_it_is_said(ready: Callable[[str], Page], lift: str) -> None:
    page = ready(lift)
    slider = page.locator("#feel-axes label", has_text="Toes out").locator("input")
    slider.focus()
    page.keyboard.press("End")
    page.evaluate(FRAME)
    stop = text(page, "#feel-stop")
    assert len(stop) > 20 and text(page, "#rep-said") == stop, "what stops it, under the drawing too"
    assert slider.get_attribute("aria-valuetext") == f"{numbers(page)['turn_out']}°"
    page.locator("#feel-chosen:not([hidden])").wait_for()
    at_rest(page)
    assert slider.evaluate("e => document.activeElement === e"), "the focus stays"
    assert Axe().run(page).response["violations"] == []
    axes = page.locator("#feel-axes label").all_inner_texts()
    assert (
        axes
        == {
            "squat": ["Heels", "Hips back", "Toes out"],
            "deadlift": ["Heels", "Hip height", "Toes out", "Hands"],
        }[lift]
    )
    back(page)


def picked(lift: str, now: dict[str, str], setup: dict[str, float]) -> dict[str, float]:
    """The parts of the setup that the screen shows; what it does not show of them as suggested."""
    body = Standing.from_tape(Tape(stature=1.82, body_mass=90.0))
    turn = float(now["turn_out"])
    stance = stance_of_heels_m(body, float(now["heels"]) / 100, math.radians(turn))
    parts = setup | {"stance_m": stance, "turn_out_deg": turn}
    if lift == "squat":
        return parts | {"sit_back_m": float(now["sit_back"]) / 100}
    return parts | {"grip_m": float(now["hands"]) / 100 - body.hand_breadth_m}


@pytest.mark.parametrize("lift", ["squat", "deadlift"])
def test_what_stands_there_once_the_keys_rest_is_what_python_says(
    ready: Callable[[str], Page], lift: str
) -> None:
    page, suggested = ready(lift), ask(OWN, lift=lift)
    page.locator("#feel-axes input").first.focus()
    for _ in range(8):
        page.keyboard.press("ArrowRight")
    page.locator("#feel-chosen:not([hidden])").wait_for()
    at_rest(page)
    now = numbers(page)
    assert now["heels"] != suggested["headline"][0]["value"]
    said = ask(OWN, lift=lift, choice=picked(lift, now, suggested["setup"]))
    assert now == {one["key"]: one["value"] for one in (*said["headline"], *said["measures"])}
    page.click("#feel-keep")
    page.locator("#feel-said:not([hidden])").wait_for()
