"""Type on every screen: with the face that comes along, and without it, nothing overlaps or is cut."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from fontTools.ttLib import TTFont

from tests.browser.screen import SILENT, SIZES, fill, wait_awake, wait_own

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

    from tests.conftest import Site

NAME = "Wilhelmina-Anastasia Oberfrankenmüllerová"
DOCS = ("how-to.html", "model.html", "evidence.html", "api.html")
SCREENS = ("index.html", "sets.html", "film.html", "lifters.html", "team.html", "three.html", "wall.html")
# Width and height in px, and the size of text in %; a tablet at twice its size is a screen of half its width.
SIGHTS = [
    *((width, height, 100) for width, height in SIZES.values()),
    (320, 640, 100),
    (512, 384, 100),
    (360, 640, 200),
    (390, 844, 200),
]
SETUPS = [
    {"label": "Grip 60.0 cm, touch 20.0 cm", "index": 5.0, "stroke_m": 0.36, "mean_arm_m": 0.11,
     "present": True},
    {"label": "Grip 101.5 cm, touch 17.5 cm", "index": 5.0, "stroke_m": 0.34, "mean_arm_m": 0.14},
]  # fmt: skip
TRIAL = """async (setups) => {
  const store = await import('./page/shared/store.mjs');
  const now = '2020-05-01T10:00:00Z';
  const add = async (change) => store.addChange(await store.current(), { at: now, ...change });
  for (const candidate of setups) await add({ what: 'add_candidate', candidate });
  const set = { candidate: 'A', load: '102.5', unit: 'kg', reps: '12', reserve: '2.5' };
  await add({ what: 'add_set', set });
}"""

FAMILIES = """() => {
  const text = (node) => node.nodeType === Node.TEXT_NODE && node.data.trim();
  const says = (e) => e.checkVisibility() && [...e.childNodes].some(text);
  const all = [...document.querySelectorAll('body *')].filter(says);
  return [...new Set(all.map((e) => getComputedStyle(e).fontFamily.split(',')[0]))];
}"""
IN_FULL = """() => {
  const warnings = [...document.querySelectorAll('[data-part="warnings"] li')].map((one) => one.textContent);
  const said = [...document.querySelectorAll('.field .message[data-kind="warning"]:not(:empty)')];
  return said.length > 0 && said.every((one) => warnings.includes(one.textContent));
}"""
TROUBLE = (Path(__file__).parent / "lines_of_text.js").read_text(encoding="utf-8")


def blocked(route: Route) -> None:
    route.abort()


@pytest.fixture(params=["with its face", "face blocked"])
def reader(request: pytest.FixtureRequest, open_page: Callable[..., Page], site: Site) -> Iterator[Page]:
    """A lifter with a long name, the longest numbers and a trial is kept; the face comes, or never does."""
    page = open_page()
    if request.param == "face blocked":
        page.allow_console_errors = True  # type: ignore[attr-defined]
        page.route("**/type/*", blocked)
    page.goto(site.url)
    wait_awake(page)
    page.fill("#keep-name", NAME)
    page.click("#keep")
    page.locator("#whose-said").get_by_text(NAME).wait_for()
    fill(page, arm_length="79.75", shoulder_breadth="44.25", current_grip="81", current_touch="20.25")
    wait_own(page)
    page.evaluate(TRIAL, SETUPS)
    yield page


def look(page: Page, where: str) -> None:
    """Nothing is wrong at every size, with text at 100 and at 200 %."""
    for width, height, percent in SIGHTS:
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("(size) => { document.documentElement.style.fontSize = size; }", f"{percent}%")
        page.evaluate("document.fonts.ready.then(() => null)")
        lines, wrong = page.evaluate(TROUBLE)
        assert lines > 10
        assert not wrong, (where, width, percent, wrong)
    page.evaluate("document.documentElement.style.fontSize = ''")


def test_nothing_overlaps_and_nothing_is_cut(reader: Page, site: Site) -> None:
    page = reader
    for unit in ("cm", "in"):
        page.check(f'input[value="{unit}"]', force=True)
        page.locator(f'[data-key="grip"] .unit:text-is("{unit}")').wait_for()
        page.wait_for_function(IN_FULL)  # the setup is painted first, what is said of it in a task of its own
        for key, value in (
            ("grip", "108.25"),
            ("touch", "27.75"),
            ("tuck", "80"),
        ):  # longer than any real one
            page.locator(f'[data-key="{key}"] [data-part="value"]').evaluate(
                "(e, text) => { e.textContent = text; }", value
            )
        look(page, f"fit in {unit}, longest numbers")
    page.goto(site.url + "sets.html")
    page.locator('html[data-trial="own"]').wait_for()
    page.locator('#verdict[data-age="own"]').wait_for()
    page.fill("#load", "102.5")
    page.fill("#reserve", "2.5")
    look(page, "sets")
    page.goto(site.url + "lifters.html")
    page.get_by_text(NAME).first.wait_for()
    look(page, "lifters")
    page.get_by_text(NAME).first.click()
    page.locator("#tapes li").first.wait_for()
    look(page, "one lifter")
    page.goto(site.url + "three.html")
    page.locator("#lifts section").nth(2).wait_for()
    look(page, "all lifts on one page")
    page.goto(site.url + "team.html")
    wait_awake(page)
    page.fill("#text", f"Lifter,Arm length (cm),Shoulder breadth (cm)\n{NAME},79.75,44.25\nEva,61,40\n")
    page.click("#read")
    page.locator("#as-read").wait_for()
    look(page, "a sheet as it was read")
    page.goto(site.url + "film.html")
    look(page, "film")
    page.evaluate("document.querySelector('#bench').hidden = false")
    look(page, "film, with its keys")


@pytest.mark.parametrize("face", ["with its face", "face blocked"])
def test_nothing_overlaps_on_the_pages_to_read(open_page: Callable[..., Page], site: Site, face: str) -> None:
    page = open_page()
    if face == "face blocked":
        page.allow_console_errors = True  # type: ignore[attr-defined]
        page.route("**/type/*", blocked)
    for name in DOCS:
        page.goto(site.url + name)
        look(page, name)


def test_every_page_uses_the_face_and_asks_for_it_first(open_page: Callable[..., Page], site: Site) -> None:
    used = "(weight) => document.fonts.check(`${weight} 16px 'Archivo Narrow'`, 'Aé9')"
    page = open_page()
    page.add_init_script(SILENT)
    for name in (*SCREENS, *DOCS):
        page.goto(site.url + name)
        page.evaluate("document.fonts.ready.then(() => null)")
        asked = page.locator("link[rel=preload][as=font]").evaluate_all(
            "all => all.map((e) => e.getAttribute('href'))"
        )
        assert asked == ["type/narrow-400.woff2", "type/narrow-700.woff2"], name
        assert page.evaluate(used, 400) and page.evaluate(used, 700), name
        families = page.evaluate(FAMILIES)
        assert set(families) <= {'"Archivo Narrow"', "ui-monospace"}, (name, families)


def test_the_type_is_small_and_has_every_sign_the_screens_say(dist: Path) -> None:
    faces = sorted((dist / "type").glob("*.woff2"))
    assert [face.name for face in faces] == [
        "narrow-400-names.woff2", "narrow-400.woff2", "narrow-700-names.woff2", "narrow-700.woff2",
    ]  # fmt: skip
    assert sum(face.stat().st_size for face in faces) < 25_000
    licence = (dist / "type" / "licence.txt").read_text()
    assert "SIL OPEN FONT LICENSE" in licence.upper() and "Archivo" in licence
    said = "".join(p.read_text(encoding="utf-8") for p in (*dist.glob("*.html"), *dist.glob("**/words.mjs")))
    for weight in (400, 700):
        has = TTFont(dist / "type" / f"narrow-{weight}.woff2").getBestCmap()
        names = TTFont(dist / "type" / f"narrow-{weight}-names.woff2").getBestCmap()
        missing = {
            c for c in re.sub(r"(?s)<(code|pre)\b.*?</\1>", "", said) if ord(c) > 31 and ord(c) not in has
        }
        assert not {c for c in missing if ord(c) not in names}, (weight, missing)
        assert {ord(c) for c in "ŁůșğĐőėļ"} <= names.keys()


def test_no_sign_on_a_button_is_a_letter(dist: Path) -> None:
    signs = re.compile("[\u2190-\u21ff\u2300-\u23ff\u25a0-\u27bf\u2900-\u2bff\u2039\u203a\u00ab\u00bb]")
    for path in (*dist.glob("*.html"), *dist.glob("styles/*.css")):
        assert not signs.search(path.read_text(encoding="utf-8")), path.name
    for name in SCREENS:
        html = (dist / name).read_text(encoding="utf-8")
        for inside in re.findall(r'(?s)<button[^>]*class="step"[^>]*>(.*?)</button>', html):
            assert "<svg" in inside or re.fullmatch(r"\s*×10\s*", inside), (name, inside)


def test_a_look_sees_what_is_wrong(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    page.goto(site.url + DOCS[0])
    faults = {
        "overlap": "block-size: 0; margin-block: 0 -1.5rem",
        "cut": "inline-size: 4rem; overflow: hidden; white-space: nowrap",
        "beside the page": "margin-inline-start: 30rem; white-space: nowrap",
    }
    plant = """(style) => {
      document.querySelector('#planted')?.remove();
      const planted = document.createElement('p');
      planted.id = 'planted';
      planted.textContent = 'planted '.repeat(9);
      planted.style.cssText = style;
      document.querySelector('main').prepend(planted);
    }"""
    for kind, style in faults.items():
        page.evaluate(plant, style)
        assert any(said.startswith(kind) for said in page.evaluate(TROUBLE)[1]), kind
