"""The screen of sets: from the fit screen in one tap, a set in at most three, and nothing tapped is lost."""

from __future__ import annotations

import csv
import io
import itertools
import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import trials, view
from shortlever.units import POUND_KG
from shortlever.view import sets as core_sets
from tests.browser.screen import (
    FREEZE,
    LATER,
    SIZES,
    crash,
    fill,
    poll,
    resize,
    wait_awake,
    wait_own,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from tests.conftest import Site

OWN = {"arm_length": "62", "shoulder_breadth": "40", "current_grip": "60", "current_touch": "20"}
SETUPS: list[dict[str, Any]] = [
    {"label": "Grip 60.0 cm, touch 20.0 cm", "index": 5.0, "stroke_m": 0.36, "mean_arm_m": 0.11,
     "present": True},
    {"label": "Grip 71.5 cm, touch 17.5 cm", "index": 5.0, "stroke_m": 0.34, "mean_arm_m": 0.14},
    {"label": "Grip 65.0 cm, touch 18.0 cm", "index": 5.0, "stroke_m": 0.35, "mean_arm_m": 0.12},
    {"label": "Grip 81.0 cm, touch 19.0 cm", "index": 4.9, "stroke_m": 0.33, "mean_arm_m": 0.15},
]  # fmt: skip
Change = dict[str, Any]

RECORD = """async () => {
  const s = await import('./page/shared/store.mjs');
  const { ofLift } = await import('./page/shared/record.mjs');
  return ofLift(await s.read(await s.current()));
}"""
START = """async (changes) => {
  const s = await import('./page/shared/store.mjs');
  for (const details of document.querySelectorAll('details')) details.open = false;
  await s.setCurrent('guest');
  await s.remove('guest');
  for (const change of changes) await s.addChange('guest', change);
  dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }));
}"""
LOCAL_DAY = "new Intl.DateTimeFormat('sv-SE').format(new Date())"


def add(count: int) -> list[Change]:
    return [{"what": "add_candidate", "at": "2020-05-01T10:00:00Z", "candidate": c} for c in SETUPS[:count]]


def a_set(key: str, load: str = "100", reps: str = "5", day: str = "2020-05-01", **more: Any) -> Change:
    entry = {"candidate": key, "load": load, "unit": "kg", "reps": reps, "reserve": "2"} | more
    return {"what": "add_set", "at": f"{day}T18:00:00Z", "set": entry}


def record(page: Page) -> dict[str, Any]:
    """What is kept of the bench press of whose turn it is."""
    return page.evaluate(RECORD)


def folded(page: Page) -> dict[str, Any]:
    """The core's log, once every tap is folded into it."""
    kept = poll(lambda: record(page)["trials"], lambda t: t["log"] and not t["pending"])
    assert not kept["pending"]
    return json.loads(kept["log"])


def sets_of(page: Page) -> list[dict[str, Any]]:
    return folded(page)["sets"]


def judged(page: Page, *, count: int) -> None:
    """The verdict of that many setups stands on the screen, and it is the newest one."""
    rows = page.locator('#verdict[data-age="own"] [data-part="standings"] > div')
    assert poll(rows.count, lambda n: n == count) == count


def start(page: Page, *changes: Change) -> None:
    """A guest with this trial on the screen."""
    page.evaluate(START, list(changes))
    wanted = sum(c["what"] == "add_candidate" for c in changes)
    if wanted:
        assert poll(lambda: len(folded(page)["candidates"]), lambda n: n == wanted) == wanted
    shown = "own" if wanted else "none"
    page.locator(f'html[data-trial="{shown}"]').wait_for()


def log(page: Page, **fields: str) -> None:
    """Type what is given, tap once, and wait until the set is stored and the next one may be tapped."""
    for name, text in fields.items():
        page.fill(f"#{name}", text)
    page.evaluate(LATER)
    told = page.locator("#said").inner_text()
    page.click("#log")
    assert "is logged" in poll(page.locator("#said").inner_text, lambda now: now != told)
    page.evaluate(LATER)


def choose(page: Page, name: str, value: str) -> None:
    page.locator(f'#entry label:has(input[name="{name}"][value="{value}"])').click()


@pytest.fixture(scope="module")
def _bench(open_shared: Callable[..., Page], _served: Site) -> Page:
    page = open_shared()
    resize(page, "small phone")
    page.goto(_served.url + "sets.html")
    wait_awake(page)
    return page


@pytest.fixture
def bench(_bench: Page, no_errors: None) -> Page:
    """The screen of sets on the smallest phone, its calculator ready; each test starts a trial of its own."""
    resize(_bench, "small phone")
    _bench.emulate_media(color_scheme="light")
    _bench.evaluate(LATER)  # no tap of the last test is the first half of a double tap; its clock goes on
    return _bench


# ---- before there is a trial


def test_without_setups_it_says_where_they_come_from_and_shows_an_example(bench: Page) -> None:
    start(bench)
    assert bench.locator("#none").is_visible() and bench.locator("#entry").is_hidden()
    assert bench.locator("#none a").get_attribute("href") == "./#trade"
    verdict = bench.locator('#verdict[data-age="example"]')
    assert "invented lifter" in verdict.inner_text()
    example = json.loads(view.answer(json.dumps(core_sets.example_request())))
    bench.reload()
    bench.locator('#verdict[data-age="example"]').wait_for()
    assert bench.locator('[data-part="why"]').inner_text() == example["why"]
    assert bench.locator("#evidence svg circle.ev-set").count() == 8 + 1, "eight sets, and one in the key"
    wait_awake(bench)


# ---- the entry


def test_first_set_is_typed_and_a_repeat_is_one_tap(bench: Page) -> None:
    """The fair order gives the setup, so that a set takes one tap while load and reps repeat."""
    start(bench, *add(2))
    log(bench, load="100", reps="5", reserve="2")
    for _ in range(3):
        log(bench)
    done = sets_of(bench)
    assert [s["candidate"] for s in done] == list(trials.fair_order(("A", "B")))
    assert [(s["load_kg"], s["reps"], s["reps_in_reserve"]) for s in done] == [(100, 5, 2)] * 4
    assert {s["date"] for s in done} == {bench.evaluate(LOCAL_DAY)}, "the person's own day"
    assert all(s["touched"] and not s["pain"] for s in done)


def test_one_more_rep_or_the_next_load_is_two_taps(bench: Page) -> None:
    start(bench, *add(2), a_set("A"))
    bench.click('[data-field="reps"] [data-step="1"]')
    log(bench)
    bench.click('[data-field="load"] [data-step="1"]')
    log(bench)
    choose(bench, "touched", "no")
    log(bench)
    assert [(s["load_kg"], s["reps"], s["touched"]) for s in sets_of(bench)[1:]] == [
        (100, 6, True), (102.5, 6, True), (102.5, 6, False)
    ]  # fmt: skip
    assert bench.locator('#entry input[name="touched"][value="yes"]').is_checked(), "asked anew for each set"


def test_a_double_tap_is_one_set(bench: Page) -> None:
    start(bench, *add(2), a_set("A"))
    bench.evaluate(LATER)
    bench.evaluate(FREEZE)
    bench.dblclick("#log")
    assert poll(lambda: len(sets_of(bench)), lambda n: n == 2) == 2
    assert bench.locator("#today li").count() == 1


def test_steps_start_from_the_bare_bar_and_end_at_the_limits(bench: Page) -> None:
    start(bench, *add(2))
    values = []
    taps = (("load", 1, 2), ("load", -1, 1), ("reps", -1, 6), ("reserve", -1, 4), ("reps", 1, 1))
    for name, sign, times in taps:
        for _ in range(times):
            bench.click(f'[data-field="{name}"] [data-step="{sign}"]')
        values.append(bench.input_value(f"#{name}"))
    assert values == ["22.5", "20", "1", "0", "2"]
    bench.focus("#load")
    bench.keyboard.press("ArrowUp")
    assert bench.input_value("#load") == "22.5", "by keyboard too"
    bench.keyboard.press("Enter")
    assert bench.locator("#today li").count() == 0, "the key that ends typing does not log"


WRONG = [
    ({"load": ""}, "1 to 600 kg"),
    ({"load": "a lot"}, "“a lot” is not a weight"),
    ({"load": "700"}, "700 kg is outside 1 to 600 kg"),
    ({"load": "2000 lb"}, "2000 lb is outside 2.2 to 1322.8 lb"),
    ({"reps": "5.5"}, "“5.5” is not a whole number from 1 to 20"),
    ({"reps": "0"}, "“0” is not a whole number from 1 to 20"),
    ({"reserve": "11"}, "“11” is not a number from 0 to 10"),
    ({"reps": "15", "reserve": "8"}, "15 done and 8 in reserve make more than 20"),
]


def test_wrong_entry_is_explained_and_kept(bench: Page) -> None:
    start(bench, *add(2), a_set("A"))
    for fields, said in WRONG:
        typed = {"load": "100", "reps": "5", "reserve": "2"} | fields
        for name, text in typed.items():
            bench.fill(f"#{name}", text)
        bench.click("#log")
        assert said in poll(bench.locator("#entry-message").inner_text, lambda now, want=said: want in now)
        bench.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        assert said in bench.locator("#entry-message").inner_text(), "it stays when the screen is drawn again"
        assert {name: bench.input_value(f"#{name}") for name in typed} == typed
        trial = record(bench)["trials"]
        assert trial["pending"] == [] and len(json.loads(trial["log"])["sets"]) == 1, "nothing stored"
        change = a_set("A", **{"reps": "5"} | fields)
        (refused,) = core_sets.fold(trials.from_json(trial["log"]), [change])[1]
        assert refused["error"]["field"] in fields, "the core refuses it too"


def test_pounds_are_shown_and_kilograms_kept(bench: Page) -> None:
    start(bench, *add(2), a_set("A"))
    bench.locator('#mass-unit input[value="lb"]').check(force=True)
    assert poll(lambda: bench.input_value("#load"), lambda text: text == "220.5") == "220.5"
    log(bench, load="225")
    log(bench, load="102,5 kg")
    assert [s["load_kg"] for s in sets_of(bench)[1:]] == pytest.approx([225 * POUND_KG, 102.5], abs=1e-5)
    row = bench.locator("#today li").last
    assert poll(row.inner_text, lambda text: "max" in text).startswith("B\n225 × 5")
    judged(bench, count=2)
    level = bench.locator('[data-part="level"]')
    assert "lb" in poll(level.inner_text, lambda text: "lb" in text), "once the sets in pounds are judged"
    bench.locator('#mass-unit input[value="kg"]').check(force=True)
    assert poll(lambda: bench.input_value("#load"), lambda text: text == "102.5") == "102.5"


# ---- what comes next


def test_what_comes_next_is_made_up_for_after_another_choice(bench: Page) -> None:
    start(bench, *add(2))
    choose(bench, "candidate", "B")
    log(bench, load="100")
    order = bench.locator('#now [data-part="order"]')
    assert order.inner_text().split() == list("ABBA")
    assert order.locator("s").all_inner_texts() == ["B"] and order.locator(".here").inner_text() == "A"


# ---- undo, edit, delete


def test_undo_takes_back_every_entry(bench: Page) -> None:
    start(bench, *add(2))
    log(bench, load="100")
    log(bench)
    for left in (1, 0):
        bench.click("#undo")
        assert poll(lambda: len(sets_of(bench)), lambda n, left=left: n == left) == left
    assert bench.locator("#said").inner_text() == "Taken back: set 1."


def test_a_set_is_edited_and_deleted_and_the_entry_waits_meanwhile(bench: Page) -> None:
    start(bench, *add(2), a_set("A", "90"), a_set("B", "90"))
    bench.fill("#load", "95")
    bench.click("#earlier summary")
    bench.locator("#earlier li button").last.click()
    assert bench.input_value("#load") == "90" and bench.locator("#log").inner_text() == "Save set 1"
    choose(bench, "candidate", "B")
    bench.fill("#reps", "6")
    bench.click("#log")
    assert poll(lambda: sets_of(bench)[0]["reps"], lambda n: n == 6) == 6
    first = sets_of(bench)[0]
    found = first["number"], first["candidate"], first["date"], first["load_kg"]
    assert found == (1, "B", "2020-05-01", 90)
    assert bench.input_value("#load") == "95", "what was typed before is back"
    bench.locator("#earlier li button").first.click()
    bench.click("#delete")
    assert poll(lambda: [s["number"] for s in sets_of(bench)], lambda n: n == [1]) == [1]
    bench.click("#undo")
    assert poll(lambda: [s["number"] for s in sets_of(bench)], lambda n: n == [1, 2]) == [1, 2]
    bench.locator("#earlier li button").first.click()
    bench.click("#cancel")
    assert bench.input_value("#load") == "95"
    bench.click("#earlier summary")


# ---- pain


def test_pain_takes_the_setup_off_until_a_person_puts_it_back(bench: Page) -> None:
    start(bench, *add(3), a_set("A"))
    choose(bench, "pain", "yes")
    choose(bench, "candidate", "C")
    assert "licensed clinician" in bench.locator("#pain-now").inner_text()
    assert "with pain" in bench.locator("#log").inner_text()
    log(bench)
    off = bench.locator("#off")
    assert poll(off.is_visible, bool) and "licensed clinician" in off.inner_text()
    assert bench.locator("#entry .letters input").count() == 2, "nothing suggests it any more"
    for _ in range(2):
        log(bench)
    assert [s["candidate"] for s in sets_of(bench)] == ["A", "C", "B", "A"]
    of_c = bench.locator('#verdict [data-key="C"]')
    assert "off the list" in poll(of_c.inner_text, lambda said: "off the list" in said)
    back = bench.locator('#setups button:has-text("Put C back")').first
    back.click()
    sure = bench.locator("#setups .sure")
    assert sure.is_visible() and folded(bench)["candidates"][2]["cleared"] is False, "asked first"
    sure.locator("button").click()
    assert poll(lambda: folded(bench)["candidates"][2]["cleared"], bool)
    assert poll(off.is_visible, lambda seen: not seen) is False
    assert bench.locator("#entry .letters input").count() == 3


# ---- the verdict and the evidence


def test_verdict_evidence_and_file_are_the_cores(bench: Page, tmp_path: Path) -> None:
    changes = [*add(2), a_set("A"), a_set("B", "104"), a_set("B", "104", touched=False), a_set("A", "98")]
    start(bench, *changes)
    judged(bench, count=2)
    kept = record(bench)["trials"]["log"]
    request = {"want": "sets/verdict", "log": kept, "pending": [], "unit": "kg"}
    expected = json.loads(view.answer(json.dumps(request | {"date": bench.evaluate(LOCAL_DAY)})))
    assert expected["headline"] == "Cannot tell yet"

    def text(selector: str) -> str:
        return bench.locator(selector).inner_text()

    assert poll(lambda: text('[data-part="why"]'), lambda now: now == expected["why"]) == expected["why"]
    assert text('[data-part="headline"]') == expected["headline"]
    assert text('[data-part="needed"]') == expected["needed"]
    assert text('[data-part="telling"]') == expected["telling"]["reason"]
    for s in expected["standings"]:
        said = text(f'#verdict [data-key="{s["key"]}"]')
        assert s["label"] in said and s["chance"] in said and s["gain_between"] in said
    svg = bench.locator("#evidence .drawing svg")
    assert svg.get_attribute("role") == "img"
    assert svg.locator("desc").text_content() == expected["figure"]["text"]
    assert svg.locator("circle").count() == 4
    bench.click("#evidence summary")
    assert text('#evidence [data-part="text"]') == expected["figure"]["text"]
    rows = [row.locator("th, td").all_inner_texts() for row in bench.locator("#evidence tbody tr").all()]
    assert [row[2] for row in rows] == [s["chance"] for s in expected["standings"]]
    bench.click("#evidence summary")
    with bench.expect_download() as coming:
        bench.click("#csv")
    coming.value.save_as(tmp_path / "sets.csv")
    assert (tmp_path / "sets.csv").read_bytes().decode() == expected["csv"]
    assert len(list(csv.DictReader(io.StringIO(expected["csv"])))) == 4


def test_one_rep_max_follows_the_chosen_formula(bench: Page) -> None:
    start(bench, *add(2), a_set("A", "100", "5", reserve="0"))
    bench.click("#earlier summary")
    row = bench.locator("#earlier li")
    for formula in ("epley", "brzycki"):
        bench.select_option("#formula", formula)
        wanted = f"max {view.verdict.mass(trials.estimate_1rm(100, 5, 0, formula), 'kg', 1)}"
        said = poll(row.inner_text, lambda text, wanted=wanted: wanted in text)
        assert wanted in said and re.search(r"9 in 10: \d+ to \d+ kg", said), "and its error"
        assert trials.FORMULAS[formula].source in bench.inner_text("#formula-source")
    bench.click("#earlier summary")


def decided() -> list[Change]:
    changes = add(2)
    for day in range(1, 9):
        for key in trials.fair_order("AB", session=day - 1):
            changes.append(a_set(key, "106" if key == "B" else "100", day=f"2020-05-{day:02d}"))
    return changes


def test_a_decided_trial_goes_on_with_the_best(bench: Page) -> None:
    start(bench, *decided())
    headline = bench.locator('[data-part="headline"]')
    assert poll(headline.inner_text, lambda text: text == "B it is") == "B it is"
    bench.click("#new-trial")
    assert bench.locator('#new-trial-sure input[value="B"]').is_checked()
    bench.click("#new-trial-yes")
    assert poll(lambda: len(folded(bench)["sets"]), lambda n: n == 0) == 0
    assert [(c["key"], c["present"]) for c in folded(bench)["candidates"]] == [("B", True)]
    assert bench.locator("#one").is_visible(), "it says that a second setup is needed"
    bench.click("#undo")
    assert poll(lambda: len(folded(bench)["sets"]), lambda n: n == 32) == 32


def test_a_finished_trial_prompts_no_more(bench: Page) -> None:
    """Its end in place of the next set; a set may be logged all the same, and the winner is gone on with."""
    start(bench, *decided())
    finish = bench.locator("#finish")
    finish.wait_for()
    assert finish.locator("h2").inner_text() == "B it is"
    assert "Go on with B." in finish.locator("p").inner_text()
    assert bench.locator("#entry").is_hidden() and bench.locator('[data-part="telling"]').is_hidden()
    assert bench.locator('#verdict [data-key="B"]').inner_text().find("better than A") > 0
    bench.click("#earlier summary")
    bench.locator("#earlier button").first.click()
    assert bench.locator("#entry").is_visible() and finish.is_hidden(), "a set may be mended still"
    bench.click("#cancel")
    finish.wait_for()
    bench.get_by_role("button", name="Log another set anyway").click()
    log(bench)
    assert len(sets_of(bench)) == 33 and finish.is_hidden(), "who goes on is not stopped at every set"
    bench.click("#undo")
    assert poll(lambda: len(sets_of(bench)), lambda n: n == 32) == 32
    bench.click("#earlier summary")


def test_the_winner_is_gone_on_with_in_one_tap(bench: Page) -> None:
    start(bench, *decided())
    bench.get_by_role("button", name="Go on with B").click()
    kept = poll(lambda: folded(bench)["candidates"], lambda now: len(now) == 1)
    assert [(c["key"], c["present"]) for c in kept] == [("B", True)]
    assert bench.locator("#one").is_visible() and bench.locator("#finish").is_hidden()
    bench.click("#undo")
    bench.locator("#finish").wait_for()


def undecided() -> list[Change]:
    """Twenty-four sets whose scatter tells nothing."""
    loads = {key: itertools.cycle(["104", "96", "96", "104"]) for key in "AB"}
    changes = add(2)
    for day in range(1, 7):
        for key in trials.fair_order("AB", session=day - 1):
            changes.append(a_set(key, next(loads[key]), day=f"2020-05-{day:02d}"))
    return changes


def test_sets_used_up_end_a_trial_that_may_go_on(bench: Page) -> None:
    start(bench, *undecided())
    finish = bench.locator("#finish")
    finish.wait_for()
    assert finish.locator("h2").inner_text() == "Could not be told apart"
    assert "more comfortable" in finish.locator("p").inner_text()
    bench.get_by_role("button", name="12 more sets").click()
    finish.wait_for(state="hidden")
    assert folded(bench)["sets_each"] == 18 and bench.locator("#entry").is_visible()
    needed = bench.locator('[data-part="needed"]')
    assert "12 at most" in poll(needed.inner_text, lambda text: "12 at most" in text)


def test_the_margin_is_the_lifters_own(bench: Page) -> None:
    start(bench, *add(2), *[a_set(key) for key in "ABBABAABABBA"])
    bench.locator("#finish").wait_for()
    assert bench.inner_text("#finish h2") == "Too close to matter"
    bench.select_option("#margin", "1")
    bench.locator("#finish").wait_for(state="hidden")
    assert folded(bench)["margin_percent"] == 1
    bench.select_option("#margin", "3")
    bench.locator("#finish").wait_for()
    assert "less than 3 %" in poll(lambda: bench.inner_text('[data-part="why"]'), lambda text: "3 %" in text)


def test_an_unfair_order_is_said_at_the_entry(bench: Page) -> None:
    start(bench, *add(2), a_set("A"), a_set("A"))
    said = bench.locator("#unfair")
    said.wait_for()
    assert "A came earlier in the session than B" in said.inner_text()
    start(bench, *add(2), a_set("A"), a_set("B"))
    judged(bench, count=2)
    said.wait_for(state="hidden")


def test_nothing_in_kilograms_or_chances_before_the_first_set(bench: Page) -> None:
    lean = {**SETUPS[1], "index": 1.02 * SETUPS[0]["index"]}
    start(bench, add(1)[0], {**add(2)[1], "candidate": lean})
    judged(bench, count=2)
    said = bench.inner_text("#verdict")
    assert "leans toward B" in said and not re.search(r"\d ?(?:kg|lb|%)", said)
    assert bench.locator("#verdict meter").count() == 0 and bench.locator("#evidence").is_hidden()


def test_what_sets_teach_is_kept_until_forgotten(bench: Page) -> None:
    start(bench, *decided())
    bench.locator("#learned").wait_for()
    assert "a shorter range of motion" in bench.locator("#learned").inner_text()
    kept = record(bench)
    assert 0 <= kept["preference"] < 0.5 and kept["preference_from"] == "from 32 sets"
    bench.click("#forget")
    assert poll(lambda: record(bench)["preference"], lambda p: p is None) is None
    bench.evaluate("dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))")
    judged(bench, count=2)
    assert record(bench)["preference"] is None and bench.locator("#learned").is_hidden(), "not learned again"
    bench.get_by_role("button", name="Log another set anyway").click()
    log(bench)
    assert poll(lambda: record(bench)["preference_from"], lambda text: text == "from 33 sets")
    assert record(bench)["preference"] is not None, "until there is more to learn from"


# ---- the rest clock, the screen kept on


def test_rest_clock_counts_from_the_instant_of_the_set(page: Page, site: Site) -> None:
    """It holds the instant, so it goes on over a locked screen, a reload, and an undo."""
    noon = datetime(2031, 5, 9, 12, tzinfo=UTC)

    def rests(text: str, spoken: str) -> None:
        clock = page.locator("#rest")
        assert poll(clock.inner_text, lambda now: now == text) == text
        assert clock.get_attribute("datetime") == spoken

    page.clock.set_fixed_time(noon)
    page.goto(site.url + "sets.html")
    page.evaluate(START, add(2))
    log(page, load="100")
    rests("0:00", "PT0S")
    page.clock.set_fixed_time(noon + timedelta(seconds=65))
    rests("1:05", "PT65S")
    page.clock.set_fixed_time(noon + timedelta(seconds=95))
    page.reload()
    rests("1:35", "PT95S")
    log(page)
    rests("0:00", "PT0S")
    page.click("#undo")
    rests("1:35", "PT95S")
    page.clock.set_fixed_time(noon + timedelta(hours=1))
    page.reload()
    page.locator("#rest", has_text="–").wait_for()
    assert page.get_attribute("#rest", "datetime") is None, "no rest any more"


WAKE_LOCK = """(refuse) => {
  globalThis.asked = 0;
  globalThis.locks = [];
  const request = async () => {
    globalThis.asked += 1;
    if (refuse) throw new DOMException('no', 'NotAllowedError');
    const lock = new EventTarget();
    lock.release = async () => lock.dispatchEvent(new Event('release'));
    globalThis.locks.push(lock);
    return lock;
  };
  Object.defineProperty(navigator, 'wakeLock', { configurable: true, value: { request } });
}"""


def test_screen_is_kept_on_by_a_tap_and_again_when_seen_again(bench: Page) -> None:
    start(bench, *add(2))
    bench.evaluate(WAKE_LOCK, False)
    bench.click("#awake")
    assert poll(lambda: bench.evaluate("asked"), lambda n: n == 1) == 1
    assert bench.get_attribute("#awake", "aria-pressed") == "true"
    bench.evaluate("locks[0].release()")  # as a browser does when the page is hidden
    bench.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert poll(lambda: bench.evaluate("asked"), lambda n: n == 2) == 2
    bench.click("#awake")
    assert bench.get_attribute("#awake", "aria-pressed") == "false"
    bench.evaluate(WAKE_LOCK, True)
    bench.click("#awake")
    said = bench.locator("#said")
    assert "did not keep the screen on" in poll(said.inner_text, lambda text: "did not" in text)
    assert bench.get_attribute("#awake", "aria-pressed") == "false"


# ---- what the core refuses, a full device, another tab


def test_a_refused_change_is_told_kept_and_can_be_entered_again(bench: Page) -> None:
    start(bench, *add(2), a_set("Z", "97.5", "4"), a_set("A"))
    notice = bench.locator("#refused .notice")
    notice.wait_for()
    assert "Set of Z: 97.5 kg × 4" in notice.inner_text() and len(sets_of(bench)) == 1, "the rest counts"
    bench.reload()
    notice.wait_for()
    wait_awake(bench)
    notice.locator("button").first.click()
    assert (bench.input_value("#load"), bench.input_value("#reps")) == ("97.5", "4")
    assert notice.count() == 0


def test_a_full_device_is_told_and_the_entry_stays(bench: Page) -> None:
    start(bench, *add(2), a_set("A"))
    bench.fill("#load", "105")
    bench.evaluate("""() => {
      globalThis.setItem = Storage.prototype.setItem;
      Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };
    }""")
    bench.click("#log")
    trouble = bench.locator("#store-trouble")
    trouble.wait_for()
    bench.evaluate("() => { Storage.prototype.setItem = globalThis.setItem; }")
    assert "Not stored" in trouble.inner_text() and bench.input_value("#load") == "105"
    assert bench.locator("#log").inner_text() == "Log set 2: B", "nothing is claimed"
    log(bench)
    assert trouble.is_hidden()
    assert [s["load_kg"] for s in sets_of(bench)] == [100, 105]


def test_a_damaged_log_is_left_as_it_is(bench: Page) -> None:
    start(bench, *add(2))
    damage = """async () => {
      const s = await import('./page/shared/store.mjs');
      const { trials } = (await s.read('guest')).lifts.bench;
      await s.fold('guest', trials.revision, '{"kind": "other"}', 0);
      dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }));
    }"""
    bench.evaluate(damage)
    trouble = bench.locator("#store-trouble")
    trouble.wait_for()
    assert "holds no trials" in trouble.inner_text()
    assert record(bench)["trials"]["log"] == '{"kind": "other"}'
    start(bench, *add(2))


# ---- seen and reached

BOXES = """(selector) => [...document.querySelectorAll(selector)].filter((e) => e.checkVisibility())
  .map((e) => {
  const { left, top, right, bottom } = e.getBoundingClientRect();
  return [left, top, right, bottom];
})"""
TARGETS = "#entry input[type=text], #entry button, #entry .choice label"
EVERY_TARGET = f"{TARGETS}, button, .choice label, select, summary, header a, .way, .to-top"


def test_whole_entry_shares_one_screen(bench: Page) -> None:
    """From the setup to the button, with pain reported before, on every size; nothing to scroll between."""
    start(bench, *add(4), a_set("A"), a_set("B", pain=True))
    assert bench.locator("#off").is_visible()
    for width, height in SIZES.values():
        bench.set_viewport_size({"width": width, "height": height})
        bench.evaluate("scrollTo({ top: 0, behavior: 'instant' })")
        boxes = bench.evaluate(BOXES, f"#off, #now, #rest, {TARGETS}")
        assert len(boxes) > 18
        for left, top, right, bottom in boxes:
            assert left >= 0 and top >= 0 and right <= width and bottom <= height, (width, height)
        keys = bench.evaluate(BOXES, TARGETS)
        for i, one in enumerate(keys):
            for other in keys[:i]:
                apart = max(other[0] - one[2], one[0] - other[2], other[1] - one[3], one[1] - other[3])
                assert apart >= 8 - 0.01, (width, height, one, other)


def test_targets_are_large_and_nothing_is_wider_than_the_screen(bench: Page) -> None:
    start(bench, *add(4), a_set("A"), a_set("B", pain=True))
    judged(bench, count=4)
    bench.locator("details").evaluate_all("all => { for (const e of all) e.open = true; }")
    for width, height in [*SIZES.values(), (320, 640), (195, 422)]:  # the last: at 200 %
        bench.set_viewport_size({"width": width, "height": height})
        for left, top, right, bottom in bench.evaluate(BOXES, EVERY_TARGET):
            assert right - left >= 47.9 and bottom - top >= 47.9, (width, left, top, right, bottom)
        assert bench.evaluate("document.documentElement.scrollWidth") <= width
    bench.locator("details").evaluate_all("all => { for (const e of all) e.open = false; }")


def test_numbers_are_readable_at_arms_length(bench: Page) -> None:
    start(bench, *add(2), a_set("A"))
    for selector in ("#load", "#reps", "#reserve", "#now .letter", "#verdict .big"):
        size = bench.locator(selector).evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
        assert size >= 28, selector


@pytest.mark.parametrize("state", ["none", "pain", "edit"])
def test_axe_finds_nothing(bench: Page, state: str) -> None:
    if state == "none":
        start(bench)
    else:
        start(bench, *add(3), a_set("A"), a_set("B", touched=False), a_set("C", pain=True))
        judged(bench, count=3)
    if state == "edit":
        bench.click("#earlier summary")
        bench.locator("#earlier li button").first.click()
    schemes: tuple[Any, ...] = ("light", "dark")
    for scheme in schemes:
        bench.emulate_media(color_scheme=scheme)
        found = Axe().run(bench).response["violations"]
        assert [f"{scheme}, {one['id']}: {one['nodes'][0]['html']}" for one in found] == []
    if state == "edit":
        bench.click("#cancel")
        bench.click("#earlier summary")


# ---- from the fit screen and back; whose sets they are


def fitted(page: Page, site: Site) -> None:
    page.goto(site.url)
    wait_awake(page)
    fill(page, **OWN)
    wait_own(page)
    page.locator("#setup .gain:not([hidden])").wait_for()


def test_setups_come_from_the_fit_screen_and_sets_lead_it_back(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page()
    fitted(page, site)
    page.locator("#trade-at").fill("0")
    page.locator("#trade-back:not([hidden])").wait_for()
    page.click("#try-in-sets")
    page.wait_for_url("**/sets.html")
    page.locator("#entry:not([hidden])").wait_for()
    candidates = folded(page)["candidates"]
    assert [c["present"] for c in candidates] == [True, False, False], "present, suggested, picked"
    assert candidates[0]["label"] == "Grip 60.0 cm, touch 20.0 cm"
    assert all(c["index"] > 0 and c["stroke_m"] > 0 and c["mean_arm_m"] > 0 for c in candidates)
    teach = """async (preference) => {
      const s = await import('./page/shared/store.mjs');
      await s.lean(await s.read('guest'), preference, 'from 12 sets');
    }"""
    page.evaluate(teach, 0.95)
    page.goto(site.url)
    wait_awake(page)
    wait_own(page)
    learned = page.locator("#learned:not([hidden])")
    learned.wait_for()
    assert "a shorter moment arm" in learned.inner_text() and "from 12 sets" in learned.inner_text()
    page.click("#trade-back")
    grip = page.locator('[data-key="grip"] [data-part="value"]')

    def wanted(**more: Any) -> str:
        request = {"unit": "cm", "fields": OWN} | more
        return str(json.loads(view.answer(json.dumps(request)))["headline"][0]["value"])

    assert wanted(preference=0.95) != wanted()
    assert poll(grip.inner_text, lambda now: now == wanted(preference=0.95)) == wanted(preference=0.95)
    learned.locator("button").click()
    assert poll(grip.inner_text, lambda now: now == wanted()) == wanted()
    assert learned.count() == 0 and record(page)["preference"] is None
    page.click("#next-lifter")
    page.click("#next-yes")
    page.goto(site.url + "sets.html")
    page.locator('html[data-trial="none"]').wait_for()
    assert record(page)["trials"] == {"log": "", "pending": [], "revision": 0}, "a guest's sets are gone"


def test_nothing_is_lost_when_the_page_is_killed(open_page: Callable[..., Page], site: Site) -> None:
    """A guest gets a name, sets are logged, the page dies right after the last tap, and is opened again."""
    page = open_page()
    page.allow_console_errors = True  # type: ignore[attr-defined]
    page.goto(site.url + "sets.html")
    wait_awake(page)
    start(page, *add(2))
    log(page, load="80", reps="4")
    assert page.locator("#guest-note").is_visible()
    page.click("#keep-guest")
    page.fill("#keep-name", "Invented Ida")
    page.locator("#keep-form button").click()
    page.locator('#whose:has-text("Invented Ida")').wait_for()
    assert page.locator("#guest-note").is_hidden() and page.locator("#today li").count() == 1
    other = page.context.new_page()
    other.goto(site.url + "sets.html")
    other.locator("#today li").first.wait_for()
    log(page, load="82.5")
    assert poll(other.locator("#today li").count, lambda n: n == 2) == 2, "another tab shows it at once"
    other.close()
    page.click('[data-field="load"] [data-step="1"]')
    page.fill("#reps", "3")
    choose(page, "touched", "no")
    page.evaluate(FREEZE)  # the button says so for half a second only
    page.click("#log")
    page.locator('#log:has-text("Logged")').wait_for()
    page.click('[data-field="reps"] [data-step="1"]')
    page.fill("#reserve", "0")
    crash(page)
    again = page.context.new_page()
    again.goto(site.url + "sets.html")
    again.locator("#today li").nth(2).wait_for()
    assert [(s["load_kg"], s["reps"], s["touched"]) for s in sets_of(again)] == [
        (80, 4, True), (82.5, 4, True), (85, 3, False)
    ]  # fmt: skip
    assert [again.input_value(f"#{name}") for name in ("load", "reps", "reserve")] == ["85", "4", "0"]
    assert again.locator("#rest").get_attribute("datetime"), "the rest goes on"


def test_a_guests_sets_outlive_a_crash_of_the_tab(open_page: Callable[..., Page], site: Site) -> None:
    """The tab dies right after the tap, and its address is opened in it again."""
    page = open_page()
    page.goto(site.url + "sets.html")
    page.evaluate(START, add(2))
    log(page, load="80", reps="4")
    assert "gone when this tab closes" in page.inner_text("#guest-note"), "and closing it is not a crash"
    page.fill("#load", "82.5")
    page.evaluate(FREEZE)  # the button says so for half a second only
    page.click("#log")
    page.locator('#log:has-text("Logged")').wait_for()
    page.fill("#reps", "3")
    crash(page)
    assert page.context.browser
    browser = page.context.browser.new_browser_cdp_session()
    tabs = browser.send("Target.getTargets")["targetInfos"]
    (dead,) = [tab["targetId"] for tab in tabs if tab["url"].startswith("chrome://crash")]
    tab = browser.send("Target.attachToTarget", {"targetId": dead, "flatten": False})["sessionId"]
    heard: list[Any] = []
    browser.on("Target.receivedMessageFromTarget", lambda said: heard.append(json.loads(said["message"])))

    def ask(method: str, **given: Any) -> Any:
        """The crashed tab's answer: Playwright itself gives such a tab up."""
        message = {"id": len(heard) + 1, "method": method, "params": given}
        browser.send("Target.sendMessageToTarget", {"sessionId": tab, "message": json.dumps(message)})
        return poll(
            lambda: browser.send("Target.getTargets") and heard, lambda all: len(all) == message["id"]
        )

    def seen() -> list[str]:
        """The loads of the list, the newest first, and the reps of the entry."""
        script = """[...document.querySelectorAll('#today .done'), document.querySelector('#reps')]
          .map((one) => one?.value ?? one?.textContent ?? '')"""
        return ask("Runtime.evaluate", expression=script, returnByValue=True)[-1]["result"]["result"].get(
            "value"
        )

    ask("Page.navigate", url=site.url + "sets.html")
    wanted = ["82.5 × 4", "80 × 4", "3"]
    assert poll(seen, lambda now: now == wanted) == wanted
    browser.send("Target.detachFromTarget", {"sessionId": tab})


def test_sets_are_logged_while_the_calculator_fails(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page(service_workers="block")
    page.allow_console_errors = True  # type: ignore[attr-defined]
    page.route("**/worker.mjs", lambda route: route.abort())
    page.goto(site.url + "sets.html")
    page.locator("#trouble").wait_for()
    page.evaluate(START, add(2))
    log(page, load="90")
    log(page)
    choose(page, "pain", "yes")
    log(page)
    assert page.locator("#off").is_visible()
    page.click("#undo")
    page.locator("#off").wait_for(state="hidden")
    page.reload()
    page.locator("#trouble").wait_for()
    assert page.locator("#today li").count() == 2 and len(record(page)["trials"]["pending"]) == 6
    assert "B" in page.locator("#log").inner_text() and page.locator("#waiting").is_hidden()
    page.unroute("**/worker.mjs")
    page.click("#retry")
    wait_awake(page)
    assert [(s["candidate"], s["load_kg"]) for s in sets_of(page)] == [("A", 90), ("B", 90)]
    judged(page, count=2)
