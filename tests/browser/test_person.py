"""Whose numbers the fit screen holds: a guest's in the tab, a lifter's kept; and nothing of them is lost."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import roster
from shortlever.view.link import to_fragment
from tests.browser.screen import (
    SILENT,
    answer,
    ask,
    assert_shows,
    crash,
    fill,
    leave_room,
    poll,
    shown,
    typed,
    wait_awake,
    wait_own,
)
from tests.browser.test_store import EARLIER, KEPT

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

    from tests.conftest import Site

GOOD = {"arm_length": "61", "shoulder_breadth": "40"}
NAME = "Ada Invented"


@pytest.fixture
def device(open_context: Callable[..., BrowserContext], site: Site) -> Callable[..., Page]:
    """Open tabs of one device, by themselves without a calculator, as keeping needs none."""
    context = open_context()

    def start(path: str = "", calculator: bool = False, before: str = "") -> Page:
        page = context.new_page()
        if before:
            page.add_init_script(before)
        if not calculator:
            page.add_init_script(SILENT)
        page.goto(site.url + path)
        return page

    return start


def store(page: Page, script: str, **given: Any) -> Any:
    """The value of a script that calls the store from this page."""
    names = ", ".join(given)
    return page.evaluate(
        f"({{ {names} }}) => import('./page/shared/store.mjs').then(async (store) => ({script}))", given
    )


def keep_as(page: Page, name: str = NAME) -> str:
    page.fill("#keep-name", name)
    page.click("#keep")
    page.locator("#keep-said").get_by_text(f"{name} is kept on this device").wait_for()
    return str(store(page, "store.current()"))


def fields_of(page: Page, id: str) -> dict[str, str]:
    return dict(store(page, "(await store.read(id)).tapes.at(-1)?.fields ?? {}", id=id))


def test_nothing_is_kept_unless_asked_and_then_it_opens_in_a_new_tab(device: Callable[..., Page]) -> None:
    page = device(calculator=True)
    fill(page, **GOOD)
    wait_awake(page)
    wait_own(page)
    assert store(page, "store.list()") == [] and "nothing is kept" in page.inner_text("#whose-said")
    assert device().input_value("#arm_length") == "", "another tab sees nothing of a guest"
    id = keep_as(page)
    assert fields_of(page, id) == GOOD
    assert "browser" in poll(lambda: page.inner_text("#keep-said"), lambda said: "browser" in said), (
        "its answer"
    )
    fill(page, arm_length="62,5")
    assert poll(lambda: fields_of(page, id)["arm_length"], lambda now: now == "62,5") == "62,5"
    assert_shows(page, answer(arm_length="62,5", shoulder_breadth="40"), tag=NAME)
    assert store(page, "(await store.list()).length") == 1
    later = device(calculator=True)
    wait_awake(later)
    assert_shows(later, answer(arm_length="62,5", shoulder_breadth="40"), tag=NAME)
    assert later.locator("#first").is_hidden(), "cautions are read once for a lifter"
    assert NAME in later.inner_text("#whose-said") and later.locator("#keep-form").is_hidden()


def test_a_long_text_pasted_into_a_number_never_costs_the_file(device: Callable[..., Page]) -> None:
    page = device()
    fill(page, **GOOD)
    id = keep_as(page)
    page.focus("#arm_length")
    page.keyboard.insert_text("7" * 300)
    assert poll(lambda: fields_of(page, id)["arm_length"], lambda now: "77" in now)
    record = store(page, "await store.read(id)", id=id)
    file = {
        "kind": roster.KIND,
        "version": roster.VERSION,
        "exported": record["created"],
        "lifters": [record],
    }
    assert roster.from_text(json.dumps(file))["lifters"] == [record]


def test_a_tape_dated_after_today_takes_what_is_typed(device: Callable[..., Page]) -> None:
    """From a place further east, or of a clock that once was wrong: what is typed is what opens again."""
    page = device()
    fill(page, **GOOD)
    id = keep_as(page)
    place = "tapes/2999-01-01/fields/arm_length"
    store(page, "store.patch(id, { [place]: '61' }, { [place]: '66' })", id=id, place=place)
    page.reload()
    assert poll(lambda: typed(page, "arm_length"), lambda now: now == "66") == "66"
    fill(page, arm_length="64")
    assert poll(lambda: fields_of(page, id)["arm_length"], lambda now: now == "64") == "64"
    page.reload()
    assert poll(lambda: typed(page, "arm_length"), bool) == "64"


def test_a_name_is_asked_for(device: Callable[..., Page]) -> None:
    page = device()
    page.click("#keep")
    page.locator("#keep-said").get_by_text("needs a name").wait_for()
    assert store(page, "store.list()") == []


def test_next_lifter_leaves_one_who_is_kept_and_starts_with_an_empty_screen(
    device: Callable[..., Page],
) -> None:
    page = device()
    fill(page, **GOOD)
    id = keep_as(page)
    page.click("#next-lifter")
    assert f"{NAME} stays on this device" in page.inner_text("#next-sure")
    page.click("#next-yes")
    assert poll(lambda: typed(page, "arm_length"), lambda now: now == "") == ""
    page.locator("#whose-said").get_by_text("A guest").wait_for()
    assert store(page, "store.current()") == "guest" and fields_of(page, id) == GOOD
    fill(page, arm_length="70")
    assert poll(lambda: fields_of(page, "guest"), bool) == {"arm_length": "70"}
    assert fields_of(page, id) == GOOD, "the next one's numbers are not theirs"


def test_a_shared_device_starts_with_a_guest(device: Callable[..., Page]) -> None:
    page = device()
    fill(page, **GOOD)
    keep_as(page)
    store(page, "store.set('shared', true)")
    other = device()
    other.locator("#whose-said").get_by_text("A guest").wait_for()
    assert typed(other, "arm_length") == ""
    page.reload()
    assert poll(lambda: typed(page, "arm_length"), bool) == "61", "this tab goes on with its lifter"


def test_a_tape_of_another_day_is_a_new_entry(device: Callable[..., Page]) -> None:
    page = device()
    old = {
        "date": "2020-03-02",
        "unit": "in",
        "fields": {"arm_length": "24", "span": "70"},
        "choices": {"comfort": "careful"},
    }
    id = store(page, "store.create({ name: 'Ada', tapes: [old] })", old=old)["id"]
    store(page, "store.setCurrent(id)", id=id)
    page.reload()
    assert poll(lambda: typed(page, "arm_length"), bool) == "24"
    assert page.locator('[data-choice-of="comfort"] input[value="careful"]').is_checked()
    page.check('input[value="cm"]')
    assert typed(page, "arm_length") == "61"
    assert store(page, "(await store.read(id)).tapes", id=id) == [old], (
        "looking in another unit changes nothing"
    )
    fill(page, arm_length="63")
    tapes = poll(lambda: store(page, "(await store.read(id)).tapes", id=id), lambda now: len(now) == 2)
    assert tapes[0] == old
    assert tapes[1]["unit"] == "in" and tapes[1]["fields"] == {"arm_length": "63\u00a0cm", "span": "70"}
    assert tapes[1]["choices"] == old["choices"]
    page.reload()
    assert poll(lambda: typed(page, "arm_length"), bool) == "63"


def test_two_tabs_with_one_lifter_take_over_what_the_other_typed(device: Callable[..., Page]) -> None:
    one = device()
    fill(one, **GOOD)
    id = keep_as(one)
    two = device()
    assert poll(lambda: typed(two, "arm_length"), bool) == "61"
    fill(one, arm_length="62")
    assert poll(lambda: typed(two, "arm_length"), lambda now: now == "62") == "62"
    fill(two, shoulder_breadth="41")
    assert poll(lambda: typed(one, "shoulder_breadth"), lambda now: now == "41") == "41"
    assert fields_of(one, id) == {"arm_length": "62", "shoulder_breadth": "41"}
    assert one.locator("#conflicts").is_hidden() and two.locator("#conflicts").is_hidden()


@pytest.mark.parametrize("chosen", ["62", "63"])
def test_two_tabs_that_typed_differently_show_both_and_a_person_chooses(
    device: Callable[..., Page], chosen: str
) -> None:
    one = device()
    fill(one, **GOOD)
    id = keep_as(one)
    two = device(before="delete globalThis.BroadcastChannel")  # it does not hear of the other
    assert poll(lambda: typed(two, "arm_length"), bool) == "61"
    fill(one, arm_length="62")
    assert poll(lambda: fields_of(one, id)["arm_length"], lambda now: now == "62") == "62"
    fill(two, arm_length="63")
    fill(two, shoulder_breadth="41")
    shown_here = two.locator("#conflicts li")
    shown_here.get_by_text("62").first.wait_for()
    assert "63" in shown_here.inner_text() and "Arm length" in shown_here.inner_text()
    assert typed(two, "arm_length") == "63", "what is typed stays"
    both = {"arm_length": "62", "shoulder_breadth": "41"}
    assert poll(lambda: fields_of(one, id), lambda now: now == both) == both, "nothing wins by being later"
    one.reload()
    assert "63" in one.locator("#conflicts li").inner_text(), "and the other tab shows it too"
    two.get_by_role("button", name=f"Keep “{chosen}”").click()
    assert poll(lambda: two.locator("#conflicts li").count(), lambda n: n == 0) == 0
    assert poll(lambda: fields_of(one, id)["arm_length"], lambda now: now == chosen) == chosen
    assert typed(two, "arm_length") == chosen
    fill(two, arm_length="64")
    assert poll(lambda: fields_of(one, id)["arm_length"], lambda now: now == "64") == "64"


DEAF = """{
  const Heard = BroadcastChannel;
  globalThis.BroadcastChannel = class extends Heard {
    addEventListener(kind, call) {
      super.addEventListener(kind, (event) => { if (!globalThis.deaf) call(event); });
    }
  };
  globalThis.deaf = true;
}"""


@pytest.mark.parametrize("chosen", ["62", "63"])
def test_what_is_settled_in_one_tab_stays_settled_in_the_other(
    device: Callable[..., Page], chosen: str
) -> None:
    one = device()
    fill(one, **GOOD)
    id = keep_as(one)
    two = device(before=DEAF)
    assert poll(lambda: typed(two, "arm_length"), bool) == "61"
    fill(one, arm_length="62")
    assert poll(lambda: fields_of(one, id)["arm_length"], lambda now: now == "62") == "62"
    fill(two, arm_length="63")
    two.locator("#conflicts li").wait_for()
    two.evaluate("globalThis.deaf = false")
    one.locator("#conflicts li").wait_for()
    one.get_by_role("button", name=f"Keep “{chosen}”").click()
    assert poll(lambda: typed(two, "arm_length"), lambda now: now == chosen) == chosen
    assert poll(lambda: two.locator("#conflicts li").count(), lambda n: n == 0) == 0
    fill(two, shoulder_breadth="41")
    assert poll(lambda: fields_of(two, id)["shoulder_breadth"], lambda now: now == "41") == "41"
    assert store(two, "(await store.read(id)).conflicts", id=id) == []
    assert fields_of(two, id)["arm_length"] == typed(one, "arm_length") == chosen


def test_deleted_in_another_tab_the_numbers_stay_as_a_guests(device: Callable[..., Page]) -> None:
    one = device()
    fill(one, **GOOD)
    id = keep_as(one)
    other = device("lifters.html")
    store(other, "store.remove(id)", id=id)
    one.locator("#whose-said").get_by_text("A guest").wait_for()
    assert typed(one, "arm_length") == "61"
    assert poll(lambda: fields_of(one, "guest"), bool) == GOOD
    assert store(one, "store.list()") == []


def test_a_full_device_says_so_keeps_the_typing_and_offers_a_file(
    device: Callable[..., Page], site: Site
) -> None:
    page = device()
    leave_room(page, site, 200_000)
    fill(page, **GOOD)
    id = keep_as(page)
    quota = leave_room(page, site, 1)
    page.evaluate(FILL_UP)
    long = "6" + "2" * 9
    fill(page, arm_length=long)
    banner = page.locator("#store-trouble")
    banner.wait_for()
    assert banner.get_attribute("role") == "alert" and "full" in banner.inner_text()
    page.click("#next-lifter")
    assert "on this screen only" in page.inner_text("#next-sure")
    page.click("#next-no")
    with page.expect_download() as got:
        page.click("#store-save")
    file = json.loads(got.value.path().read_text(encoding="utf-8"))
    assert file["lifters"][0]["tapes"][-1]["fields"]["arm_length"] == long, "with what is not kept yet"
    page.reload()
    assert poll(lambda: typed(page, "arm_length"), bool) == long, "the typing is in the tab"
    banner.wait_for()
    quota.send("Storage.overrideQuotaForOrigin", {"origin": site.url.rstrip("/")})
    page.click("#store-retry")
    assert poll(lambda: fields_of(page, id)["arm_length"], lambda now: now == long) == long
    assert poll(banner.is_hidden, bool)


FILL_UP = """async () => { // a browser gives out its room in large pieces: use up the one it has given
  const store = await import('./page/shared/store.mjs');
  for (let n = 0, full = false; !full; n += 1) {
    await store.set(`filler ${n}`, 'x'.repeat(20_000)).catch(({ code }) => { full = code === 'full'; });
  }
  for (let n = 0, full = false; !full; n += 1) {
    await store.set(`crumb ${n}`, 'x').catch(({ code }) => { full = code === 'full'; });
  }
}"""
NO_STORAGE = """
  Object.defineProperty(globalThis, 'indexedDB', { value: undefined });
  const get = () => { throw new DOMException('no', 'SecurityError'); };
  Object.defineProperty(globalThis, 'sessionStorage', { get });
"""


def test_without_storage_the_screen_works_and_keeping_says_why_not(device: Callable[..., Page]) -> None:
    page = device(before=NO_STORAGE, calculator=True)
    fill(page, **GOOD)
    wait_awake(page)
    wait_own(page)
    assert_shows(page, answer(**GOOD))
    page.fill("#keep-name", NAME)
    page.click("#keep")
    page.locator("#keep-said").get_by_text("keeps nothing").wait_for()
    assert typed(page, "arm_length") == "61"


def test_killed_while_typing_the_last_numbers_are_there(device: Callable[..., Page]) -> None:
    page = device()
    fill(page, **GOOD)
    id = keep_as(page)
    page.focus("#arm_length")
    page.keyboard.press("End")
    page.keyboard.type("3333")
    last = poll(lambda: fields_of(page, id)["arm_length"], lambda now: now == "613333")
    crash(page)
    again = device()
    assert poll(lambda: typed(again, "arm_length"), bool) == last == "613333"


def test_numbers_kept_by_an_earlier_version_open(device: Callable[..., Page]) -> None:
    page = device("evidence.html")
    page.evaluate(KEPT % json.dumps(json.dumps(EARLIER)))
    page.goto(page.url.replace("evidence.html", ""))
    assert poll(lambda: typed(page, "shoulder_breadth"), bool) == "15 1/2"
    assert page.locator('input[value="in"]').is_checked() and typed(page, "arm_length") == "24.21"
    assert "My numbers" in page.inner_text("#whose-said")
    page.check('input[value="cm"]')
    assert typed(page, "arm_length") == "61,5", "as typed"


def test_a_link_never_changes_a_lifter_who_is_kept(device: Callable[..., Page]) -> None:
    page = device(calculator=True)
    fill(page, **GOOD)
    wait_awake(page)
    wait_own(page)
    id = keep_as(page)
    fragment = ask({"arm_length": "70", "shoulder_breadth": "44"}, want="link")["fragment"]
    page.evaluate("(f) => { location.hash = f; }", fragment)
    assert_shows(page, answer(arm_length="70", shoulder_breadth="44"), tag="Received")
    page.locator("#whose-said").get_by_text("A guest").wait_for()
    assert fields_of(page, id) == GOOD
    page.locator("#received").get_by_text(f"The numbers of {NAME} are safe").wait_for()
    fill(page, arm_length="72")
    page.click("#received-back")
    assert_shows(page, answer(**GOOD), tag=NAME)
    assert fields_of(page, id) == GOOD and store(page, "store.current()") == id

    # a printed code opens the one who is kept here, and on another device what it holds
    tape = {
        "date": "2031-05-09",
        "unit": "cm",
        "choices": {},
        "fields": {"arm_length": "66", "shoulder_breadth": "41"},
    }
    bo = store(page, "store.create({ name: 'Bo', tapes: [tape] })", tape=tape)["id"]
    held = {"unit": "cm", "fields": {"arm_length": "70", "shoulder_breadth": "44"}}
    page.evaluate("(f) => { location.hash = f; }", to_fragment(held, bo))
    assert_shows(page, answer(arm_length="66", shoulder_breadth="41"), tag="Bo")
    assert store(page, "store.current()") == bo and fields_of(page, id) == GOOD
    page.evaluate("(f) => { location.hash = f; }", to_fragment(held, "f" * 32))
    assert_shows(page, answer(arm_length="70", shoulder_breadth="44"), tag="Received")

    # one tap or two keys to the next lifter
    page.click("#received-back")
    assert_shows(page, answer(arm_length="66", shoulder_breadth="41"), tag="Bo")
    page.locator("#along", has_text="Bo").wait_for()
    page.click("#along-on")
    page.locator("#along strong", has_text=NAME).wait_for()
    assert_shows(page, answer(**GOOD), tag=NAME)
    page.keyboard.press("Alt+PageUp")
    page.locator('#along strong:text-is("Bo")').wait_for()
    assert_shows(page, answer(arm_length="66", shoulder_breadth="41"), tag="Bo")
    page.goto(page.url.split("#")[0] + "sets.html")
    page.locator('#along strong:text-is("Bo")').wait_for()
    page.click("#along-back")
    page.locator(f'#along strong:text-is("{NAME}")').wait_for()
    assert store(page, "store.current()") == id


def test_a_kept_setup_goes_along(device: Callable[..., Page]) -> None:
    page = device(calculator=True)
    page.click("#keep-setup")
    page.locator("#keep-said").get_by_text("no setup").wait_for()
    fill(page, **GOOD)
    wait_awake(page)
    wait_own(page)
    grip = shown(page)["headline"][0]["value"]
    page.click("#keep-setup")
    page.locator("#kept-setups li").get_by_text(f"Grip {grip} cm").wait_for()
    id = keep_as(page)
    [setup] = store(page, "(await store.read(id)).lifts.bench.setups", id=id)
    assert round(100 * setup["grip_m"], 1) == float(grip) and f"Grip {grip} cm" in setup["text"]
