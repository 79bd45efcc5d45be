"""The screen of sets: from the fit screen in one tap, a set in at most three, and nothing tapped is lost."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import trials
from tests.browser.screen import SIZES, fill, poll, wait_awake, wait_own

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Browser, BrowserContext, Page

    from tests.conftest import Site

OWN = {"arm_length": "62", "shoulder_breadth": "40", "current_grip": "60", "current_touch": "20"}
RECORD = "async () => { const s = await import('./page/store.mjs'); return s.read(await s.current()); }"


def record(page: Page) -> dict[str, Any]:
    return page.evaluate(RECORD)


def sets_of(page: Page) -> list[dict[str, Any]]:
    """The sets in the core's log, once every tap is folded into it."""
    kept = poll(lambda: record(page)["trials"], lambda t: t["log"] and not t["pending"])
    return json.loads(kept["log"])["sets"]


def hand_over(page: Page, site: Site) -> None:
    """Own numbers on the fit screen, then the one tap."""
    page.goto(site.url)
    wait_awake(page)
    fill(page, **OWN)
    wait_own(page)
    page.locator("#setup .gain:not([hidden])").wait_for()
    page.click("#try-in-sets")
    page.wait_for_url("**/sets.html")
    page.locator("#entry:not([hidden])").wait_for()


def log(page: Page, load: str = "", reps: str = "", reserve: str = "", pain: bool = False) -> None:
    """Type what is given, tap, and wait until the set stands in the record."""
    before = record(page)["trials"]["revision"], len(page.locator("#today li").all())
    for name, text in (("load", load), ("reps", reps), ("reserve", reserve)):
        if text:
            page.fill(f"#{name}", text)
    if pain:
        page.locator('input[name="pain"][value="yes"]').check(force=True)
    page.click("#log")
    assert poll(lambda: len(page.locator("#today li").all()), lambda n: n > before[1]) > before[1]
    page.wait_for_timeout(550)  # a second tap within half a second counts as the same


@pytest.fixture(scope="module")
def _bench(chromium: Browser, _served: Site) -> Iterator[tuple[Page, list[str]]]:
    width, height = SIZES["small phone"]
    page = chromium.new_context(viewport={"width": width, "height": height}).new_page()
    errors: list[str] = []
    page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: errors.append(str(error)))
    _served.start()
    hand_over(page, _served)
    wait_awake(page)
    yield page, errors
    page.context.close()


@pytest.fixture
def bench(_bench: tuple[Page, list[str]]) -> Iterator[Page]:
    """The screen of sets with the setups of the fit screen, at the smallest phone; the tests follow one another."""
    page, errors = _bench
    errors.clear()
    yield page
    assert not errors, f"the page logged errors: {errors}"


def test_setups_come_from_the_fit_screen_with_one_tap(bench: Page) -> None:
    kept = poll(lambda: record(bench)["trials"], lambda t: t["log"] and not t["pending"])
    candidates = json.loads(kept["log"])["candidates"]
    assert [c["present"] for c in candidates] == [True, False]
    assert candidates[0]["label"].startswith("Grip 60")
    assert all(c["index"] > 0 and c["stroke_m"] > 0 and c["mean_arm_m"] > 0 for c in candidates)


def test_entry_needs_no_scrolling_on_a_small_phone(bench: Page) -> None:
    """From the setup to the button, on 360 x 640; targets 48 px (common practice, no source)."""
    button, first = bench.locator("#log").bounding_box(), bench.locator("#now").bounding_box()
    assert button and first
    assert first["y"] >= 0
    assert button["y"] + button["height"] <= SIZES["small phone"][1]
    for target in bench.locator("#entry button:visible").all():
        box = target.bounding_box()
        assert box and box["height"] >= 47.5, target.text_content()


def test_wrong_entry_is_explained_and_kept(bench: Page) -> None:
    bench.fill("#load", "a lot")
    bench.fill("#reps", "5")
    bench.fill("#reserve", "2")
    bench.click("#log")
    assert poll(lambda: bench.locator("#entry-message").text_content(), bool)
    assert "a lot" in (bench.locator("#entry-message").text_content() or "")
    assert bench.input_value("#load") == "a lot"
    assert record(bench)["trials"]["pending"] == []


def test_a_repeated_set_takes_at_most_three_taps(bench: Page) -> None:
    """The first set is typed; every other one in the fair order is one tap while load and reps repeat."""
    log(bench, "100", "5", "2")
    taps = 0
    for _ in range(3):
        before = bench.locator("#today li").count()
        bench.click("#log")
        taps += 1
        assert poll(lambda n=before: bench.locator("#today li").count(), lambda now, n=before: now == n + 1)
        bench.wait_for_timeout(550)
    assert taps <= 3 * 3
    sets = sets_of(bench)
    keys = [one["candidate"] for one in sets]
    assert keys == list(trials.fair_order(("A", "B"), 4)), "A B B A: an even fatigue tells for neither"
    assert [(s["load_kg"], s["reps"], s["reps_in_reserve"]) for s in sets] == [(100, 5, 2)] * 4


def test_verdict_says_that_it_cannot_tell_yet(bench: Page) -> None:
    headline = bench.locator('#verdict[data-age="own"] [data-part="headline"]')
    headline.wait_for()
    assert (headline.text_content() or "").startswith("Cannot tell yet")
    shown = bench.locator('#verdict [data-part="standings"]').text_content() or ""
    assert "chance to be the best" in shown


def test_rest_clock_counts_from_the_instant_of_the_set(bench: Page) -> None:
    """It stores the instant, so it goes on over a locked screen and a reload."""

    def seconds() -> int:
        minutes, rest = (bench.locator("#rest").text_content() or "0:0").split(":")
        return 60 * int(minutes) + int(rest)

    before = poll(seconds, lambda now: now >= 1)
    bench.reload()
    bench.locator("#entry:not([hidden])").wait_for()
    assert poll(seconds, lambda now: now >= before) >= before


def test_edit_delete_and_undo(bench: Page) -> None:
    wait_awake(bench)
    bench.locator("#today li button").first.click()
    bench.fill("#reps", "6")
    bench.click("#log")
    assert poll(lambda: sorted(s["reps"] for s in sets_of(bench)), lambda r: r[-1] == 6) == [5, 5, 5, 6]
    bench.click("#undo")
    assert poll(lambda: [s["reps"] for s in sets_of(bench)], lambda r: 6 not in r) == [5] * 4
    bench.wait_for_timeout(550)
    bench.locator("#today li button").first.click()
    bench.click("#delete")
    assert poll(lambda: len(sets_of(bench)), lambda n: n == 3) == 3
    bench.click("#undo")
    assert poll(lambda: len(sets_of(bench)), lambda n: n == 4) == 4


def test_pain_takes_the_setup_off_until_a_person_puts_it_back(bench: Page) -> None:
    bench.wait_for_timeout(550)
    log(bench, pain=True)
    off = bench.locator("#off")
    off.wait_for()
    assert "clinician" in (off.text_content() or "")
    pained = next(s["candidate"] for s in sets_of(bench) if s["pain"])
    for _ in range(2):  # no further set brings it back
        log(bench)
    candidates = json.loads(record(bench)["trials"]["log"])["candidates"]
    assert [c["key"] for c in candidates if c["pain"] and not c["cleared"]] == [pained]
    assert all(s["candidate"] != pained for s in sets_of(bench)[-2:])
    bench.locator("#setups button", has_text="back").first.click()
    folded = poll(
        lambda: json.loads(record(bench)["trials"]["log"])["candidates"],
        lambda found: all(c["cleared"] for c in found if c["pain"]),
    )
    assert [c["key"] for c in folded if c["cleared"]] == [pained]


def test_pounds_are_shown_and_kilograms_kept(bench: Page) -> None:
    bench.locator('#mass-unit input[value="lb"]').check(force=True)
    assert poll(lambda: bench.input_value("#load"), lambda text: text.startswith("220")).startswith("220")
    bench.locator('#mass-unit input[value="kg"]').check(force=True)
    assert poll(lambda: bench.input_value("#load"), lambda text: text == "100") == "100"


def test_evidence_is_a_picture_words_a_table_and_a_file(bench: Page) -> None:
    picture = bench.locator("#evidence svg, .evidence svg").first
    assert picture.get_attribute("role") == "img"
    assert bench.locator("#evidence table tbody tr, .evidence table tbody tr").count() >= 4
    with bench.expect_download() as coming:
        bench.click("#csv")
    lines = coming.value.path().read_text(encoding="utf-8-sig").splitlines()
    assert len(lines) == 1 + len(sets_of(bench))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(bench: Page, scheme: Any) -> None:
    bench.emulate_media(color_scheme=scheme)
    found = Axe().run(bench).response["violations"]
    bench.emulate_media(color_scheme="light")
    assert [f"{one['id']}: {one['nodes'][0]['html']}" for one in found] == []


@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_wider_than_the_screen(bench: Page, size: str) -> None:
    width, height = SIZES[size]
    bench.set_viewport_size({"width": width, "height": height})
    assert bench.evaluate("document.documentElement.scrollWidth") <= width


# ---- trouble, each in a browser of its own


def crash(page: Page) -> None:
    """Kill the renderer, as a browser does for memory, between two taps."""
    session = page.context.new_cdp_session(page)
    with contextlib.suppress(Exception):  # it takes the connection with it
        session.send("Page.crash")


def test_nothing_is_lost_when_the_page_is_killed(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    page.allow_console_errors = True  # type: ignore[attr-defined]
    hand_over(page, site)
    context: BrowserContext = page.context
    page.evaluate("async () => { const s = await import('./page/store.mjs'); await s.keepGuest('Invented Ida'); }")
    page.reload()
    page.locator("#entry:not([hidden])").wait_for()
    log(page, "80", "4", "1")
    page.fill("#load", "82.5")
    page.fill("#reps", "3")
    crash(page)
    again = context.new_page()
    again.goto(site.url + "sets.html")
    again.locator("#today li").first.wait_for()
    assert [(s["load_kg"], s["reps"]) for s in sets_of(again)] == [(80, 4)]
    assert (again.input_value("#load"), again.input_value("#reps")) == ("82.5", "3")


def test_sets_are_logged_while_the_calculator_fails(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    page.allow_console_errors = True  # type: ignore[attr-defined]
    hand_over(page, site)
    page.route("**/*.wasm.packed", lambda route: route.abort())
    page.route("**/worker.mjs", lambda route: route.abort())
    page.context.set_offline(False)
    page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => Promise.all(all.map((one) => one.unregister())))")
    page.reload()
    page.locator("#entry:not([hidden])").wait_for()
    log(page, "90", "5", "2")
    assert len(record(page)["trials"]["pending"]) >= 1
    page.unroute("**/*.wasm.packed")
    page.unroute("**/worker.mjs")
    page.reload()
    wait_awake(page)
    assert [s["load_kg"] for s in sets_of(page)] == [90]


def test_what_sets_teach_leads_the_fit_screen_until_forgotten(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    hand_over(page, site)
    page.evaluate("""async () => {
      const s = await import('./page/store.mjs');
      await s.patch(await s.current(), { preference: null, preference_from: '' }, { preference: 0.9, preference_from: 'from 12 sets' });
    }""")
    page.goto(site.url)
    wait_awake(page)
    fill(page, **OWN)
    wait_own(page)
    said = page.locator("#learned:not([hidden])")
    said.wait_for()
    assert "from 12 sets" in (said.text_content() or "")
    leaning = page.locator('[data-key="touch"] [data-part="value"]').text_content()
    page.click("#learned button")
    said.wait_for(state="hidden")
    own = page.locator('[data-key="touch"] [data-part="value"]')
    assert poll(own.text_content, lambda now: now != leaning) != leaning
