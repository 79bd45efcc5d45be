"""The team sheet as a person uses it: choose or paste, look, work out, stop, save, come back, offline."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import roster, team
from tests.browser.screen import FREEZE, LATER, SIZES, poll, resize, wait_awake

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

    from tests.conftest import Site

HEADER = "Lifter,Arm length (cm),Shoulder breadth (cm)\n"


@pytest.fixture(scope="module")
def _sheet_page(open_shared: Callable[..., Page], _served: Site) -> Page:
    page = open_shared()
    page.goto(_served.url + "team.html")
    wait_awake(page)
    return page


@pytest.fixture
def sheet(_sheet_page: Page, no_errors: None) -> Page:
    """The team sheet on a phone, its calculator ready, cleared."""
    _sheet_page.click("#clear")
    return _sheet_page


def read(page: Page, text: str) -> None:
    page.fill("#text", text)
    page.click("#read")
    settled(page)


def settled(page: Page) -> None:
    """The core has answered: the sheet as it was read, or what is wrong with it."""

    def done() -> bool:
        return bool(
            page.locator("#as-read").is_visible() or page.text_content("#wrong")
        ) and not page.text_content("#said")

    assert poll(done, bool)


def fit(page: Page) -> None:
    page.click("#fit")
    page.locator("#save:not([disabled])").wait_for()


def table(page: Page) -> list[list[str]]:
    rows = page.locator("#results tbody tr")
    return [[cell.strip() for cell in row.locator("th, td").all_text_contents()] for row in rows.all()]


def saved(page: Page, tmp_path: Path) -> tuple[str, str]:
    with page.expect_download() as started:
        page.click("#save")
    file = tmp_path / "saved.csv"
    started.value.save_as(file)
    return started.value.suggested_filename, file.read_bytes().decode()


def expected(text: str, unit: str | None = None) -> tuple[team.Sheet, str]:
    """The sheet that CPython writes for the same text."""
    made = team.read_sheet(text, unit)
    return made, team.write_sheet(made, {one.number: one.cells for one in map(team.fit_row, made.rows)})


def test_paste_fit_and_save_gives_what_the_core_writes(sheet: Page, tmp_path: Path) -> None:
    text = team.example_sheet().replace("\r\n", "\n") + "Nemo,6.2,39\n"
    read(sheet, text)
    problem = sheet.text_content("#problems li") or ""
    assert "Row 6, Nemo, Arm length (cm)" in problem and "“6.2” is outside 45 to 90 cm" in problem
    assert sheet.text_content("#fit") == "Fit 4 lifters"
    fit(sheet)
    made, wanted = expected(text)
    results = [team.fit_row(row) for row in made.rows]
    assert table(sheet) == [
        [one.name, one.cells["grip"], one.cells["touch"], one.cells["tuck"]] for one in results if one.ok
    ]
    name, got = saved(sheet, tmp_path)
    assert got == wanted
    assert name.startswith("setups-") and name.endswith(".csv")


@pytest.mark.parametrize("codec", ["utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_a_file_as_a_spreadsheet_saves_it(sheet: Page, tmp_path: Path, codec: str) -> None:
    text = "Lifter;Arm length;Shoulder breadth\r\nJörg;66,5;41,5\r\n"
    file = tmp_path / "sheet.csv"
    file.write_bytes(text.encode(codec))
    sheet.set_input_files("#file", file)
    settled(sheet)
    assert sheet.text_content("#wrong") == ""
    assert "Semicolons between the cells, decimal comma" in (sheet.text_content('[data-part="how"]') or "")
    assert sheet.input_value("#text") == text.replace("\r\n", "\n")
    fit(sheet)
    assert table(sheet)[0][0] == "Jörg"
    assert saved(sheet, tmp_path)[1].split("\r\n")[1].startswith("Jörg;66,5;41,5;")


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("book.xlsx", b"PK\x03\x04", "save or export it as CSV"),
        ("large.csv", b"x" * 1_000_001, "1 MB is the most"),
        ("empty.csv", b"", "no sheet yet"),
    ],
)
def test_a_file_that_is_no_sheet_says_so_and_keeps_what_was_typed(
    sheet: Page, tmp_path: Path, name: str, data: bytes, said: str
) -> None:
    (tmp_path / name).write_bytes(data)
    sheet.set_input_files("#file", tmp_path / name)
    shown = poll(
        lambda: f"{sheet.text_content('#wrong')} {sheet.text_content('#said')}", lambda now: said in now
    )
    assert said in shown


def test_an_unclear_column_is_settled_by_a_choice(sheet: Page) -> None:
    read(sheet, "Who,Arm,Shoulders\nMara,62,39\n")
    assert "could be Shoulder breadth" in (sheet.text_content("#wrong") or "")
    assert sheet.locator("#setups").is_hidden()
    sheet.focus("#column-2")
    sheet.select_option("#column-2", "shoulder_breadth")
    sheet.locator("#setups").wait_for()
    assert sheet.evaluate("document.activeElement.id") == "column-2"
    fit(sheet)
    assert len(table(sheet)) == 1


def test_the_unit_switch_reads_again(sheet: Page) -> None:
    read(sheet, "Lifter,Arm length,Shoulder breadth\nMara,24.5,15.25\nEdda,23,14\n")
    assert "fit with the unit “in”" in (sheet.text_content('#as-read [data-part="notes"]') or "")
    sheet.evaluate("document.querySelector('input[name=unit][value=in]').click()")
    sheet.locator("#fit:has-text('Fit 2 lifters')").wait_for()
    fit(sheet)
    assert sheet.locator("#results thead th").nth(1).text_content() == "Grip (in)"
    assert float(table(sheet)[0][1]) < 40


HOLD = """() => {  // the worker gets the first rows to fit; the rows after them are held here
  const send = Worker.prototype.postMessage;
  const held = [];
  let questions = 0;
  Worker.prototype.postMessage = function (message) {
    const fits = JSON.parse(message.request).want === 'team/fit';
    if (fits && ++questions > 1) held.push(() => send.call(this, message));
    else send.call(this, message);
  };
  globalThis.letGo = () => {
    Worker.prototype.postMessage = send;
    for (const go of held) go();
    return held.length;
  };
}"""


def test_stop_keeps_what_is_done_and_goes_on(sheet: Page, tmp_path: Path) -> None:
    text = HEADER + "".join(f"L{i},{60 + i / 10:.1f},39\n" for i in range(16))
    read(sheet, text)
    sheet.evaluate(HOLD)
    sheet.evaluate(FREEZE)
    sheet.dblclick("#fit")  # one tap too many is no stop
    sheet.locator("#results tbody tr").wait_for()
    assert sheet.locator("#done").is_visible() and sheet.locator("#stop").is_visible()
    sheet.evaluate(LATER)
    sheet.click("#stop")
    assert "Stopped after 1 of 16" in (sheet.text_content("#fit-said") or "")
    assert sheet.text_content("#fit") == "Fit 15 lifters"
    assert sheet.evaluate("letGo()") == 1, "the worker was at work when it was stopped"
    sheet.locator("#save:not([disabled])").wait_for()
    assert [row[0] for row in table(sheet)] == ["L0"], "nobody listens to what it still did"
    half = list(csv.reader(io.StringIO(saved(sheet, tmp_path)[1])))
    assert [row[0] for row in half[1:] if row[3]] == ["L0"]
    fit(sheet)
    assert [row[0] for row in table(sheet)] == [f"L{i}" for i in range(16)]
    assert saved(sheet, tmp_path)[1] == expected(text)[1]


def test_the_sheet_outlives_a_reload_and_clear_forgets_it(sheet: Page) -> None:
    page = sheet
    read(page, HEADER + "Mara,62,39\nJonas,66,41\n")
    fit(page)
    before = table(page)
    page.reload()
    wait_awake(page)
    page.locator("#save:not([disabled])").wait_for()
    assert table(page) == before and page.locator("#fit").is_hidden()
    page.click("#clear")
    held: list[Route] = []
    page.route("**/worker.mjs", lambda route: held.append(route))
    page.reload()
    assert page.input_value("#text") == "" and page.locator("#as-read").is_hidden()
    assert page.evaluate("Object.keys(sessionStorage).filter((key) => key.endsWith('|sheet'))") == []
    assert page.evaluate("Object.keys(localStorage)") == []
    page.fill("#text", HEADER + "Mara,62,39\n")
    assert page.get_attribute("html", "data-calculator") != "ready", "typed before Python is awake"
    page.click("#read")
    assert poll(lambda: page.evaluate("0") or held, bool)
    held[0].continue_()
    page.locator("#fit:has-text('Fit 1 lifter')").wait_for()
    page.unroute("**/worker.mjs")  # other tests go on with this page


def test_a_name_opens_the_lifter_on_the_fit_screen(sheet: Page) -> None:
    page = sheet
    read(page, "Lifter,Arm length (in),Shoulder breadth (in),Comfort\nMara,24.5,15.25,careful\n")
    fit(page)
    address = page.locator("#results th a").get_attribute("href") or ""
    assert address.startswith("./#v=2&l=bench&u=in&a=24.5&b=15.25&c=careful")


def test_what_a_sheet_keeps_its_own_file_opens(sheet: Page) -> None:
    """Numbers of one side, and a name whose last character has two halves: it counts as one."""
    name = "N" * 59 + "\U0001f3cb" + "tail"
    read(sheet, f"Lifter,Arm length (cm),L arm length (cm),Shoulder breadth (cm)\n{name},62,61,39\n")
    fit(sheet)
    sheet.click("#keep")
    out_said(sheet, "1 new lifter kept on this device")
    sheet.click("#keep")
    out_said(sheet, "0 new lifters kept")
    (kept,) = (one for one in sheet.evaluate(LIFTERS) if one["name"].startswith("NN"))
    sheet.evaluate("(id) => import('./page/shared/store.mjs').then((s) => s.remove(id))", kept["id"])
    assert kept["name"] == "N" * 59 + "\U0001f3cb"
    assert kept["tapes"][0]["fields"]["left.arm_length"] == "61"
    file = {"kind": roster.KIND, "version": roster.VERSION, "exported": kept["created"], "lifters": [kept]}
    assert roster.from_text(json.dumps(file))["lifters"] == [kept]


def out_said(page: Page, text: str) -> str:
    found = poll(lambda: page.text_content("#out-said") or "", lambda now: text in now)
    assert text in found
    return found


CHOSEN = "Lifter,Arm length (cm),Shoulder breadth (cm),Sex,Comfort\n"
TAKE_BACK = "document.querySelector('#took-back').click()"


def who_is(page: Page, name: str, what: str) -> None:
    item = page.locator("#people-list > li", has=page.locator(f'strong:text-is("{name}")'))
    item.get_by_label(what, exact=True).first.dispatch_event("click")


def test_a_sheet_is_kept_whole_and_a_second_one_updates_the_same_people(sheet: Page) -> None:
    """Tape, settings and setup; whoever is here already is asked about, and all can be taken back at once."""
    page = sheet
    read(page, CHOSEN + "Mara Feld,62,39,f,careful\nÖz Kaya,66,41,m,\nNemo,6,39,,\n")
    fit(page)
    assert page.evaluate(LIFTERS) == []
    page.click("#keep")
    out_said(page, "2 new lifters kept on this device")
    mara, oz = first = page.evaluate(LIFTERS)
    assert (mara["name"], oz["name"]) == ("Mara Feld", "Öz Kaya")
    assert mara["tapes"][0]["fields"] == {"arm_length": "62", "shoulder_breadth": "39"}
    assert mara["tapes"][0]["choices"] == {"sex": "female", "comfort": "careful"}
    [setup] = mara["lifts"]["bench"]["setups"]
    wanted = team.fit_row(team.read_sheet(CHOSEN + "Mara,62,39,f,careful\n").rows[0])
    assert {key: setup[key] for key in wanted.setup} == wanted.setup
    assert setup["text"].startswith(f"Grip (cm) {wanted.cells['grip']}, ")
    page.click("#keep")
    said = out_said(page, "Mara")
    assert "0 new lifters kept" in said and "with these same numbers: Mara Feld, Öz Kaya" in said

    read(page, CHOSEN.replace("(cm)", "(in)", 1) + '"Feld, Mara",24.8,39,f,\nOz Kaya,26,41,m,\nBo,26,41,,\n')
    fit(page)
    page.click("#keep")
    page.locator("#people").wait_for()
    assert page.evaluate(LIFTERS) == first, "nothing before a person said who is who"
    asked = page.locator("#people-list > li").all_text_contents()
    assert len(asked) == 2 and "Arm length 62 cm, now 24.8 in" in asked[0] and "Comfort" not in asked[0]
    assert "Setup kept next to 1 other: Grip" in asked[0] and "1 row is new" in page.text_content(
        "#people-said"
    )
    page.click("#people [type=submit]")
    assert "Left alone, because nobody said who it is: Feld, Mara, Oz Kaya" in out_said(page, "Left alone")
    assert [one["name"] for one in page.evaluate(LIFTERS)] == ["Bo", "Mara Feld", "Öz Kaya"]
    page.evaluate(TAKE_BACK)
    assert poll(lambda: page.evaluate(LIFTERS), lambda now: now == first) == first

    page.click("#keep")
    page.click("#people-all")
    who_is(page, "Oz Kaya", "Somebody else: add")
    page.click("#people [type=submit]")
    said = out_said(page, "2 new lifters kept")
    assert "1 lifter here has new numbers" in said
    names = [one["name"] for one in page.evaluate(LIFTERS)]
    assert names == ["Bo", "Mara Feld", "Oz Kaya", "Öz Kaya"]
    [now] = [one for one in page.evaluate(LIFTERS) if one["id"] == mara["id"]]
    assert now["tapes"][-1]["fields"] == {"arm_length": "24.8 in", "shoulder_breadth": "39"}
    assert (
        len(now["lifts"]["bench"]["setups"]) == 2
        and now["tapes"][-1]["choices"] == mara["tapes"][0]["choices"]
    )

    page.reload()  # it outlives the tab, and what was changed since stays
    wait_awake(page)
    assert "2 lifters were added and 1 changed" in (page.text_content("#took-said") or "")
    page.evaluate(PATCH, [mara["id"], {"notes": ""}, {"notes": "since"}])
    bo = next(one["id"] for one in page.evaluate(LIFTERS) if one["name"] == "Bo")
    page.evaluate(PATCH, [bo, {"notes": ""}, {"notes": "since"}])
    page.evaluate(TAKE_BACK)
    poll(lambda: page.text_content("#took-done"), lambda text: "changed since: Bo" in (text or ""))
    left = page.evaluate(LIFTERS)
    parts = ("name", "tapes", "lifts", "conflicts")
    assert [{name: one[name] for name in parts} for one in left[1:]] == [
        {name: one[name] for name in parts} for one in first
    ]
    assert left[0]["name"] == "Bo" and left[1]["notes"] == "since" and page.locator("#took").is_hidden()
    for one in left:
        page.evaluate("(id) => import('./page/shared/store.mjs').then((s) => s.remove(id))", one["id"])


def test_two_rows_are_never_one_lifter_nor_one_lifter_two_by_accident(sheet: Page) -> None:
    page = sheet
    read(page, CHOSEN + "Ada,62,39,f,\nAda,64,40,f,\n")
    fit(page)
    page.click("#keep")
    page.locator("#people").wait_for()
    page.click("#people [type=submit]")
    assert "Left alone, because nobody said who it is: Ada" in out_said(page, "1 new lifter kept")
    [ada] = page.evaluate(LIFTERS)
    read(page, CHOSEN + "ADA,63,39,f,\nAda,64,40,f,\n")
    fit(page)
    page.click("#keep")
    page.locator("#people").wait_for()
    for item in page.locator("#people-list > li").all():
        item.get_by_label("Same person", exact=True).dispatch_event("click")
    page.click("#people [type=submit]")
    assert "Two rows are both said to be Ada" in (page.text_content("#people-wrong") or "")
    assert page.evaluate(LIFTERS) == [ada]
    page.click("#people-no")
    assert page.locator("#people").is_hidden() and page.evaluate(LIFTERS) == [ada]
    page.evaluate("(id) => import('./page/shared/store.mjs').then((s) => s.remove(id))", ada["id"])


PATCH = "([id, base, changes]) => import('./page/shared/store.mjs').then((s) => s.patch(id, base, changes))"
LIFTERS = "async () => (await import('./page/shared/store.mjs')).list()"


@pytest.mark.offline
def test_it_works_offline(page: Page, site: Site) -> None:
    page.goto(site.url + "team.html")
    page.locator("#loading:has-text('offline')").wait_for()
    site.stop()
    page.reload()
    wait_awake(page)
    read(page, HEADER + "Mara,62,39\n")
    fit(page)
    assert len(table(page)) == 1


def test_the_empty_sheet_is_one_that_reads(sheet: Page, tmp_path: Path) -> None:
    with sheet.expect_download() as started:
        sheet.click("#empty")
    started.value.save_as(tmp_path / "empty.csv")
    header = (tmp_path / "empty.csv").read_text("utf-8")
    assert header.count("\n") == 1
    assert team.read_sheet(header + "Mara,62,39,,,,,,\n").errors == ()


SMALL = """() => [...document.querySelectorAll('main button, main select, main a, #file')]
  .filter((one) => one.checkVisibility())
  .map((one) => [one.id || one.textContent, one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 47.5 || box.width < 47.5).map(([name]) => name)"""


def test_fits_every_screen_targets_are_large_and_axe_finds_nothing(sheet: Page) -> None:
    read(sheet, team.example_sheet() + "Nemo with quite a long name of the kind people have,6.2,39\n")
    for summary in ("#columns > summary", "#rows > summary"):
        sheet.click(summary)
    fit(sheet)
    for width, height in SIZES.values():
        sheet.set_viewport_size({"width": width, "height": height})
        assert sheet.evaluate("document.documentElement.scrollWidth") == width
        assert sheet.evaluate(SMALL) == []
    schemes: tuple[Any, ...] = ("dark", "light")
    for scheme in schemes:
        sheet.emulate_media(color_scheme=scheme)
        found = Axe().run(sheet).response["violations"]
        assert [f"{scheme}, {one['id']}: {one['nodes'][0]['html']}" for one in found] == []
    for summary in ("#columns > summary", "#rows > summary"):
        sheet.click(summary)
    resize(sheet)
