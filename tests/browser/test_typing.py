"""Typing gives a new result by itself; what was typed, and the last good result, are never lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from shortlever import view
from tests.browser.screen import (
    SILENT,
    answer,
    as_shown,
    assert_shows,
    at_rest,
    example,
    fill,
    message,
    poll,
    resize,
    shown,
    typed,
    wait_awake,
)

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

    from tests.conftest import Site

GOOD = {"arm_length": "61", "shoulder_breadth": "40"}


@pytest.mark.parametrize(
    "fields",
    [
        GOOD,
        {"arm_length": "55,5", "shoulder_breadth": "36"},
        {"arm_length": "72.5", "shoulder_breadth": "44", "chest_arched": "29"},
        {"arm_length": "63", "shoulder_breadth": "41", "current_grip": "58", "current_touch": "20"},
    ],
    ids=["two numbers", "comma", "arch", "present setup"],
)
def test_screen_shows_what_cpython_answers(awake: Page, fields: dict[str, str]) -> None:
    fill(awake, **fields)
    assert_shows(awake, answer(**fields))


def test_key_by_key_the_last_text_wins(awake: Page) -> None:
    fill(awake, arm_length="58")
    awake.locator("#shoulder_breadth").press_sequentially("38.5", delay=30)
    assert_shows(awake, answer(arm_length="58", shoulder_breadth="38.5"))


def test_one_number_alone_keeps_the_example_and_does_not_shout(awake: Page) -> None:
    fill(awake, arm_length="61.5")
    at_rest(awake)
    assert shown(awake)["age"] == "example"
    assert message(awake, "shoulder_breadth") == ""
    fill(awake, shoulder_breadth="40")
    assert_shows(awake, answer(arm_length="61.5", shoulder_breadth="40"))


def test_an_empty_required_number_is_asked_for_after_it_was_visited(awake: Page) -> None:
    fill(awake, arm_length="61.5")
    awake.focus("#shoulder_breadth")
    awake.focus("#arm_length")
    said = poll(lambda: message(awake, "shoulder_breadth"), bool)
    missing = answer(arm_length="61.5")["errors"][0]
    assert missing["code"] == "missing"
    assert said == f"{missing['message']} {missing['remedy']}"


SHIFTS = """() => { // what moves by itself from now on, as the browser saw it
  globalThis.shifts = [];
  const said = '#age, .message'; // but for a line of words that say something else
  new PerformanceObserver((list) => {
    for (const { node } of list.getEntries().flatMap(({ sources }) => sources)) {
      const at = node?.parentElement;
      if (!at?.closest(said)) shifts.push(at?.outerHTML.slice(0, 99));
    }
  }).observe({ type: 'layout-shift' });
}"""


@pytest.mark.parametrize(
    ("size", "key", "digit"), [("phone", "arm_length", "6"), ("small phone", "stature", "1")]
)
def test_one_digit_brings_no_error_and_an_error_moves_nothing(
    awake: Page, size: str, key: str, digit: str
) -> None:
    resize(awake, size)
    fill(awake, **GOOD)
    assert_shows(awake, answer(**GOOD))
    awake.click("#more > summary")
    awake.evaluate("scrollTo(0, 0)")
    at_rest(awake)
    awake.evaluate(SHIFTS)
    awake.focus(f"#{key}")
    awake.keyboard.press("Control+A")
    awake.keyboard.press(digit)
    assert poll(lambda: shown(awake)["age"], lambda age: age == "old") == "old", "it was answered"
    at_rest(awake)
    assert message(awake, key) == "" and awake.get_attribute(f"#{key}", "aria-invalid") is None
    awake.locator(f"#{key}").blur()
    error = next(e for e in answer(**GOOD | {key: digit})["errors"] if e["field"] == key)
    assert poll(lambda: message(awake, key), bool) == f"{error['message']} {error['remedy']}"
    for part in ("message", "aside"):
        assert awake.locator(f"#{key}-{part}").is_visible()
    assert typed(awake, key) == digit
    awake.keyboard.press("Tab")
    awake.focus(f"#{key}")
    awake.keyboard.type("0")
    at_rest(awake)
    assert message(awake, key) == "", "what it said was of another text"
    fill(awake, **{key: "170" if key == "stature" else "61"})
    at_rest(awake)
    assert awake.evaluate("shifts") == []
    awake.evaluate("document.querySelector('#tape').style.paddingBlockStart = '9px'")
    assert poll(lambda: awake.evaluate("shifts"), bool), "it would have been seen"
    awake.evaluate("document.querySelector('#tape').style = ''")


def test_what_is_wrong_elsewhere_waits_until_the_number_is_left(awake: Page) -> None:
    fill(awake, **GOOD, upper_arm="30")
    assert_shows(awake, answer(**GOOD, upper_arm="30"))
    awake.focus("#forearm_to_grip")
    awake.keyboard.type("45")
    assert poll(lambda: shown(awake)["age"], lambda age: age == "old") == "old", "they do not add up"
    at_rest(awake)
    assert message(awake, "arm_length") == ""
    awake.keyboard.press("Tab")
    assert "add up to" in poll(lambda: message(awake, "arm_length"), bool)
    awake.focus("#forearm_to_grip")
    awake.keyboard.press("Control+A")
    awake.keyboard.type("31")
    assert poll(lambda: message(awake, "arm_length"), lambda said: not said) == "", (
        "what is mended goes at once"
    )


def test_enter_goes_on_to_the_next_number_and_to_the_answer(awake: Page) -> None:
    at = "document.activeElement.id"
    awake.focus("#arm_length")
    awake.keyboard.type("61")
    awake.keyboard.press("Enter")
    assert awake.evaluate(at) == "shoulder_breadth"
    assert awake.locator("#shoulder_breadth").evaluate("e => e.enterKeyHint") == "done"
    awake.keyboard.press("Enter")
    assert poll(lambda: message(awake, "shoulder_breadth"), bool), "what is missing is asked for"
    assert awake.evaluate(at) == "shoulder_breadth"
    awake.keyboard.type("40")
    awake.keyboard.press("Enter")
    assert poll(lambda: awake.evaluate(at), lambda now: now == "first") == "first", "the cautions come before"
    assert_shows(awake, answer(**GOOD))
    awake.click("#more > summary")
    awake.focus("#shoulder_breadth")
    awake.keyboard.press("Enter")
    assert awake.evaluate(at) == "chest_flat"
    last = awake.locator(".field input").last.get_attribute("id")
    fill(awake, arm_length="6.1")
    awake.focus(f"#{last}")
    awake.keyboard.press("Enter")
    assert poll(lambda: awake.evaluate(at), lambda now: now == "arm_length") == "arm_length", (
        "to what is wrong"
    )
    awake.keyboard.press("Control+A")
    awake.keyboard.type("61")
    awake.focus(f"#{last}")
    awake.keyboard.press("Enter")
    assert poll(lambda: awake.evaluate(at), lambda now: now == "setup") == "setup"
    seen = "document.querySelector('.plate').getBoundingClientRect().bottom <= innerHeight"
    assert poll(lambda: awake.evaluate(seen), bool), "it is scrolled to"


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_a_stepper_begins_an_empty_number_at_the_estimate_and_says_so(awake: Page, unit: str) -> None:
    awake.check(f'input[value="{unit}"]')
    for field in view.form():
        assert awake.get_attribute(f"#{field['key']}", "placeholder") is None
        assert typed(awake, field["key"]) == ""
    plus = awake.locator('[data-field="stature"] .step').nth(1)
    named = {key: f"{text} cm" for key, text in GOOD.items()}
    fill(awake, **named)
    assert_shows(awake, answer(unit, **named))
    awake.click("#more > summary")
    step, size = (0.25, 2.54) if unit == "in" else (0.5, 1.0)
    stature = round(answer(unit, **named)["begin"]["stature"]["value"] / size / step) * step
    plus.click()
    assert typed(awake, "stature") == f"{stature:g}"
    began = f"Starts at the estimate for you: {stature:g} {unit}. Step from there to yours."
    assert message(awake, "stature") == began
    at_rest(awake)
    assert message(awake, "stature").startswith("Starts"), "also when it was answered"
    plus.click()
    assert typed(awake, "stature") == f"{stature + step:g}"
    assert message(awake, "stature") == ""
    for key, at in (("current_grip", "the suggestion"), ("bench_height", "a common one")):
        awake.locator(f'[data-field="{key}"] .step').nth(0).click()
        assert message(awake, key).startswith(f"Starts at {at}")


def test_a_stepper_begins_in_the_middle_where_nothing_is_known(awake: Page) -> None:
    awake.locator('[data-field="arm_length"] .step').nth(1).click()
    middle = view.form()[0]["begin"]
    assert middle["from"] == "middle"
    assert typed(awake, "arm_length") == f"{round(2 * middle['value']) / 2:g}"
    assert message(awake, "arm_length").startswith("Starts at the middle of all people")


def test_typed_before_python_is_awake_is_answered_afterwards(page: Page, site: Site) -> None:
    held: list[Route] = []
    page.route("**/*.wasm.packed", lambda route: held.append(route))
    page.goto(site.url)
    fill(page, arm_length="59", shoulder_breadth="39")
    poll(lambda: page.evaluate("0") or held, bool)
    line = page.locator("#loading").text_content() or ""
    assert re.fullmatch(r"fetching \d+\.\d of \d+\.\d MB", line), line
    waiting = poll(lambda: page.locator("#age").text_content() or "", lambda said: "kept" in said)
    assert "kept" in waiting and waiting.startswith("Example")
    for route in held:
        route.continue_()
    assert_shows(page, answer(arm_length="59", shoulder_breadth="39"))
    assert (page.locator("#loading").text_content() or "").startswith("ready")


LATE = """{ // what the device keeps is opened once openKept() is called
  const { open } = IDBFactory.prototype;
  const told = new Promise((resolve) => { globalThis.openKept = resolve; });
  IDBFactory.prototype.open = function (...given) {
    const request = open.apply(this, given);
    const hold = (event) => {
      event.stopImmediatePropagation();
      request.removeEventListener('success', hold);
      told.then(() => request.dispatchEvent(new Event('success')));
    };
    request.addEventListener('success', hold);
    return request;
  };
}"""


def test_typed_before_what_is_kept_is_opened_stays_told_as_waiting(page: Page, site: Site) -> None:
    page.add_init_script(SILENT)
    page.add_init_script(LATE)
    page.goto(site.url)
    fill(page, arm_length="59", shoulder_breadth="39")
    waiting = poll(lambda: page.locator("#age").text_content() or "", lambda said: "kept" in said)
    page.evaluate("openKept()")
    poll(lambda: page.evaluate("JSON.stringify({ ...sessionStorage })"), lambda kept: '"59' in kept)
    assert page.locator("#age").text_content() == waiting


def test_unit_switch_converts_the_display_and_keeps_the_meaning(awake: Page) -> None:
    fill(awake, arm_length="61", shoulder_breadth="40,0")
    assert_shows(awake, answer(arm_length="61", shoulder_breadth="40,0"))
    awake.check('input[value="in"]')
    assert_shows(awake, answer("in", arm_length="61 cm", shoulder_breadth="40 cm"))
    assert (typed(awake, "arm_length"), typed(awake, "shoulder_breadth")) == ("24.02", "15.75")
    assert "inches" in (awake.locator('label[for="arm_length"]').text_content() or "")
    awake.check('input[value="cm"]')
    assert_shows(awake, answer(arm_length="61", shoulder_breadth="40"))
    assert (typed(awake, "arm_length"), typed(awake, "shoulder_breadth")) == ("61", "40,0"), "as typed, again"


def test_unit_switch_many_times_does_not_drift(awake: Page) -> None:
    fill(awake, arm_length="24 1/2", shoulder_breadth="16")
    for unit in ["in", "cm", "in", "cm", "in"]:
        awake.check(f'input[value="{unit}"]')
    assert typed(awake, "shoulder_breadth") == "6.3", "16 cm, typed as centimetres, seen in inches"
    fill(awake, arm_length="24 1/2", shoulder_breadth="16")
    for unit in ["cm", "in", "cm", "in"]:
        awake.check(f'input[value="{unit}"]')
    assert (typed(awake, "arm_length"), typed(awake, "shoulder_breadth")) == ("24 1/2", "16")
    assert_shows(awake, answer("in", arm_length="24 1/2", shoulder_breadth="16"))


def test_unit_switch_shows_the_example_in_the_other_unit(awake: Page) -> None:
    awake.check('input[value="in"]')
    request = view.example_request()
    fields = {key: f"{text} cm" if text else "" for key, text in request["fields"].items()}
    expected = answer("in", **fields)
    assert_shows(awake, expected, age="example", tag="Example")
    assert typed(awake, "arm_length") == ""


def test_own_unit_in_the_text_is_kept_as_typed(awake: Page) -> None:
    fill(awake, arm_length="61 cm", shoulder_breadth="16 in")
    assert_shows(awake, answer(arm_length="61 cm", shoulder_breadth="16 in"))
    awake.check('input[value="in"]')
    assert_shows(awake, answer("in", arm_length="61 cm", shoulder_breadth="16 in"))
    assert typed(awake, "arm_length") == "61 cm"
    reading = awake.locator('[data-field="arm_length"] [data-part="reading"]').text_content()
    assert reading == "= 24 in", "to the nearest eighth, as a tape shows it"
    awake.locator('[data-field="arm_length"] .step').nth(1).click()
    assert typed(awake, "arm_length") == "24.25", "a stepper goes on from the number, 24.016"


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_steppers(awake: Page, unit: str) -> None:
    awake.check(f'input[value="{unit}"]')
    field = view.form()[0]
    step = field[f"step_{unit}"]
    start = 61.3 if unit == "cm" else 24.1
    less, more = (awake.locator('[data-field="arm_length"] .step').nth(i) for i in (0, 1))
    fill(awake, arm_length=str(start), shoulder_breadth="40" if unit == "cm" else "16")
    more.click()
    up = float(typed(awake, "arm_length"))
    assert start < up <= start + step
    assert up / step == pytest.approx(round(up / step))
    less.click()
    less.click()
    down = float(typed(awake, "arm_length"))
    assert down == pytest.approx(up - 2 * step)
    assert_shows(awake, answer(unit, arm_length=str(down), shoulder_breadth="40" if unit == "cm" else "16"))


def test_stepper_leaves_words_alone(awake: Page) -> None:
    fill(awake, arm_length="long")
    awake.locator('[data-field="arm_length"] .step').nth(1).click()
    assert typed(awake, "arm_length") == "long"


BAD = {
    "empty": "",
    "blank": "   ",
    "words": "quite long",
    "1,5": "1,5",
    "slipped point": "6.1",
    "no point": "610",
    "negative": "-61",
    "zero": "0",
    "shorter than possible": "12 cm",
    "inf": "inf",
    "Infinity": "Infinity",
    "overflow": "1e999",
    "nan": "nan",
    "two numbers": "61 62",
    "wrong unit": "61 kg",
    "markup": "<img src=x onerror=alert(1)>",
    "huge number": "9" * 20_000,
    "huge word": "x" * 20_000,
    "other digits": "\u0000\u202e6\u03001",
}


@pytest.mark.parametrize("text", BAD.values(), ids=BAD)
def test_bad_input_is_explained_and_nothing_is_lost(awake: Page, text: str) -> None:
    fill(awake, **GOOD)
    good = answer(**GOOD)
    assert_shows(awake, good)
    fill(awake, arm_length=text)
    kept = typed(awake, "arm_length")
    verdict = answer(arm_length=kept, shoulder_breadth="40")
    assert not verdict["ok"]
    error = next(e for e in verdict["errors"] if e["field"] == "arm_length")
    said = poll(lambda: message(awake, "arm_length"), bool)
    assert said == f"{error['message']} {error['remedy']}"
    assert error["remedy"], "what to do"
    assert len(said) < 400, "a message is read at the rack"
    if text.strip() and len(text) < 40 and text.isprintable():
        assert text.strip()[:12] in said, "names what was given"
    if error["code"] == "out_of_range":
        assert len(re.findall(r"\d+(?:\.\d+)?", said.replace(text, "", 1))) >= 2, "names the range"
    assert typed(awake, "arm_length") == kept and typed(awake, "shoulder_breadth") == "40"
    assert awake.locator("#arm_length").get_attribute("aria-invalid") == "true"
    expected = as_shown(awake, good) | {"age": "old", "tag": "From your last good numbers"}
    assert poll(lambda: shown(awake), lambda now: now == expected) == expected
    assert awake.evaluate("document.documentElement.scrollWidth") <= 390

    fill(awake, arm_length="61 cm")
    assert_shows(awake, answer(arm_length="61 cm", shoulder_breadth="40"))
    assert message(awake, "arm_length") == ""
    assert awake.locator("#arm_length").get_attribute("aria-invalid") is None


@pytest.mark.parametrize("text", ["61 cm", "61,0", "61.0", " 61 ", "61cm", "24 in", '24"', "24 1/2 in"])
def test_unambiguous_input_is_accepted(awake: Page, text: str) -> None:
    response = answer(arm_length=text, shoulder_breadth="40")
    assert response["ok"], response["errors"]
    fill(awake, arm_length=text, shoulder_breadth="40")
    assert_shows(awake, response)
    assert message(awake, "arm_length") == ""


def test_a_wrong_optional_number_is_explained_where_it_stands(awake: Page) -> None:
    fill(awake, **GOOD)
    fill(awake, current_grip="7")
    verdict = answer(**GOOD, current_grip="7")
    error = next(e for e in verdict["errors"] if e["field"] == "current_grip")
    assert poll(lambda: message(awake, "current_grip"), bool) == f"{error['message']} {error['remedy']}"
    assert awake.locator("#current_grip").is_visible()


def test_first_number_wrong_keeps_the_example_marked_as_example(awake: Page) -> None:
    fill(awake, arm_length="6.1", shoulder_breadth="40")
    assert poll(lambda: message(awake, "arm_length"), bool)
    now = shown(awake)
    assert (now["age"], now["tag"]) == ("example", "Example")
    assert now["headline"] == as_shown(awake, example())["headline"]


def test_result_is_read_out_once_typing_rests(awake: Page) -> None:
    fill(awake, **GOOD)
    assert_shows(awake, answer(**GOOD))
    spoken = poll(lambda: awake.locator("#spoken").text_content() or "", lambda said: "Grip" in said)
    for number in answer(**GOOD)["headline"]:
        assert f"{number['label']} {number['value']}" in spoken
    assert awake.locator("#spoken").get_attribute("role") == "status"


def test_reload_keeps_what_was_typed(awake: Page) -> None:
    fill(awake, arm_length="62", shoulder_breadth="41,0")
    awake.check('input[value="in"]')
    fill(awake, current_grip="24 1/2 long")
    awake.click("a.to-cautions")
    awake.reload()
    wait_awake(awake)
    assert awake.locator('input[value="in"]').is_checked()
    assert typed(awake, "current_grip") == "24 1/2 long"
    assert poll(lambda: message(awake, "current_grip"), bool)
    fill(awake, current_grip="")
    assert_shows(awake, answer("in", arm_length="62 cm", shoulder_breadth="41 cm"))
    awake.check('input[value="cm"]')
    assert (typed(awake, "arm_length"), typed(awake, "shoulder_breadth")) == ("62", "41,0")


def test_several_pages_at_once_do_not_mix(open_page: Callable[..., Page], site: Site) -> None:
    bodies = [{"arm_length": "56", "shoulder_breadth": "36"}, {"arm_length": "70", "shoulder_breadth": "44"}]
    pages = [open_page() for _ in bodies]
    for page in pages:
        page.goto(site.url)
    for page, body in zip(pages, bodies, strict=True):
        fill(page, **body)
    for page, body in zip(pages, bodies, strict=True):
        wait_awake(page)
        assert_shows(page, answer(**body))


LENGTHS = """async () => {
  const { plainNumber, convert, show, namesItsUnit, nextStep } = await import('./page/shared/lengths.mjs');
  return {
    plain: ['61', ' 61,5 ', '24 1/2', '1/4', '', '61 cm', '1e2', '1.234,5', '-3', '1/0'].map(plainNumber),
    there: show(convert(61, 'cm', 'in'), 'in'), back: show(convert(24, 'in', 'cm'), 'cm'),
    named: ['61 cm', '24"', 'abc', '61', '24½'].map(namesItsUnit),
    steps: [nextStep(61, 0.5, 1), nextStep(61.2, 0.5, 1), nextStep(61.2, 0.5, -1), nextStep(0.5, 0.5, -1),
      nextStep(0.3, 0.1, 1)],
  };
}"""


def test_plain_numbers_for_display(awake: Page) -> None:
    got = awake.evaluate(LENGTHS)
    assert got["plain"] == [61, 61.5, 24.5, None, None, None, None, None, None, None]
    assert (got["there"], got["back"]) == ("24.02", "61")
    assert got["named"] == [True, True, True, False, False]
    assert got["steps"] == pytest.approx([61.5, 61.5, 61.0, 0.5, 0.4])
