"""A made-up language, every text of the words in brackets: what the screens show outside them is a number, or
not the page's own (what Python said, what somebody typed)."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from PIL import Image

from shortlever import view
from shortlever.lifts import LIFTS
from site_src.make import render
from tests.browser.screen import fill, wait_awake, wait_own
from tests.browser.test_film import SMALL, gym, mark, press
from tests.core.film_world import some_press
from tests.film_clips import write_clip
from tests.film_scenes import Look, Painter

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page, Route

    from tests.conftest import Site

OPEN, CLOSE = "⟦⟧"

# All that a person may read or hear of a page, also what is hidden now; not a report for a developer.
TEXTS = """() => {
  const texts = [document.title];
  const walk = (root) => {
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
    for (let node = walker.currentNode; node; node = walker.nextNode()) {
      if (node instanceof Text) {
        if (!node.parentElement?.closest('script, style, [data-part=report]')) texts.push(node.data);
        continue;
      }
      if (node instanceof HTMLTemplateElement) walk(node.content);
      if (!(node instanceof Element)) continue;
      const named = ['aria-label', 'aria-valuetext', 'aria-description', 'placeholder', 'title', 'alt'];
      for (const name of named) if (node.hasAttribute(name)) texts.push(node.getAttribute(name));
      if (node.matches('meta[name=description]')) texts.push(node.content);
    }
  };
  walk(document);
  return texts;
}"""

# Before a page's own scripts: every text in what Python answers.
LISTEN = """{
  globalThis.answered = [];
  const take = (value) => {
    if (typeof value === 'string') answered.push(value);
    else if (value && typeof value === 'object') for (const one of Object.values(value)) take(one);
  };
  globalThis.Worker = class extends Worker {
    constructor(...given) {
      super(...given);
      this.addEventListener('message', ({ data }) => { if (data.response) take(JSON.parse(data.response)); });
    }
  };
}"""

UNITS = r"cm|in|ft|kg|lb|mm|MB|px|s|°|%|×"
BARE = re.compile(rf"(?:\b(?:{UNITS})\b|[\W\d_])*")  # numbers, signs and units, no word
FILMS = ("part.mp4", "chest.jpg", "empty.mp4")
TYPED = ("Mara Feld", "Jonas Iliev", "left elbow", "right elbow", "one.json", "bad.json", *FILMS)


SHEET = "Lifter,Arm length (cm),Shoulder breadth (cm),Chalk\nMara Feld,62,39,a\nJonas Iliev,66,,a\n"

# Two lifters, one of them with tapes, a kept setup, a set and two tabs' notes.
STORED = """async () => {
  const store = await import('/page/shared/store.mjs');
  await store.open();
  const { nothingOfLift } = await import('/page/shared/record.mjs');
  const texts = { unit: 'cm', choices: { rules: 'ipf' } };
  const tapes = [
    { ...texts, date: '2031-01-02', fields: { arm_length: '62' } },
    { ...texts, date: '2031-05-05', fields: { arm_length: '61', body_mass: '80' }, choices: {} },
  ];
  const setups = [{ key: 'a', text: '72.5 × 18', date: '2031-05-05' }];
  const pending = [
    { what: 'add_candidate', at: '2031-05-05T10:00:00+00:00', candidate: { label: '72.5', index: 1 } },
    { what: 'new_trial', at: '2031-05-05T10:00:00+00:00', keep: 'A' },
  ];
  const bench = { ...nothingOfLift(), setups, trials: { log: '', pending, revision: 0 } };
  const made = await store.create({ name: 'Mara Feld', tapes, lifts: { bench } });
  await store.patch(made.id, { notes: 'other' }, { notes: 'left elbow' });
  await store.create({ name: 'Jonas Iliev' });
}"""


def bracketed(value: Any) -> Any:
    """The words with brackets around all but what is filled in, which is looked at too."""
    if isinstance(value, dict):
        return {
            name: one if name in ("key", "address", "language", "need") else bracketed(one)
            for name, one in value.items()
        }
    if isinstance(value, list):  # of tables, or a value and how it is called
        return [one if isinstance(one, str) and i == 0 else bracketed(one) for i, one in enumerate(value)]
    return "".join(
        part if re.fullmatch(r"\{\d*\}", part) else f"{OPEN}{part}{CLOSE}"
        for part in re.split(r"(\{\d*\})", value)
        if part
    )


def made_up() -> dict[str, Any]:
    made: dict[str, Any] = bracketed(render.all_words())
    return made


def texts_in(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from texts_in(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from texts_in(one)


@pytest.fixture(scope="module")
def said_by_python() -> set[str]:
    """What was laid into the pages when they were built."""
    example = view.example_request()
    asked = (example, example | {"want": "doubt"}, view.sets.example_request(), {"want": "film/form"})
    answers = [json.loads(view.answer(json.dumps(request))) for request in asked]
    of_lifts = [
        (view.form(lift), view.choices(lift), view.cautions(lift), str(LIFTS[lift].name)) for lift in LIFTS
    ]
    by_lift = render.by_lift({lift: {"form": view.form(lift)} for lift in LIFTS})
    return set(texts_in([of_lifts, by_lift, [name.capitalize() for *_, name in of_lifts], answers]))


def plain(text: str) -> str:
    return " ".join(text.split())  # unbroken spaces too


def parts_of(text: str) -> list[str]:
    """A text, or of a drawing all that it says."""
    if not text.startswith("<svg"):
        return [plain(text)]
    return [
        plain(unescape(part))
        for found in re.findall(r">([^<]+)<|aria-label=\"([^\"]*)\"", text)
        for part in found
        if part
    ]


def outside(texts: Iterable[str], known: Iterable[str]) -> set[str]:
    """Pieces of these texts that stand in no brackets, and are neither known nor bare numbers."""
    parts = {part for text in (*known, *TYPED) for part in parts_of(text)}
    long = sorted((part for part in parts if len(part) > 3), key=len, reverse=True)
    found = set()
    for text in texts:
        for piece in re.split(f"{OPEN}[^{CLOSE}]*{CLOSE}", text):
            rest = plain(piece)
            if rest in parts:
                continue
            for part in long:
                rest = rest.replace(part, "")
            if not BARE.fullmatch(rest):
                found.add(piece)
    return found


def assert_said(page: Page, known: set[str]) -> None:
    """Everything on this page now is of the words, of Python or of a person."""
    texts = page.evaluate(TEXTS)
    assert any(OPEN in text for text in texts)
    assert outside(texts, [*known, *page.evaluate("answered")]) == set()


@pytest.fixture(scope="module")
def pages() -> dict[str, Any]:
    """The site's pages in the made-up language."""
    return render.render_pages("0" * 16, made_up())


@pytest.fixture
def opened(
    open_context: Callable[..., BrowserContext], site: Site, pages: dict[str, Any]
) -> Callable[[str], Page]:
    """A page of the site in the made-up language."""
    context = open_context()
    context.add_init_script(LISTEN)

    def answer(route: Route) -> None:
        name = route.request.url.removeprefix(site.url).partition("#")[0] or "index.html"
        kind = "text/javascript" if name.endswith(".mjs") else "text/html"
        if name in pages:
            route.fulfill(body=pages[name], content_type=f"{kind}; charset=utf-8")
        else:
            route.continue_()

    context.route(f"{site.url}**", answer)

    def start(name: str) -> Page:
        page = context.new_page()
        page.goto(site.url + name)
        wait_awake(page)
        return page

    return start


def test_a_text_outside_the_words_is_seen(opened: Callable[[str], Page], said_by_python: set[str]) -> None:
    page = opened("team.html")
    assert_said(page, said_by_python)
    for plant in ("main.append('not said')", "document.querySelector('#read').title = 'not said'"):
        page.evaluate(f"const main = document.querySelector('main'); {plant}")
        with pytest.raises(AssertionError, match="not said"):
            assert_said(page, said_by_python)
        page.reload()
        wait_awake(page)


def test_fit_says_nothing_but_words(opened: Callable[[str], Page], said_by_python: set[str]) -> None:
    page = opened("")
    assert_said(page, said_by_python)
    fill(page, arm_length="6.1", shoulder_breadth="39")
    page.locator("#arm_length-message:not(:empty)").wait_for()
    assert_said(page, said_by_python)
    fill(page, arm_length="61", current_grip="60", current_touch="20", chest_arched="30")
    wait_own(page)
    page.locator('[data-interval="grip"]:not(:empty)').wait_for()
    assert_said(page, said_by_python)
    page.locator("#trade-at").fill("1")
    page.locator("#trade-back").wait_for()
    page.evaluate("document.querySelector('input[name=unit][value=in]').click()")
    page.locator('[data-key="grip"] [data-part="unit"]:text-is("in")').wait_for()
    page.click("#share")
    page.click("#next-lifter")
    assert_said(page, said_by_python)
    page.click("#next-no")
    page.fill("#keep-name", "Mara Feld")
    page.click("#keep")
    page.locator("#keep-form").wait_for(state="hidden")
    page.click("#keep-setup")
    page.locator("#kept-setups li").wait_for()
    page.click("#next-lifter")
    page.click("#next-yes")
    page.locator('#setup[data-age="example"]').wait_for()
    fill(page, arm_length="70")
    link = view.answer(json.dumps(view.example_request() | {"want": "link"}))
    page.evaluate("(link) => { location.hash = link; }", json.loads(link)["fragment"])
    page.locator("#received-back").wait_for()
    assert_said(page, said_by_python)
    page.click("#received-back")
    page.locator("#received-show").wait_for()
    assert_said(page, said_by_python)


def test_the_page_of_all_lifts_says_nothing_but_words(
    opened: Callable[[str], Page], said_by_python: set[str]
) -> None:
    page = opened("three.html")
    assert_said(page, said_by_python)
    fields = {"stature": "175", "body_mass": "80", "arm_length": "70", "knee_bump_height": "49"}
    tape = {"date": "2031-05-09", "unit": "cm", "fields": fields, "choices": {}}
    path = {"tapes/2031-05-09": tape}
    page.evaluate(
        "async (path) => (await import('./page/shared/store.mjs')).patch('guest', {}, path)",
        path,
    )
    page.reload()
    page.click("#first-read")
    page.locator("#lifts section").nth(2).wait_for()
    assert_said(page, said_by_python)


def test_lifters_says_nothing_but_words(
    opened: Callable[[str], Page], said_by_python: set[str], tmp_path: Path
) -> None:
    page = opened("lifters.html")
    assert_said(page, said_by_python)
    page.evaluate(STORED)
    page.reload()
    wait_awake(page)
    page.click(".slip >> nth=0")
    page.fill("#notes", "left elbow")
    page.locator("#lifter-said:not(:empty)").wait_for()
    assert_said(page, said_by_python)
    with page.expect_download() as saved:
        page.click("#save-one")
    saved.value.save_as(tmp_path / "one.json")
    page.click("#duplicate")
    page.locator(".slip >> nth=2").wait_for()
    page.click("#archive")
    page.click("#delete")
    page.locator("#deleted li").wait_for(state="attached")
    page.fill("#search", "Mara Feld")
    page.click(".slip >> nth=0")
    page.fill("#notes", "right elbow")
    page.locator("#lifter-said:not(:empty)").wait_for()
    page.set_input_files("#file", tmp_path / "one.json")
    page.locator("#preview-list [data-state]").wait_for()
    assert_said(page, said_by_python)
    page.click("#preview [type=submit]")
    page.locator("#preview").wait_for(state="hidden")
    (tmp_path / "bad.json").write_text("no file of lifters")
    page.set_input_files("#file", tmp_path / "bad.json")
    page.locator("#file-wrong:not(:empty)").wait_for()
    assert_said(page, said_by_python)


def test_team_says_nothing_but_words(opened: Callable[[str], Page], said_by_python: set[str]) -> None:
    page = opened("team.html")
    assert_said(page, said_by_python)
    page.click("#read")
    page.click("#example")
    page.locator("#fit").wait_for()
    assert_said(page, said_by_python)
    page.fill("#text", SHEET)
    page.click("#read")
    page.locator("#problems li").wait_for()
    assert_said(page, said_by_python)
    page.click("#fit")
    page.locator("#keep:not([disabled])").wait_for()
    page.click("#keep")
    page.locator("#out-said:not(:empty)").wait_for()
    assert_said(page, said_by_python)


def test_film_says_nothing_but_words(
    opened: Callable[[str], Page], said_by_python: set[str], tmp_path: Path
) -> None:
    """Less than a rep is followed, a photo with the bar on the chest is measured."""
    clip, photo, empty = (tmp_path / name for name in FILMS)
    world = gym(size=SMALL, down_s=0.4, pause_s=0.1, press_s=0.4)
    painter, times = Painter(world, Look(), some_press()), [i / 30 for i in range(20)]
    write_clip(clip, painter.frames(times), times)
    at = world.motion.chest_times()[0]
    Image.fromarray(painter.frame(at)).save(photo, quality=92)
    empty.touch()
    page = opened("film.html")
    assert_said(page, said_by_python)
    page.set_input_files("#file", empty)
    page.locator("#film-trouble:not([hidden])").wait_for()
    assert_said(page, said_by_python)
    for file, t in ((clip, 0.0), (photo, at)):
        page.set_input_files("#file", file)
        page.locator(f'#said:has-text("{file.name}{OPEN}")').wait_for()
        assert_said(page, said_by_python)
        mark(page, world, t)
        page.locator("#mark-said:not(:empty)").wait_for()
        assert_said(page, said_by_python)
        press(page, "#follow")
        page.locator("#follow").wait_for()
        page.locator("#measured-errors li, #answer:not([hidden])").first.wait_for()
        assert_said(page, said_by_python)
    page.evaluate("document.querySelector('input[name=unit][value=in]').click()")
    page.locator('#headline .unit:text-is("in")').first.wait_for()
    assert_said(page, said_by_python)


def test_sets_open_with_nothing_but_words(opened: Callable[[str], Page], said_by_python: set[str]) -> None:
    assert_said(opened("sets.html"), said_by_python)
