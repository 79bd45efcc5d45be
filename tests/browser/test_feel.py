"""Feel the lever: what follows a finger, what Python says once it is up; the rack card; the way there."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Page

from tests.browser.screen import answer, ask, fill, poll, wait_own
from tests.browser.test_fit import own, text
from tests.browser.test_layout import resize

FULL = {"arm_length": "62", "shoulder_breadth": "39", "current_grip": "58"}
FRAME = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))"


def ready(page: Page, **fields: str) -> dict[str, Any]:
    """An own result on the screen, with the grid round it."""
    response = own(page, **fields)
    page.locator(".drawing[data-feel]").wait_for()
    return response


def grip(page: Page) -> float:
    return float(text(page, '[data-key="grip"] [data-part="value"]'))


def take_hold(page: Page, view: str, part: str) -> tuple[float, float]:
    page.locator(f'.views input[value="{view}"]').check(force=True)
    place = page.locator(f'.drawing [data-part="{part}"]').last
    place.scroll_into_view_if_needed()
    found = place.bounding_box()
    assert found
    at = found["x"] + found["width"] / 2, found["y"] + found["height"] / 2
    page.mouse.move(*at)
    page.mouse.down()
    return at


def test_a_hand_that_is_dragged_moves_the_grip_and_python_has_the_last_word(awake: Page) -> None:
    ready(awake, **FULL)
    x, y = take_hold(awake, "head", "hand")
    first = grip(awake)
    awake.mouse.move(x - 15, y, steps=3)
    awake.evaluate(FRAME)
    assert grip(awake) < first - 3, "it follows at once"
    assert awake.get_attribute("#setup", "data-felt") == "yes"
    awake.mouse.up()
    awake.locator('#age:has-text("Your choice")').wait_for()
    said = answer(**FULL)
    picked = ask(FULL, choice={"grip_m": grip(awake) / 100, "touch_m": said["setup"]["touch_m"]})
    assert float(picked["headline"][0]["value"]) == grip(awake) < first
    awake.locator("#feel-chosen:not([hidden])").wait_for()
    assert awake.get_attribute("#setup", "data-felt") is None, "what stands there is Python's"
    awake.click("#feel-back")
    poll(lambda: grip(awake), lambda now: now == first)


def test_it_stops_at_a_limit_and_says_which(awake: Page) -> None:
    ready(awake, **FULL)
    x, y = take_hold(awake, "head", "hand")
    awake.mouse.move(x + 150, y, steps=4)
    awake.evaluate(FRAME)
    assert grip(awake) == 81.0 and "rulebook" in text(awake, "#feel-stop")
    awake.mouse.up()
    poll(lambda: grip(awake), lambda now: now == 81.0)


def test_the_bar_on_the_chest_moves_touch_and_moment_arm(awake: Page) -> None:
    ready(awake, **FULL)
    touch = '[data-key="touch"] [data-part="value"]'
    arm = '[data-key="moment_arm"] [data-part="value"]'
    first, first_arm, first_grip = float(text(awake, touch)), float(text(awake, arm)), grip(awake)
    x, y = take_hold(awake, "side", "bar")
    awake.mouse.move(x + 12, y, steps=3)
    awake.evaluate(FRAME)
    assert float(text(awake, touch)) > first + 1
    assert float(text(awake, arm)) > first_arm + 1
    awake.mouse.up()
    awake.locator("#feel-chosen:not([hidden])").wait_for()
    assert grip(awake) == first_grip, "what was not moved stays on its mark"


def test_arrow_keys_do_the_same(awake: Page) -> None:
    ready(awake, **FULL)
    slider = awake.locator("#feel-axes input").first
    first = grip(awake)
    slider.focus()
    for _ in range(20):
        awake.keyboard.press("ArrowLeft")
    awake.evaluate(FRAME)
    assert grip(awake) < first
    assert slider.get_attribute("aria-valuetext") == f"{grip(awake):.1f} cm"
    awake.locator("#feel-chosen:not([hidden])").wait_for()
    assert slider.evaluate("e => document.activeElement === e"), "the focus stays"


def test_new_numbers_take_the_grid_away(awake: Page) -> None:
    ready(awake, **FULL)
    fill(awake, arm_length="6")
    awake.locator(".drawing:not([data-feel])").wait_for()
    fill(awake, arm_length="63")
    awake.locator(".drawing[data-feel]").wait_for()


# ---- the rack card


def test_the_rack_card_fills_the_screen_and_holds_what_is_shown(awake: Page) -> None:
    response = ready(awake, **FULL)
    awake.click("#rack-open")
    card = awake.locator("#rack")
    assert card.is_visible() and card.locator("svg").is_visible()
    for line in response["card"]["lines"]:
        assert line["value"] in card.inner_text() and line["text"] in card.inner_text()
    for width, height in ((390, 844), (844, 390), (360, 640), (1024, 768)):
        resize(awake, (width, height))
        box = card.bounding_box()
        assert box and (box["width"], box["height"]) == (width, height)
        assert card.evaluate("e => e.scrollWidth <= e.clientWidth"), "nothing is cut"
        size = card.locator("strong").first.evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
        assert size >= 48, (width, height)
    awake.keyboard.press("Escape")
    assert card.is_hidden()


# ---- the way there


def test_the_steps_of_the_way_are_kept_with_the_lifter(awake: Page) -> None:
    response = ready(awake, **FULL)
    steps = response["way"]["steps"]
    assert awake.locator("#way ol li").count() == len(steps) >= 3
    assert steps[0]["label"] in text(awake, "#way ol")
    awake.click("#way-keep")
    awake.locator("#way-said:not([hidden])").wait_for()
    assert re.search(rf"\b{len(steps)}\b", text(awake, "#way-said"))
    kept = awake.locator("#kept-setups li")
    poll(kept.count, lambda count: count == len(steps))
    assert f"Step 1 of {len(steps)}" in (kept.first.text_content() or "")
    awake.reload()
    wait_own(awake)
    poll(kept.count, lambda count: count == len(steps))


def test_each_step_of_the_way_ends_in_keep_or_go_back(fresh: Page) -> None:
    fresh.clock.set_fixed_time("2031-02-24T10:00:00")
    steps = ready(fresh, **FULL)["way"]["steps"]
    fresh.click("#way-keep")
    asked, coming = fresh.locator('#way [data-part="asked"]'), fresh.locator('#way [data-part="next"]')
    asked.get_by_text("Step 1 of").wait_for()
    assert fresh.locator("#way-proposed").is_hidden(), "no other way stands beside it"
    assert steps[0]["label"] in (asked.text_content() or "")
    fresh.click("#way-kept")
    poll(lambda: text(fresh, "#way-said"), lambda said: "2031-03-03" in said)
    asked.wait_for(state="hidden")
    assert "2031-03-03" in poll(lambda: coming.text_content() or "", lambda said: "2031-03-03" in said)
    card = poll(lambda: fresh.locator("#rack-way").text_content() or "", lambda said: "2031-03-03" in said)
    assert "2031-03-03" in card, "the card says what is next"
    fresh.clock.set_fixed_time("2031-03-04T10:00:00")
    fresh.reload()
    wait_own(fresh)
    asked.get_by_text("Step 2 of").wait_for()
    kept = fresh.locator("#kept-setups li")
    assert poll(lambda: kept.first.text_content() or "", lambda said: said.endswith("kept")).endswith("kept")
    fresh.click("#way-back")
    assert steps[0]["label"] in poll(lambda: text(fresh, "#way-said"), lambda said: "Back to" in said)
    poll(kept.count, lambda count: count == 2)
    parts = steps[0]["parts"]
    shown_parts = "import('./page/shared/store.mjs').then(async (s) => s.read(await s.current()))"
    record = poll(lambda: fresh.evaluate(shown_parts)["lifts"]["bench"], lambda of: of["choice"] is not None)
    assert record["choice"] == parts, "back on the step that was kept"
    assert sorted(one["answer"] for one in record["setups"]) == ["back", "kept"]


def test_past_trouble_is_one_question_before_the_first_setup(awake: Page) -> None:
    fill(awake, arm_length="62", shoulder_breadth="39")
    awake.locator("#first").wait_for()
    awake.locator('#past-trouble label:has(input[value="careful"])').click()
    awake.click("#first-read")
    careful = ask({"arm_length": "62", "shoulder_breadth": "39"}, comfort="careful")
    shown = careful["headline"][0]["value"]
    poll(lambda: text(awake, '[data-key="grip"] [data-part="value"]'), lambda now: now == shown)
    assert "careful shoulders" in text(awake, ".plate .rests")
    assert awake.locator('[name="comfort"][value="careful"]').is_checked()
