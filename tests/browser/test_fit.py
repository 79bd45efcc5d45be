"""The fit screen: what moves, what is chosen, what is handed on, and what is forgotten."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import __version__, view
from shortlever.person.tape import MEASURES
from site_src.make import ground
from tests.browser.screen import (
    FILL,
    READ_SCREEN,
    WATCH,
    answer,
    ask,
    assert_shows,
    at_rest,
    example,
    fill,
    message,
    next_lifter,
    poll,
    read_cautions,
    shown,
    typed,
    wait_awake,
    wait_own,
)

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

ASKED = """{
  globalThis.asked = [];
  const { postMessage } = Worker.prototype;
  Worker.prototype.postMessage = function (message) {
    asked.push(message.request);
    postMessage.call(this, message);
  };
}"""
GOOD = {"arm_length": "61", "shoulder_breadth": "40"}
HOLD_TYPING = """() => {
  const { setTimeout } = globalThis;
  globalThis.typingRests = [];
  globalThis.setTimeout = (work, ms, ...given) =>
    ms === 120 ? typingRests.push(work) : setTimeout(work, ms, ...given);
}"""
PASTE_AT_TIDYING = """(fragment) => { // a link is pasted, and before the browser tells of it the timer comes
  const { setTimeout } = globalThis;
  globalThis.setTimeout = (work, ms, ...given) => {
    if (ms !== 500) return setTimeout(work, ms, ...given);
    globalThis.setTimeout = setTimeout;
    return setTimeout(() => { location.hash = fragment; work(); }, 0);
  };
}"""
FULL = GOOD | {"chest_arched": "28", "current_grip": "60", "current_touch": "20"}


def own(page: Page, **fields: str) -> dict[str, Any]:
    fields = fields or GOOD
    fill(page, **fields)
    assert_shows(page, answer(**fields))
    return answer(**fields)


def choose(page: Page, key: str, value: str) -> None:
    """Tap a choice, as soon as nothing lies over it and it stands still."""
    page.locator(f'[data-choice-of="{key}"] label:has(input[value="{value}"])').click()


def text(page: Page, selector: str) -> str:
    return (page.locator(selector).text_content() or "").strip()


# ---- the cautions


def test_cautions_stand_once_before_the_first_own_setup(awake: Page) -> None:
    fill(awake, **GOOD)
    first = awake.locator("#first")
    first.wait_for()
    assert awake.locator("#setup").is_hidden() and awake.locator("#tape").is_visible()
    said = first.inner_text()
    for caution, source in view.cautions():
        assert caution in said and (source or "") in said
    assert awake.evaluate(READ_SCREEN)["age"] == "example", "not shown before they are read"
    awake.focus("#shoulder_breadth")
    awake.keyboard.press("ArrowUp")
    assert typed(awake, "shoulder_breadth") == "40.5", "typing goes on meanwhile"
    at_rest(awake)
    awake.click("#first-read")
    expected = answer(arm_length="61", shoulder_breadth="40.5")
    assert poll(lambda: text(awake, '[data-key="grip"] [data-part="value"]'), bool)
    assert_shows(awake, expected)
    fill(awake, arm_length="62")
    assert_shows(awake, answer(arm_length="62", shoulder_breadth="40.5"))
    assert first.is_hidden(), "once"
    awake.reload()
    wait_awake(awake)
    assert_shows(awake, answer(arm_length="62", shoulder_breadth="40.5"))
    assert first.is_hidden(), "once for this lifter, also after a reload"
    next_lifter(awake)
    fill(awake, **GOOD)
    first.wait_for()


# ---- the figure

PARTS = """() => Object.fromEntries([...document.querySelectorAll('.drawing [data-part]')].map((e) => [
  e.dataset.part,
  ['points', 'cx', 'cy', 'x1', 'y1', 'x2', 'y2'].map((n) => e.getAttribute(n)).filter(Boolean).join(' ')
    || e.textContent,
]))"""


def numbers(texts: Any) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", str(texts))]


def test_bar_moves_along_the_rep_in_every_view(awake: Page) -> None:
    figure = own(awake, **FULL)["figure"]
    assert [v["key"] for v in figure["views"]] == ["side", "head", "above"]
    for seen in figure["views"]:
        awake.locator(f'.views input[value="{seen["key"]}"]').check(force=True)
        awake.locator("#rep-row").fill("0")
        awake.locator("#rep [data-move='1']").click()
        for row in (1, 8, len(figure["rows"]) - 1):
            awake.locator("#rep-row").fill(str(row))
            parts = awake.evaluate(PARTS)
            assert {"arm"} <= parts.keys() & seen["rows"][row].keys()
            for name, where in seen["rows"][row].items():
                if name not in parts:
                    continue  # not every view draws every part
                assert numbers(parts[name]) == numbers(where), (seen["key"], row, name)
            if "moment-arm-text" in parts:
                assert parts["moment-arm-text"] == figure["row_arms"][row]
            assert text(awake, "#rep-said") == figure["rows"][row]
            assert awake.get_attribute("#rep-row", "aria-valuetext") == figure["rows"][row]
    assert awake.locator(".drawing .fig-ghost").count(), "the present setup behind"
    assert awake.locator(".drawing .fig-limit").count(), "the flare limit"
    last = len(figure["rows"]) - 1
    awake.locator("#rep [data-move='1']").click()
    assert awake.input_value("#rep-row") == str(last)
    awake.focus("#rep-row")
    awake.keyboard.press("ArrowLeft")
    assert text(awake, "#rep-said") == figure["rows"][last - 1]
    fill(awake, arm_length="62")
    rows = answer(**FULL | {"arm_length": "62"})["figure"]["rows"]
    assert poll(lambda: text(awake, "#rep-said"), lambda said: said == rows[last - 1]) == rows[last - 1]


# ---- why


def test_intervals_parts_marks_and_the_next_number(awake: Page) -> None:
    response = own(awake, **FULL)
    doubt = ask(FULL, want="doubt")
    texts = poll(
        lambda: {
            e.get_attribute("data-interval"): e.text_content() for e in awake.locator("[data-interval]").all()
        },
        lambda now: all(now.values()),
    )
    assert texts == {key: doubt["intervals"][key] for key in texts} and len(texts) == 5
    assert awake.locator('[data-part="parts"] li').all_text_contents() == response["gain"]["parts"]
    marks = awake.locator("#marks div").all()
    assert [(m.locator("dt").text_content(), m.locator("dd").text_content()) for m in marks] == [
        (m["label"], m["text"]) for m in response["marks"]
    ]
    assert text(awake, '[data-part="next-text"]') == doubt["next"]["message"]
    assert awake.locator('[data-part="next-drawing"] svg').is_visible()
    awake.click("#next-enter")
    assert awake.evaluate("document.activeElement.id") == doubt["next"]["key"]
    fill(awake, arm_length="61.5")
    gone = poll(lambda: text(awake, '[data-interval="grip"]'), lambda said: said == "")
    assert gone == "", "no old interval beside a new number"


def test_what_the_page_brings_is_not_worked_out_again(open_page: Callable[..., Page], site: Site) -> None:
    """The example's intervals take Python seconds on a phone, and they stand in the page as it was built."""
    page = open_page()
    page.add_init_script(WATCH)
    page.add_init_script(ASKED)
    page.goto(site.url)
    wait_awake(page)
    at_rest(page)
    doubt = ask(view.example_request()["fields"], want="doubt")
    asked = [json.loads(request).get("want") for request in page.evaluate("asked")]
    assert set(asked) == {None}, "only the example's setup, which the page needs for all else"
    assert text(page, '[data-interval="grip"]') == doubt["intervals"]["grip"]


def test_the_answer_to_the_example_never_passes_for_the_lifters_own(
    open_page: Callable[..., Page], site: Site
) -> None:
    """It comes while the first number is being typed, and is dropped; what is typed is asked at the rest."""
    page = open_page()
    page.add_init_script(WATCH)
    page.goto(site.url)
    wait_awake(page)
    at_rest(page)
    page.evaluate(HOLD_TYPING)
    page.evaluate(f"(fields) => {{ document.querySelector('#next-yes').click(); ({FILL})(fields); }}", GOOD)
    at_rest(page)
    assert page.locator("#first").is_hidden() and shown(page)["age"] == "example"
    page.evaluate("typingRests.at(-1)()")
    assert_shows(page, answer(**GOOD))


def test_the_next_lifter_sees_nothing_of_the_last_ones_intervals(awake: Page) -> None:
    own(awake, **FULL)
    theirs = ask(FULL, want="doubt")
    grip, said = '[data-interval="grip"]', '[data-part="next-text"]'
    assert poll(lambda: text(awake, grip), bool) == theirs["intervals"]["grip"]
    next_lifter(awake)
    example_doubt = ask(view.example_request()["fields"], want="doubt")
    wanted = example_doubt["intervals"]["grip"]
    assert wanted != theirs["intervals"]["grip"], "the test can tell them apart"
    assert text(awake, grip) in ("", wanted), "not for a moment"
    assert poll(lambda: text(awake, grip), lambda now: now == wanted) == wanted
    assert text(awake, said) == example_doubt["next"]["message"]


def test_every_number_has_its_drawing(awake: Page) -> None:
    awake.click("#more > summary")
    for field in view.form():
        box = awake.locator(f'[data-field="{field["key"]}"]')
        hint, drawing = box.locator(".hint"), box.locator("svg.tape-drawing")
        assert drawing.is_hidden() and hint.get_attribute("aria-expanded") == "false"
        hint.click()
        assert drawing.is_visible() and hint.get_attribute("aria-expanded") == "true"
        assert drawing.get_attribute("aria-label") == f"{field['label']}: {field['hint']}"
        assert drawing.locator(".d-tape, .d-stop").count(), "where the tape goes"
        if field["key"] in MEASURES:
            steps = box.locator(".taping li")
            assert steps.count() and all(steps.nth(i).inner_text() for i in range(steps.count()))
            for use in box.locator("use").all():
                assert (
                    use.evaluate("e => document.querySelector(e.getAttribute('href')).childElementCount") > 1
                )


# ---- trade-off


def test_trade_off_by_tap_keys_and_list(awake: Page) -> None:
    trade = own(awake, **FULL)["tradeoff"]
    last = len(trade["choices"]) - 1

    def assert_chosen(at: int) -> None:
        choice = {key: trade["choices"][at][key] for key in ("grip_m", "touch_m")}
        expected = ask(FULL, choice=choice)
        assert expected["chosen"]
        assert_shows(awake, expected, tag="Your choice")
        assert text(awake, "#trade-said") == trade["choices"][at]["text"]
        assert awake.input_value("#trade-at") == str(at)
        headline = [f"{n['value']} {n['unit']}" for n in expected["headline"][:2]]
        assert trade["choices"][at]["text"].startswith(f"Grip {headline[0]}, touch {headline[1]}")

    awake.locator(f'.trade-drawing [data-choice="{1}"]').click()
    assert_chosen(1)
    awake.focus("#trade-at")
    awake.keyboard.press("ArrowLeft")
    assert_chosen(0)
    awake.locator("#trade .in-words > summary").click()
    awake.locator("#trade-list button").nth(2).click()
    assert_chosen(2)
    assert awake.evaluate("document.activeElement.dataset.choice") == "2", "focus stays"
    assert awake.locator("#trade-list button").all_text_contents() == [c["text"] for c in trade["choices"]]
    awake.reload()
    wait_awake(awake)
    assert_chosen(2)
    awake.click("#trade-back")
    assert_shows(awake, answer(**FULL))
    assert awake.locator("#trade-back").is_hidden() and last >= 3


# ---- gear, rules, weight


def test_rules_gear_and_more_numbers_change_the_setup(awake: Page) -> None:
    own(awake)
    awake.click("#more > summary")
    choose(awake, "comfort", "careful")
    assert_shows(awake, ask(GOOD, comfort="careful"))
    choose(awake, "rules", "none")
    choose(awake, "bar", "training")
    choose(awake, "sex", "female")
    chosen = {"comfort": "careful", "rules": "none", "bar": "training", "sex": "female"}
    assert_shows(awake, ask(GOOD, **chosen))
    fill(awake, bench_height="45", body_mass="80", stature="175")
    more = GOOD | {"bench_height": "45", "body_mass": "80", "stature": "175"}
    assert_shows(awake, ask(more, **chosen))
    awake.check('input[value="in"]')
    assert typed(awake, "body_mass") == "176" and "pounds" in text(awake, 'label[for="body_mass"]')
    named = {k: f"{v} {'kg' if k == 'body_mass' else 'cm'}" for k, v in more.items()}
    assert_shows(awake, ask(named, "in", **chosen))
    awake.locator('[data-field="body_mass"] .step').nth(1).click()
    assert typed(awake, "body_mass") == "177"
    awake.reload()
    wait_awake(awake)
    assert awake.locator('[data-choice-of="comfort"] input[value="careful"]').is_checked()


# ---- link

GOLDEN = {  # these links are out in the world and must keep opening: version 1, and 2 which names its lift
    "v=1&u=cm&a=61&b=40&k={}": ({"arm_length": "61", "shoulder_breadth": "40"}, "cm", {}),
    "v=1&u=in&a=24+1%2F2&b=15.75&h=11&c=careful&k={}": (
        {"arm_length": "24 1/2", "shoulder_breadth": "15.75", "chest_arched": "11"},
        "in",
        {"comfort": "careful"},
    ),
    "v=1&u=cm&a=58%2C5&b=37%2C5&g=60&t=20&y=70+kg&r=none&o=training&k={}": (
        {"arm_length": "58,5", "shoulder_breadth": "37,5", "current_grip": "60", "current_touch": "20"}
        | {"body_mass": "70 kg"},
        "cm",
        {"rules": "none", "bar": "training"},
    ),
    "v=2&l=bench&u=in&a=24+1%2F2&b=15.75&c=careful&k={}": (
        {"arm_length": "24 1/2", "shoulder_breadth": "15.75"},
        "in",
        {"comfort": "careful"},
    ),
}
CHECKS = ["e9f150bd", "cb56d44d", "6931b20e", "5a8d53af"]


@pytest.mark.parametrize("fragment", [f.format(k) for f, k in zip(GOLDEN, CHECKS, strict=True)])
def test_golden_links_open_as_received(awake: Page, fragment: str) -> None:
    fields, unit, chosen = GOLDEN[re.sub(r"k=\w+$", "k={}", fragment)]
    awake.evaluate("(f) => { location.hash = f; }", fragment)
    assert_shows(awake, ask(fields, unit, **chosen), tag="Received")
    assert {key: typed(awake, key) for key in fields} == fields
    assert awake.evaluate("location.hash") == "", "the numbers do not stay in the address"
    fill(awake, arm_length="62 cm")
    assert_shows(awake, ask(fields | {"arm_length": "62 cm"}, unit, **chosen))


def test_share_puts_the_whole_state_into_the_link(awake: Page, open_page: Callable[..., Page]) -> None:
    awake.context.grant_permissions(["clipboard-read", "clipboard-write"])
    awake.evaluate("Object.defineProperty(navigator, 'share', { value: undefined, configurable: true })")
    trade = own(awake, **FULL)["tradeoff"]["choices"]
    awake.locator("#trade-at").fill("1")
    choice = {key: trade[1][key] for key in ("grip_m", "touch_m")}
    assert_shows(awake, ask(FULL, choice=choice), tag="Your choice")
    fragment = ask(FULL, choice=choice, want="link")["fragment"]
    poll(lambda: awake.click("#share") or text(awake, "#hand-said"), lambda said: said == "Link copied.")
    assert text(awake, "#hand-said") == "Link copied."
    link = awake.url
    assert link.endswith("#" + fragment)
    assert awake.evaluate("navigator.clipboard.readText()") == link == awake.input_value("#link-text")
    modules = awake.locator("#qr path").get_attribute("d").count("M")  # type: ignore[union-attr]
    assert modules > 300 and awake.locator("#qr svg").is_visible()

    other = open_page()
    other.goto(link)
    wait_awake(other)
    assert_shows(other, ask(FULL, choice=opened(fragment)["choice"]), tag="Your choice")
    kept = other.evaluate("async () => (await import('./page/shared/store.mjs')).list()")
    assert kept == [], "a link keeps nothing on the device that opens it"

    fill(awake, arm_length="62")
    gone = poll(lambda: awake.evaluate("location.hash"), lambda fragment: fragment == "")
    assert gone == "", "an old link does not stand beside newer numbers"


def test_share_sheet_gets_the_link_right_at_the_tap(awake: Page) -> None:
    own(awake)
    awake.evaluate("""() => {
      globalThis.handed = [];
      const share = async (what) => { globalThis.handed.push(what.url); };
      Object.defineProperty(navigator, 'share', { value: share, configurable: true });
    }""")
    poll(lambda: awake.click("#share") or awake.evaluate("globalThis.handed"), bool)
    assert awake.evaluate("globalThis.handed[0]").endswith("#" + ask(GOOD, want="link")["fragment"])


def opened(fragment: str) -> dict[str, Any]:
    return json.loads(view.answer(json.dumps({"want": "open", "fragment": fragment})))["request"]


THEIRS = {"arm_length": "70", "shoulder_breadth": "44", "current_grip": "60"}


def differences(page: Page) -> list[list[str]]:
    """Name, mine and theirs, as the table of the received box says them."""
    rows = page.locator("#received-differs tbody tr").all()
    return [[cell.text_content() or "" for cell in row.locator("th, td").all()] for row in rows]


def test_a_link_opens_on_its_setup_and_ones_own_numbers_come_back(awake: Page) -> None:
    mine, theirs = own(awake), answer(**THEIRS)
    awake.evaluate("(f) => { location.hash = f; }", ask(THEIRS, want="link")["fragment"])
    assert_shows(awake, theirs, tag="Received")
    assert not awake.locator("#arm_length").is_visible(), "the form is folded"
    setups = [
        [one["label"], *(f"{n['value']}{'' if n['unit'] == '°' else ' '}{n['unit']}" for n in (other, one))]
        for other, one in zip(mine["headline"], theirs["headline"], strict=True)
    ]
    tapes = [["Arm length", "61 cm", "70 cm"], ["Shoulder breadth", "40 cm", "44 cm"]]
    wanted = [*setups, *tapes, ["Current grip", "–", "60 cm"]]
    assert poll(lambda: differences(awake), lambda now: now == wanted) == wanted

    fill(awake, arm_length="71")
    assert_shows(awake, answer(**THEIRS | {"arm_length": "71"}), tag="Received")
    at_rest(awake)
    awake.reload()
    wait_awake(awake)
    assert_shows(awake, answer(**THEIRS | {"arm_length": "71"}), tag="Received")
    assert "#" not in awake.url
    awake.click("#received-back")
    assert_shows(awake, mine)
    assert typed(awake, "arm_length") == "61" and awake.locator("#arm_length").is_visible()
    awake.click("#received-show")
    assert_shows(awake, answer(**THEIRS | {"arm_length": "71"}), tag="Received")
    awake.click("#received-back")
    assert_shows(awake, mine)
    awake.click("#received-leave")
    assert awake.locator("#received").is_hidden()


def test_a_link_pasted_before_the_timer_that_tidies_the_address_opens(awake: Page) -> None:
    theirs = {"arm_length": "70", "shoulder_breadth": "44"}
    own(awake)
    awake.evaluate(PASTE_AT_TIDYING, ask(theirs, want="link")["fragment"])
    fill(awake, arm_length="61.5")
    assert_shows(awake, answer(**theirs), tag="Received")


HOSTILE = {
    "damaged": "v=1&u=cm&a=62&b=40&k=00000000",
    "markup": "v=1&u=cm&a=<img src=x onerror=alert(1)>&b=40&k=12345678",
    "newer": "v=2&u=cm&a=61&b=40&k=12345678",
    "no setup": "v=1",
    "long": "v=1&u=cm&a=" + "6" * 5000 + "&k=12345678",
    "twice": "v=1&v=1&u=cm&k=12345678",
}


def test_a_bad_link_says_what_is_wrong_and_opens_nothing(awake: Page) -> None:
    received = awake.locator("#received")
    for fragment in HOSTILE.values():
        error = json.loads(view.answer(json.dumps({"want": "open", "fragment": fragment})))["errors"][0]
        awake.evaluate("(f) => { location.hash = f; }", fragment)
        received.get_by_text("Nothing was opened").wait_for()
        said = poll(lambda: received.inner_text(), lambda now, e=error: e["message"] in now)
        assert error["message"] in said and error["remedy"] in said
        assert awake.locator("#received-show").is_hidden() and received.locator("img").count() == 0
        assert shown(awake)["age"] == "example" and typed(awake, "arm_length") == ""
        awake.click("#received-leave")
        assert "#" not in awake.url


# ---- the shared tablet

EVERYWHERE = """() => JSON.stringify([
  history.state, { ...localStorage }, { ...sessionStorage }, document.cookie, location.href,
  document.documentElement.outerHTML, [...document.querySelectorAll('input')].map((e) => e.value + e.checked),
])"""


def test_next_lifter_clears_everything(awake: Page) -> None:
    secret = {"arm_length": "61.37", "shoulder_breadth": "40.73", "current_grip": "58.91"}
    secret["body_mass"] = "83.17"
    fresh = awake.evaluate(EVERYWHERE)
    fill(awake, **secret)
    choose(awake, "comfort", "loose")
    wait_own(awake)
    awake.click("#keep-setup")
    awake.locator("#kept-setups li").wait_for()
    awake.locator("#trade-at").fill("0")
    awake.locator("#trade-back").wait_for()
    awake.locator("#rep-row").fill("5")
    poll(lambda: awake.click("#share") or awake.locator("#qr svg").count(), bool)
    at_rest(awake)
    before = awake.evaluate(EVERYWHERE)
    assert all(number in before for number in secret.values()), "the test looks where they are"
    assert "61.37" in awake.evaluate("JSON.stringify({ ...sessionStorage })") and "61.37" in awake.url
    awake.evaluate("location.hash = '#elsewhere'")  # one more entry in the history
    awake.click("#next-lifter")
    awake.click("#next-no")
    assert typed(awake, "arm_length") == "61.37", "asked first"
    awake.click("#next-lifter")
    awake.click("#next-yes")
    assert shown(awake)["tag"] == "Example"
    headline = example()["headline"]
    assert poll(lambda: shown(awake)["headline"][0]["value"], lambda v: v == headline[0]["value"])
    at_rest(awake)
    after = awake.evaluate(EVERYWHERE)
    assert [n for n in secret.values() if n in after] == []
    assert awake.evaluate("localStorage.length") == 0 and awake.locator("#kept-setups li").count() == 0
    assert awake.locator('[data-choice-of="comfort"] input[value="usual"]').is_checked()
    assert re.sub(r"build \w+", "", after).count("61.37") == 0 and len(after) < 1.5 * len(fresh)
    awake.go_back()
    at_rest(awake)
    awake.reload()
    wait_awake(awake)
    assert typed(awake, "arm_length") == "" and shown(awake)["age"] == "example", "nor by the way back"


# ---- the card, the words, the keyboard


def test_printed_card_holds_setup_units_version_and_cautions(awake: Page) -> None:
    own(awake, **FULL)
    poll(lambda: awake.click("#share") or awake.locator("#qr svg").count(), bool)
    awake.emulate_media(media="print")
    seen = awake.evaluate("document.body.innerText")
    cautions = [caution for caution, _ in view.cautions()]
    facts = (f"Date {date.today()}", "Arm length 61.0 cm", "Rulebook: ")
    for needed in ("Grip", "cm", "Lifter", "Moment arm", f"Shortlever {__version__}", *facts, *cautions):
        assert needed in seen, needed
    for part in (".plate", ".drawing svg", "#qr svg", "#marks", "#card-drawing svg"):
        assert awake.locator(part).first.is_visible(), part
    for part in ("#tape", ".top", "#share", "#whose", "#trade", "footer nav", ".reading-room"):
        assert awake.locator(part).is_hidden(), part
    awake.emulate_media(media="screen")


def test_scripts_say_only_what_the_files_of_words_hold() -> None:
    pages = ground.SITE / "pages"
    words = [tomllib.loads(p.read_text(encoding="utf-8")) for p in ground.files_under(pages / "words")]
    files = [
        *ground.files_under(ground.SITE / "page", ".mjs"),
        *ground.files_under(ground.SITE / "worker", ".mjs"),
    ]
    scripts = "".join(p.read_text(encoding="utf-8") for p in files)
    keys = {key for part in words for key in part.get("say", {})}
    said = set(re.findall(r'\bsay\("(\w+)"', scripts))
    assert said and said <= keys, said - keys
    named = set(re.findall(r'"(\w+)"', scripts))
    begun = tuple(re.findall(r"`(\w+_)\$\{", scripts))  # such as film_trouble_ and what the trouble is
    unsaid = {key for key in keys - named if not key.startswith(begun)}
    assert unsaid == set(), "no word that nobody says"
    laid_out = "".join(p.read_text(encoding="utf-8") for p in ground.files_under(pages, ".j2"))
    mentioned = set(re.findall(r"""(?:\.|")(\w+)""", laid_out))
    begun = tuple(re.findall(r'"(\w+_)" ?~', laid_out))
    page_keys = {key for part in words for key in part.get("page", {})}
    unused = {key for key in page_keys - mentioned if not key.startswith(begun)}
    assert unused == set(), "no word that no page shows"


FOCUSED = "(({ id, name, className }) => id || name || className)(document.activeElement)"


def test_choice_in_the_keyboard_path(fresh: Page) -> None:
    """Tab reaches everything that can be done, from the numbers to the last link, and nothing traps it."""
    fill(fresh, **GOOD)
    wait_own(fresh)
    fresh.focus("#arm_length")
    seen = []
    for _ in range(40):
        fresh.keyboard.press("Tab")
        seen.append(fresh.evaluate(FOCUSED))
        if seen[-1] == "to-top":
            break
    wanted = {"shoulder_breadth", "rep-row", "view", "trade-at"}
    wanted |= {"share", "print", "next-lifter", "keep", "to-top"}
    assert wanted <= set(seen), seen
    assert seen.index("rep-row") < seen.index("trade-at") < seen.index("share")
    assert message(fresh, "arm_length") == ""
    read_cautions(fresh)
