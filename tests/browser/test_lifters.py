"""The lifters screen as a person uses it: a list, one opened, a file out and in, nothing lost on the way."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from shortlever import roster
from shortlever.roster.record import nothing_of_lift
from tests.browser.screen import SIZES, WATCH, at_rest, poll, resize, wait_awake

if TYPE_CHECKING:
    from playwright.sync_api import Download, Page

    from tests.conftest import Site

GOLDEN = Path(__file__).parents[1] / "core" / "lifters-2.json"
EMPTY = """async () => {
  const name = `shortlever|${new URL('./', location.href).pathname}`;
  const db = await new Promise((resolve) => {
    const asked = indexedDB.open(name);
    asked.onsuccess = () => resolve(asked.result);
  });
  const tx = db.transaction([...db.objectStoreNames], 'readwrite');
  for (const store of db.objectStoreNames) tx.objectStore(store).clear();
  await new Promise((resolve) => { tx.oncomplete = resolve; });
  db.close();
  document.querySelector('#undo').hidden = true;
  document.querySelector('#preview-no').click();
  document.querySelector('#file-wrong').textContent = '';
  dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }));
}"""
TAPES = [
    {"date": "2031-03-01", "unit": "cm", "fields": {"arm_length": "61", "stature": "170"}, "choices": {}},
    {
        "date": "2031-09-01",
        "unit": "cm",
        "fields": {"arm_length": "62,5", "stature": "171", "shoulder_breadth": "15 1/2\u00a0in"},
        "choices": {"comfort": "careful"},
    },
]


@pytest.fixture(scope="module")
def _board(open_shared: Callable[..., Page], _served: Site) -> Page:
    page = open_shared()
    page.add_init_script(WATCH)
    page.goto(_served.url + "lifters.html")
    wait_awake(page)
    return page


@pytest.fixture
def board(_board: Page, no_errors: None) -> Page:
    """The lifters screen on a phone, its calculator ready, nobody kept."""
    _board.evaluate(EMPTY)
    _board.get_by_text("Nobody is kept yet").wait_for()
    return _board


def store(page: Page, script: str, **given: Any) -> Any:
    """The value of a call of the page's own store."""
    names = ", ".join(given)
    return page.evaluate(
        f"({{ {names} }}) => import('./page/shared/store.mjs').then(async (store) => ({script}))",
        given,
    )


def again(page: Page) -> None:
    """The page looks once more what is kept, as after a way back to it."""
    page.evaluate("dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))")


def add(page: Page, name: str) -> None:
    page.fill("#new-name", name)
    page.click("#add button")
    poll(lambda: page.text_content("#lifter-title"), lambda now: now == name)
    assert page.text_content("#lifter-title") == name


def make(page: Page, name: str, **parts: Any) -> dict[str, Any]:
    made = store(page, "await store.create(parts)", parts={"name": name} | parts)
    again(page)
    page.locator(f'[data-id="{made["id"]}"]').wait_for()
    return made


def names(page: Page) -> list[str]:
    return page.locator("#list .slip strong").all_text_contents()


def wait_names(page: Page, *wanted: str) -> None:
    assert poll(lambda: names(page), lambda now: now == list(wanted)) == list(wanted)


def said(page: Page, place: str, text: str) -> str:
    found = poll(lambda: page.text_content(place) or "", lambda now: text in now)
    assert text in found
    return found


def kept(page: Page) -> list[dict[str, Any]]:
    return store(page, "await store.list()")


def saved(page: Page, button: str) -> Any:
    with page.expect_download() as started:
        page.click(button)
    return json.loads(Path(started.value.path()).read_text("utf-8"))


def choose_file(page: Page, text: str, name: str = "lifters.json") -> None:
    page.set_input_files(
        "#file",
        {"name": name, "mimeType": "application/json", "buffer": text.encode("utf-8", "surrogatepass")},
    )


def preview(page: Page, text: str) -> list[tuple[str, str]]:
    """Name and state of each lifter of the file, once it was looked through."""
    choose_file(page, text)
    page.locator("#preview:visible").wait_for()
    return [
        (item.locator("strong").first.text_content() or "", item.get_attribute("data-state") or "")
        for item in page.locator("#preview-list > li").all()
    ]


def choose(page: Page, name: str, value: str) -> None:
    item = page.locator(f'#preview-list > li:has(strong:text-is("{name}"))')
    item.locator(f'> .choice input[value="{value}"]').dispatch_event("click")


def write(page: Page, text: str) -> None:
    page.click("#preview [type=submit]")
    said(page, "#file-said", text)


# ---- the list


def test_add_search_duplicate_archive(board: Page) -> None:
    for name in ("Öz Kaya", "Ada Moll", "Bo Tran"):
        add(board, name)
    wait_names(board, "Ada Moll", "Bo Tran", "Öz Kaya")
    board.fill("#search", "oz")
    wait_names(board, "Öz Kaya")
    said(board, "#count", "1 of 3 matches “oz”")
    board.fill("#search", "")
    board.click("#list .slip >> nth=0")
    board.fill("#notes", "comes on Mondays")
    board.click("#duplicate")
    wait_names(board, "Ada Moll", "Ada Moll (2)", "Bo Tran", "Öz Kaya")
    first, second = kept(board)[:2]
    assert first["notes"] == second["notes"] == "comes on Mondays" and first["id"] != second["id"]
    board.click("#archive")
    wait_names(board, "Ada Moll", "Bo Tran", "Öz Kaya")
    said(board, "#count", "1 in the archive")
    board.fill("#search", "monday")
    wait_names(board, "Ada Moll", "Ada Moll (2)")
    board.fill("#search", "")
    board.check("#archived")
    wait_names(board, "Ada Moll", "Ada Moll (2)", "Bo Tran", "Öz Kaya")
    board.click("#archive")
    said(board, "#lifter-said", "back in the list")
    assert [one["archived"] for one in kept(board)] == [False] * 4


def test_a_name_that_cannot_be_says_why_and_stays_to_be_mended(board: Page) -> None:
    for name in ("  ", "x" * 61):
        board.fill("#new-name", name)
        board.click("#add button")
        said(board, "#add-said", "Give 1 to 60 characters")
        assert board.input_value("#new-name") == name
    add(board, "Ada")
    board.fill("#name", "")
    said(board, "#store-trouble", "A lifter needs a name")
    board.fill("#name", "Ada Moll")
    said(board, "#lifter-said", "Kept")
    assert board.locator("#store-trouble").is_hidden() and kept(board)[0]["name"] == "Ada Moll"


def test_delete_and_take_back_at_once_and_after_a_reload(board: Page) -> None:
    add(board, "Ada")
    board.fill("#notes", "typed just before")
    board.click("#delete")
    said(board, "#undo", "Ada is deleted")
    board.locator("#undo button:focus").wait_for()
    assert kept(board) == []
    board.click("#undo button")
    said(board, "#lifter-said", "Ada is back")
    board.click("#delete")
    said(board, "#count", "Nobody")
    board.reload()
    board.locator("#deleted:visible").wait_for()
    board.click("#deleted summary")
    board.get_by_role("button", name="Take back").click()
    said(board, "#lifter-said", "Ada is back")
    [ada] = kept(board)
    assert ada["notes"] == "typed just before" and board.locator("#deleted").is_hidden()
    board.click("#delete")
    board.get_by_role("button", name="Delete for good").click()
    board.get_by_role("button", name="Yes, for good").click()
    board.locator("#deleted").wait_for(state="hidden")
    assert store(board, "await store.deleted()") == []


def test_a_setup_taken_off_a_copy_stays_with_the_first(board: Page) -> None:
    setup = {"key": "s1", "name": "", "date": "2031-09-01", "text": "Grip 70.5 cm"}
    make(board, "Ada", lifts={"bench": nothing_of_lift() | {"setups": [setup]}})
    board.click("#list .slip")
    board.click("#duplicate")
    wait_names(board, "Ada", "Ada (2)")
    board.click("#setups button")
    said(board, "#lifter-said", "Taken off")
    assert {one["name"]: len(one["lifts"]["bench"]["setups"]) for one in kept(board)} == {
        "Ada": 1,
        "Ada (2)": 0,
    }


def test_tapes_show_what_changed_and_setups_and_sets_are_told(board: Page) -> None:
    set_of = {"candidate": "A", "load": "60", "unit": "kg", "reps": "5", "reserve": "2"}
    pending = [
        {
            "what": "add_candidate",
            "at": "2031-09-01T18:00:00Z",
            "candidate": {"label": "Grip 70.0 cm", "index": 5.0},
        },
        {"what": "add_set", "at": "2031-09-02T18:00:00+00:00", "set": set_of},
    ]
    setup = {"key": "s1", "name": "", "date": "2031-09-01", "text": "Grip 70.5 cm, touch 19.0 cm"}
    kept_of_it = nothing_of_lift() | {"setups": [setup]}
    kept_of_it["trials"]["pending"] = pending
    ada = make(board, "Ada", tapes=TAPES, lifts={"bench": kept_of_it})
    slip = board.locator("#list .slip")
    assert "Arm length 62,5 cm, Height 171 cm, taped 2031-09-01" in (slip.text_content() or "")
    slip.click()
    newest, oldest = board.locator("#tapes li").all_text_contents()
    assert "Arm length 61 cm, now 62,5 cm" in newest and "Height 170 cm, now 171 cm" in newest
    assert "Shoulder breadth –, now 15 1/2 in" in newest and "Shoulders –, now careful" in newest
    assert oldest == "2031-03-01 First tape: Arm length 61 cm, Height 170 cm"
    assert board.text_content("#trials") == "1 set, on 2031-09-02."
    board.get_by_role("button", name="Take off: Grip 70.5 cm").click()
    said(board, "#lifter-said", "Taken off")
    assert kept(board)[0]["lifts"]["bench"]["setups"] == []
    board.click("#to-fit")
    board.wait_for_url(lambda url: "lifters" not in url)
    assert store(board, "await store.current()") == ada["id"]
    board.goto(board.url.split("#")[0] + "lifters.html")
    said(board, "#list", "on the Fit screen")
    wait_awake(board)


def test_what_is_typed_is_kept_over_a_reload(board: Page) -> None:
    add(board, "Ada")
    board.fill("#notes", "healed")
    said(board, "#lifter-said", "Kept")
    board.fill("#notes", "healed, as of May")
    board.locator("#notes").blur()
    board.reload()
    board.click("#list .slip")
    assert board.input_value("#notes") == "healed, as of May"
    wait_awake(board)


def test_a_tap_that_ends_typing_is_not_lost(board: Page) -> None:
    """The finger goes down on another slip: that ends the typing, which is stored before the finger is up."""
    make(board, "Ada")
    make(board, "Bo")
    board.set_viewport_size({"width": 1024, "height": 768})  # list and lifter side by side
    board.click("#list .slip >> nth=0")
    board.fill("#name", "Ada Moll")
    box = board.locator("#list .slip >> nth=1").bounding_box()
    assert box
    board.mouse.move(box["x"] + 40, box["y"] + 20)
    board.mouse.down()
    stored = poll(lambda: [one["name"] for one in kept(board)], lambda now: now == ["Ada Moll", "Bo"])
    assert stored == ["Ada Moll", "Bo"]
    board.mouse.up()
    said(board, "#lifter-title", "Bo")
    wait_names(board, "Ada Moll", "Bo")
    resize(board)


def test_a_tap_on_another_lifter_leaves_each_with_their_own_notes(board: Page) -> None:
    """A finger's tap ends the typing and opens the other at once, before the device has answered."""
    make(board, "Ada")
    make(board, "Bo")
    board.click("#list .slip >> nth=0")
    board.fill("#notes", "of Ada")
    board.evaluate("document.activeElement.blur(); document.querySelectorAll('#list .slip')[1].click()")
    said(board, "#lifter-title", "Bo")
    poll(lambda: kept(board)[0]["notes"], lambda now: now == "of Ada")
    assert [one["notes"] for one in kept(board)] == ["of Ada", ""]
    board.fill("#notes", "of Bo")
    notes = poll(lambda: [one["notes"] for one in kept(board)], lambda now: now[1] == "of Bo")
    assert notes == ["of Ada", "of Bo"] and [one["conflicts"] for one in kept(board)] == [[], []]


A_LONG_TAP = """() => { // a finger that stays down a little longer than a tap may take is no tap: here it may
  const { setTimeout } = globalThis;
  globalThis.setTimeout = (work, ms, ...given) => (ms === 800 ? 0 : setTimeout(work, ms, ...given));
}"""


def test_nothing_moves_under_a_finger(board: Page) -> None:
    """What another tab changed would stand above the button: it waits for the finger, and the tap counts."""
    ada = make(board, "Ada", notes="here")
    board.click("#list .slip")
    button = board.locator("#archive")
    button.scroll_into_view_if_needed()
    box = button.bounding_box()
    assert box
    board.evaluate(A_LONG_TAP)
    board.mouse.move(box["x"] + 9, box["y"] + 9)
    board.mouse.down()
    changed = """async (id) => {
      const store = await import('./page/shared/store.mjs');
      await store.patch(id, { notes: 'before' }, { notes: 'there' });
      const name = `shortlever|${new URL('./', location.href).pathname}`;
      const heard = new BroadcastChannel(name); // after the page's own
      const told = new Promise((resolve) => { heard.onmessage = resolve; });
      new BroadcastChannel(name).postMessage(id);
      await told;
    }"""
    board.evaluate(changed, ada["id"])
    at_rest(board)
    assert button.bounding_box() == box and board.locator("#conflicts").is_hidden()
    board.mouse.up()
    board.locator("#conflicts").wait_for()
    assert poll(lambda: kept(board)[0]["archived"], bool)


# ---- two tabs


def test_two_tabs_on_one_lifter_lose_nothing_and_a_conflict_is_shown(board: Page) -> None:
    make(board, "Ada", notes="as of May")
    board.click("#list .slip")
    other = board.context.new_page()
    other.goto(board.url)
    other.click("#list .slip")
    other.fill("#name", "Ada Moll")
    said(board, "#lifter-title", "Ada Moll")
    assert board.input_value("#name") == "Ada Moll", "what was not touched here follows"
    board.evaluate(
        "const box = document.querySelector('#notes');"
        "box.value = 'typed here'; box.dispatchEvent(new InputEvent('input'))"
    )
    other.fill("#notes", "typed there")
    said(board, "#conflicts", "Notes")
    text = board.text_content("#conflicts") or ""
    assert "“typed here”" in text and "“typed there”" in text
    said(other, "#conflicts", "typed there")
    board.get_by_role("button", name="Keep “typed there”").click()
    assert poll(lambda: kept(board)[0]["notes"], lambda now: now == "typed there") == "typed there"
    for page in (board, other):
        page.locator("#conflicts").wait_for(state="hidden")
        assert poll(lambda p=page: p.input_value("#notes"), lambda now: now == "typed there") == "typed there"
    other.click("#delete")
    board.locator("#lifter").wait_for(state="hidden")
    other.close()


# ---- files


def test_saved_wiped_opened_again_everything_is_exactly_there(board: Page) -> None:
    assert preview(board, GOLDEN.read_text("utf-8")) == [("Mara Feld", "new"), ("Ümit Ødegård 深田", "new")]
    assert kept(board) == [], "nothing yet"
    write(board, "2 lifters written")
    golden = json.loads(GOLDEN.read_text("utf-8"))["lifters"]
    assert kept(board) == golden
    make(board, "Ada", tapes=TAPES)
    everyone = kept(board)
    file = saved(board, "#save-all")
    assert file["lifters"] == everyone and roster.from_text(json.dumps(file)) == file
    assert all(meta["dirty"] == "" for meta in store(board, "await store.metas()").values())
    board.evaluate(EMPTY)
    said(board, "#count", "Nobody")
    assert {state for _, state in preview(board, json.dumps(file))} == {"new"}
    write(board, "3 lifters written")
    assert kept(board) == everyone
    assert {state for _, state in preview(board, json.dumps(file))} == {"same"}
    write(board, "There was nothing to write")
    board.locator("#list .slip", has_text="Mara").click()
    assert [one["name"] for one in saved(board, "#save-one")["lifters"]] == ["Mara Feld"]


def changed_file(file: dict[str, Any], **parts: Any) -> str:
    out = copy.deepcopy(file)
    out["lifters"][0] |= parts
    return json.dumps(out)


def test_a_conflict_waits_for_a_choice_and_each_choice_does_what_it_says(board: Page) -> None:
    ada = make(board, "Ada", notes="base", tapes=TAPES)
    file = saved(board, "#save-all")
    store(board, "await store.patch(id, { notes: 'base' }, { notes: 'mine' })", id=ada["id"])
    again(board)
    other = [TAPES[0], TAPES[1] | {"fields": {"arm_length": "63"}}]
    theirs = changed_file(file, notes="theirs", tapes=other)
    assert preview(board, theirs) == [("Ada", "conflict")]
    told = board.text_content("#preview-list") or ""
    assert "Notes: “mine” here, “theirs” in the file; both changed" in told
    assert "Arm length, 2031-09-01: “62,5” here, “63” in the file; from the file" in told
    choose(board, "Ada", "mine")
    assert board.locator("#preview-list li li fieldset").is_hidden()
    write(board, "There was nothing to write")
    assert kept(board)[0]["notes"] == "mine" and kept(board)[0]["tapes"] == TAPES
    preview(board, theirs)
    choose(board, "Ada", "both")
    write(board, "1 lifter written")
    assert sorted(one["notes"] for one in kept(board)) == ["mine", "theirs"]
    preview(board, theirs)
    assert board.is_checked('[data-path="notes"][value="mine"]'), "nothing is overwritten unless chosen"
    board.locator('[data-path="notes"][value="theirs"]').dispatch_event("click")
    write(board, "1 lifter written")
    [first] = [one for one in kept(board) if one["id"] == ada["id"]]
    assert first["notes"] == "theirs" and first["tapes"] == other


def looked_again(page: Page) -> None:
    again(page)
    at_rest(page)


def log_set(page: Page, ident: str, load: int, at: str = "2031-06-01") -> None:
    entry = {"candidate": "A", "load": str(load), "unit": "kg", "reps": "5", "reserve": "1"}
    change = {"what": "add_set", "at": f"{at}T18:00:00.000Z", "set": entry | {"touched": True, "pain": False}}
    store(page, "await store.addChange(id, change)", id=ident, change=change)


def patch(page: Page, ident: str, before: dict[str, Any], after: dict[str, Any]) -> None:
    store(page, "await store.patch(id, before, after)", id=ident, before=before, after=after)


def everybody(page: Page) -> dict[str, Any]:
    """Names, notes, tapes and the loads of all sets, the same on two devices that know the same."""
    found = {}
    for one in kept(page):
        log = one["lifts"].get("bench", nothing_of_lift())["trials"]["log"]
        loads = sorted(done["load_kg"] for done in json.loads(log)["sets"]) if log else []
        found[one["name"]] = (one["notes"], one["tapes"], loads)
    return found


def test_two_devices_that_both_changed_things_come_together(
    board: Page, open_page: Callable[..., Page], site: Site
) -> None:
    """A coach's tablet and phone: one lifter changed on both, others on one, both files exchanged."""
    ada, bo = (make(board, name, tapes=TAPES)["id"] for name in ("Ada", "Bo"))
    setup = {
        "what": "add_candidate",
        "at": "2031-06-01T17:00:00.000Z",
        "candidate": {"label": "Wide", "index": 5.0},
    }
    store(board, "await store.addChange(id, setup)", id=ada, setup=setup)
    log_set(board, ada, 60)
    looked_again(board)
    first = json.dumps(saved(board, "#save-all"))
    phone = open_page()
    phone.add_init_script(WATCH)
    phone.goto(site.url + "lifters.html")
    wait_awake(phone)
    preview(phone, first)
    write(phone, "2 lifters written")

    tape = "tapes/2031-09-01/fields/"
    was = {"notes": "", f"{tape}stature": "171", f"{tape}arm_length": "62,5"}
    patch(board, ada, was, {"notes": "on the tablet", f"{tape}stature": "172"})
    log_set(board, ada, 70)
    make(board, "Cleo")
    patch(phone, ada, was, {"notes": "on the phone", f"{tape}arm_length": "63"})
    log_set(phone, ada, 75)
    patch(phone, bo, {"name": "Bo"}, {"name": "Bo Tran"})
    make(phone, "Dag")
    for page in (board, phone):
        looked_again(page)
    files = [json.dumps(saved(page, "#save-all")) for page in (board, phone)]

    assert preview(board, files[1]) == [("Ada", "conflict"), ("Bo Tran", "changed"), ("Dag", "new")]
    told = board.text_content("#preview-list") or ""
    assert "Sets, bench press: “2 sets” here, “2 sets” in the file; both are kept" in told
    assert "Notes: “on the tablet” here, “on the phone” in the file; both changed" in told
    write(board, "3 lifters written")
    assert preview(phone, files[0]) == [("Ada", "conflict"), ("Bo", "older"), ("Cleo", "new")]
    phone.locator('[data-path="notes"][value="theirs"]').dispatch_event("click")
    write(phone, "2 lifters written")

    both = [TAPES[0], TAPES[1] | {"fields": TAPES[1]["fields"] | {"stature": "172", "arm_length": "63"}}]
    wanted = {
        "Ada": ("on the tablet", both, [60, 70, 75]),
        "Bo Tran": ("", TAPES, []),
        "Cleo": ("", [], []),
        "Dag": ("", [], []),
    }
    assert everybody(board) == wanted and everybody(phone) == wanted
    last = saved(board, "#save-all")
    assert {state for _, state in preview(phone, json.dumps(last))} == {"same"}
    write(phone, "There was nothing to write")
    assert all(meta["dirty"] == "" for meta in store(phone, "await store.metas()").values())
    log_set(phone, ada, 80)
    looked_again(phone)
    assert dict(preview(board, json.dumps(saved(phone, "#save-all"))))["Ada"] == "changed"
    write(board, "1 lifter written")
    assert everybody(board)["Ada"][2] == [60, 70, 75, 80], "no set is there twice"


def test_a_chain_of_codes_brings_lifters_to_another_device(
    board: Page, open_page: Callable[..., Page], site: Site
) -> None:
    """Each code opens a page on the other device, which keeps what came so far, in any order."""
    for number in range(4):
        make(board, f"Lifter {number}", tapes=TAPES, notes=f"{number * 7919:x} " + "ab" * number)
    looked_again(board)
    everyone = kept(board)
    board.click("#codes-all")
    place = said(board, "#codes-place", "Code 1 of ")
    links = []
    for number in range(1, int(place.split()[-1]) + 1):
        said(board, "#codes-place", f"Code {number} of ")
        assert board.locator("#codes .qr svg").count() == 1
        links.append(board.get_attribute("#codes .qr", "data-link") or "")
        if board.locator("#codes-on").is_enabled():
            board.click("#codes-on")
    assert len(links) > 1 and all(len(link) < 800 for link in links)
    board.click("#codes-close")
    phone = open_page()
    for number, link in reversed(list(enumerate(links, 1))):
        phone.goto("about:blank")  # a camera opens each code as a page of its own
        phone.goto(link)
        if number > 1:
            missing = ", ".join(map(str, range(1, number)))
            said(
                phone,
                "#file-said",
                f"Code {number} of {len(links)} is here. Still to scan: {missing}.",
            )
            assert "#" not in phone.url
    phone.locator("#preview:visible").wait_for()
    assert "#" not in phone.url
    assert "The chain of codes holds 4 lifters" in (phone.text_content("#preview-said") or "")
    write(phone, "4 lifters written")
    assert kept(phone) == everyone
    phone.evaluate("(hash) => { location.hash = hash; }", links[0].split("#")[1][:-9])
    phone.evaluate("(hash) => { location.hash = hash; }", "f=nonsense")
    said(phone, "#file-wrong", "These codes are damaged")


def test_changed_in_another_tab_meanwhile_nothing_is_written_and_the_preview_is_new(board: Page) -> None:
    ada = make(board, "Ada", notes="base")
    theirs = changed_file(saved(board, "#save-all"), notes="theirs")
    assert preview(board, theirs) == [("Ada", "changed")]
    store(board, "await store.patch(id, { notes: 'base' }, { notes: 'meanwhile' })", id=ada["id"])
    board.click("#preview [type=submit]")
    said(board, "#file-wrong", "Nothing was written")
    board.locator('#preview-list [data-state="conflict"]').wait_for()
    assert kept(board)[0]["notes"] == "meanwhile"


def test_what_one_file_cannot_hold_goes_into_several_and_each_opens(board: Page) -> None:
    """Also on the device it is from, where what stands here goes to Python beside it."""
    names = [f"L{n:02}" for n in range(6)]
    for name in names:
        store(board, "await store.create({ name, notes })", name=name, notes='"' * 600_000)
    again(board)
    board.locator("#list .slip").nth(5).wait_for()
    at_rest(board)
    coming: list[Download] = []
    board.on("download", take := lambda one: coming.append(one))
    board.click("#save-all")
    files = int(said(board, "#file-said", "1-of-").split("1-of-")[1].split("-")[0])
    assert files > 1
    poll(lambda: board.evaluate("0") or coming, lambda now: len(now) == files)  # a call lets events in
    board.remove_listener("download", take)
    texts = [Path(one.path()).read_text("utf-8") for one in coming]
    for text in texts:
        assert {state for _, state in preview(board, text)} == {"same"}
    assert sorted(one["name"] for text in texts for one in json.loads(text)["lifters"]) == names


def test_a_damaged_file_says_where_and_changes_nothing(board: Page, tmp_path: Path) -> None:
    ada = make(board, "Ada")
    text = GOLDEN.read_text("utf-8")
    only = json.loads(text)
    only["lifters"] = only["lifters"][:1]
    only["lifters"][0]["tapes"][0]["unit"] = "ft"
    for broken, place in (
        (text[:400], "line 1"),
        (json.dumps(only), "lifters[0].tapes[0].unit"),
        (text.replace('"version": 2,\n "exported"', '"version": 9,\n "exported"'), "format 9"),
        ("\x00\x01", "line 1"),
        ("[" * 100_000, "nested more than"),
    ):
        choose_file(board, broken, "old.json")
        found = poll(lambda p=place: board.text_content("#file-wrong") or "", lambda now, p=place: p in now)
        assert place in found and found.startswith("old.json: ")
        assert board.locator("#preview").is_hidden()
    (tmp_path / "large.json").write_text("x" * 20_000_001)
    board.set_input_files("#file", tmp_path / "large.json")  # by its path: nobody has to carry 20 MB there
    said(board, "#file-wrong", "has 20.0 MB; a file of lifters has 20")
    assert kept(board) == [ada]
    assert preview(board, text)[0][1] == "new", "and a good one still opens"


def test_a_damaged_lifter_of_a_file_is_put_aside_and_the_others_open(board: Page) -> None:
    file = json.loads(GOLDEN.read_text("utf-8"))
    first, second = file["lifters"]
    first["lifts"]["bench"]["preference"] = 7
    choose_file(board, json.dumps(file), "old.json")
    board.locator("#preview:visible").wait_for()
    told = board.locator('#preview-list > [data-state="damaged"]').inner_text()
    assert first["name"] in told and "lifters[0].lifts.bench.preference" in told
    assert "2 lifters" in board.inner_text("#preview-said")
    board.locator("#preview button[type=submit]").click()
    said(board, "#file-said", "1 lifter")
    assert [one["name"] for one in kept(board)] == [second["name"]]
    aside = store(board, "await store.damaged()")
    assert [one["raw"] for one in aside] == [first]
    for one in aside:
        store(board, "await store.dropDamaged(key)", key=one["key"])


def test_on_a_phone_the_file_goes_to_the_share_sheet_right_at_the_tap(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page(has_touch=True, is_mobile=True)
    page.add_init_script("""
      navigator.canShare = () => true;
      navigator.share = async ({ files }) => {
        const tapped = navigator.userActivation.isActive;
        window.shared = { text: await files[0].text(), tapped };
        if (window.putAway) throw new DOMException('', 'AbortError');
      };
    """)
    page.goto(site.url + "lifters.html")
    page.fill("#new-name", "Ada")
    page.tap("#add button")
    said(page, "#lifter-title", "Ada")
    page.evaluate("window.putAway = true")
    page.tap("#save-all")
    assert poll(lambda: page.evaluate("window.shared?.tapped"), bool) is True
    assert poll(lambda: page.text_content("#file-said"), lambda now: now == "") == ""
    assert [meta["dirty"] != "" for meta in store(page, "await store.metas()").values()] == [True]
    page.evaluate("window.putAway = false")
    page.tap("#save-all")
    said(page, "#file-said", "Sent to the other app")
    assert [one["name"] for one in json.loads(page.evaluate("window.shared.text"))["lifters"]] == ["Ada"]
    assert [meta["dirty"] for meta in store(page, "await store.metas()").values()] == [""]


# ---- the device


def test_unsaved_for_two_weeks_is_reminded_of_once_a_week(board: Page) -> None:
    make(board, "Ada")
    remind = "await (await import('./page/shared/remind.mjs')).toRemindOf(Date.now() + days * 86400000)"
    assert [store(board, remind, days=days) for days in (0, 13)] == [0, 0]
    assert [store(board, remind, days=days) for days in (15, 15, 21.5)] == [1, 0, 0]
    assert store(board, remind, days=22.5) == 1, "a week later, still in no file"
    saved(board, "#save-all")
    assert poll(lambda: store(board, remind, days=40), lambda now: now == 0) == 0
    store(board, "await store.patch(id, {}, { notes: 'x' })", id=kept(board)[0]["id"])
    store(board, "await store.set('reminded', 0)")
    board.evaluate("const real = Date.now; Date.now = () => real() + 15 * 86400000;")
    assert store(board, "await (await import('./page/shared/remind.mjs')).toRemindOf()") == 1
    board.evaluate("delete Date.now; Date.now = () => new Date().getTime();")


def test_a_reminder_is_shown_and_can_be_put_off(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page()
    page.goto(site.url + "lifters.html")
    add(page, "Ada")
    page.add_init_script("{ const real = Date.now; Date.now = () => real() + 15 * 86400000; }")
    page.goto(site.url + "sets.html")  # where a person works
    said(page, "#remind", "1 lifter has changes that were in no file")
    page.click("#remind-later")
    assert page.locator("#remind").is_hidden()
    store(page, "[await store.set('reminded', 0), await store.set('looked', 0)]")
    page.goto(site.url)
    said(page, "#remind", "1 lifter has changes that were in no file")
    assert [one["name"] for one in saved(page, "#remind-save")["lifters"]] == ["Ada"]
    said(page, "#remind-done", "Keep a copy away from this device")
    assert [meta["dirty"] for meta in store(page, "await store.metas()").values()] == [""]


@pytest.mark.parametrize(("answer", "text"), [(True, "promises to keep"), (False, "does not promise")])
def test_persist_is_asked_for_after_the_first_lifter_and_its_answer_shown(
    open_page: Callable[..., Page], site: Site, answer: bool, text: str
) -> None:
    page = open_page()
    page.add_init_script(f"""
      window.asked = 0;
      navigator.storage.persist = async () => {{ window.asked += 1; return {json.dumps(answer)}; }};
      navigator.storage.persisted = async () => window.asked > 0 && {json.dumps(answer)};
    """)
    page.goto(site.url + "lifters.html")
    said(page, "#persisted", "does not promise")
    assert page.evaluate("window.asked") == 0
    add(page, "Ada")
    said(page, "#persisted", text)
    add(page, "Bo")
    assert page.evaluate("window.asked") == 1
    assert page.locator("#ask-persist").is_hidden() is answer


def test_a_shared_device_starts_with_a_guest(board: Page) -> None:
    ada = make(board, "Ada")
    store(board, "await store.setCurrent(id)", id=ada["id"])
    current = "async () => (await import('./page/shared/store.mjs')).current()"

    def new_tab() -> str:
        page = board.context.new_page()
        page.goto(board.url)
        found = page.evaluate(current)
        page.close()
        return found

    assert new_tab() == ada["id"]
    board.check("#shared")
    poll(lambda: store(board, "await store.setting('shared')"), bool)
    assert new_tab() == "guest"
    board.uncheck("#shared")


def test_a_full_device_says_so_keeps_the_typing_and_still_saves_a_file(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page()
    session = page.context.new_cdp_session(page)
    room = {"origin": site.url.rstrip("/"), "quotaSize": 400_000}
    session.send("Storage.overrideQuotaForOrigin", room)  # the browser remembers how much room it saw first
    page.goto(site.url + "lifters.html")
    add(page, "Ada")
    much = "typed at length " * 40_000
    page.fill("#notes", much)
    said(page, "#store-trouble", "This device is full")
    assert page.input_value("#notes") == much
    assert [one["name"] for one in saved(page, "#save-all")["lifters"]] == ["Ada"]
    session.send("Storage.overrideQuotaForOrigin", {"origin": room["origin"]})
    page.fill("#notes", "shorter")
    said(page, "#lifter-said", "Kept")
    assert page.locator("#store-trouble").is_hidden() and kept(page)[0]["notes"] == "shorter"


def test_a_damaged_record_is_told_can_be_saved_raw_and_the_rest_opens(board: Page) -> None:
    make(board, "Ada")
    bo = make(board, "Bo", notes="precious")
    board.evaluate(
        """async (id) => {
          const name = `shortlever|${new URL('./', location.href).pathname}`;
          const open = indexedDB.open(name);
          await new Promise((r) => { open.onsuccess = r; });
          const db = open.result;
          const tx = db.transaction('lifters', 'readwrite');
          const asked = tx.objectStore('lifters').get(id);
          asked.onsuccess = () => tx.objectStore('lifters').put({ ...asked.result, tapes: 'torn' });
          await new Promise((r) => { tx.oncomplete = r; });
          db.close();
        }""",
        bo["id"],
    )
    again(board)
    wait_names(board, "Ada")
    said(board, "#damaged", "Bo: the part “tapes” is not as it should be")
    with board.expect_download() as started:
        board.get_by_role("button", name="Save the raw data").click()
    [raw] = json.loads(Path(started.value.path()).read_text("utf-8"))
    assert raw["raw"] == bo | {"tapes": "torn"}
    board.get_by_role("button", name="Remove").click()
    board.get_by_role("button", name="Yes, for good").click()
    board.locator("#damaged").wait_for(state="hidden")
    wait_names(board, "Ada")


# ---- for every hand and eye


def full_screen(page: Page) -> None:
    make(page, "Ada with a name that is as long as anybody may ever give her", tapes=TAPES, notes="n " * 200)
    make(page, "Gone")
    page.click('#list .slip:has-text("Gone")')
    page.click("#delete")
    page.click("#list .slip")
    preview(page, GOLDEN.read_text("utf-8"))
    page.evaluate("document.querySelector('#deleted').open = true")


SMALL = """() => [...document.querySelectorAll(
    'main button, main input:not(.choice input), main .choice label, .keep')]
  .filter((one) => one.checkVisibility() && !one.closest('.keep *'))
  .map((one) => [one.id || one.textContent, one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 47.5 || box.width < 47.5).map(([name]) => name)"""


def test_nothing_is_wider_than_the_screen_and_targets_are_large(board: Page) -> None:
    full_screen(board)
    looks: tuple[tuple[tuple[int, int], Any], ...] = (((320, 640), "light"), (SIZES["tablet"], "dark"))
    for (width, height), scheme in looks:
        board.set_viewport_size({"width": width, "height": height})
        board.emulate_media(color_scheme=scheme)
        assert board.evaluate("document.documentElement.scrollWidth") == width
        assert board.evaluate(SMALL) == []
        found = Axe().run(board).response["violations"]
        assert [f"{scheme}, {one['id']}: {one['nodes'][0]['html']}" for one in found] == []
    board.emulate_media(color_scheme="light")
    resize(board)
