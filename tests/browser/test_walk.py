"""Whatever a walk over all screens keeps opens again from its own file on an empty device, byte for byte."""

from __future__ import annotations

import random
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from shortlever.view.link import to_fragment
from tests.browser.screen import LATER, WATCH, at_rest, fill, poll, wait_awake, wait_own

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from tests.conftest import Site

# Each record as its text: what is the same byte for byte has its parts in the same order too.
TEXTS = """async () => {
  const s = await import('./page/shared/store.mjs');
  return (await s.list()).map((one) => JSON.stringify(one)).sort();
}"""
DEAF = """{
  globalThis.BroadcastChannel = class extends EventTarget { postMessage() {} };
}"""
NUMBERS = (
    "61",
    "61,5",
    "24 1/2 in",
    "2′ 1",
    "7" * 60,
    "wide",
    "62 \U0001f3cb",
    "é" * 20,
    "=1+1",
    "61\u00a0cm",
)
NAMES = ("Öz", "N" * 59 + "\U0001f3cb", "constructor", "=1+1; x", "深田", "toString", 'a,b"c', "guest")
NOTES = ("left shoulder", "\U0001f3cb" * 300, "a\n\n\tb\u2028c", '{"kind": "shortlever lifters"}', "x" * 2000)
FIELDS = ("arm_length", "shoulder_breadth", "chest_flat", "stature", "body_mass", "current_grip", "span")
SHEET = "Lifter,Arm length (cm),L arm length (cm),Shoulder breadth (cm),Sex\n{},62,61.5,39,f\n"
FILMED = {"touch_m": 0.17, "mean_arm_m": 0.081, "off_plan_m": None, "range_of_motion_m": 1e-3}


class Walk:
    """One device, and what a person may do on each screen; a step is over when all of it is stored."""

    def __init__(self, open_page: Callable[..., Page], site: Site, seed: int) -> None:
        self.page = open_page(accept_downloads=True)
        self.page.add_init_script(WATCH)
        self.site = site
        self.draw = random.Random(seed)
        self.page.goto(site.url + "lifters.html")
        self.new()

    def go(self, path: str) -> Page:
        self.page.goto(self.site.url + path)
        wait_awake(self.page)
        return self.page

    def store(self, script: str, **given: Any) -> Any:
        names = ", ".join(given)
        call = f"({{ {names} }}) => import('./page/shared/store.mjs').then(async (store) => ({script}))"
        return self.page.evaluate(call, given)

    def turn(self) -> str:
        """Someone who is kept, and whose turn it is now."""
        ids = [one["id"] for one in self.store("await store.list()")]
        id = str(self.draw.choice(ids))
        self.store("await store.setCurrent(id)", id=id)
        return id

    def fit(self) -> Page:
        """The fit screen with good numbers of someone who is kept."""
        self.turn()
        page = self.go("")
        fill(page, **dict.fromkeys(FIELDS, ""))
        fill(page, arm_length=f"{self.draw.randint(55, 70)} cm", shoulder_breadth="40 cm")
        wait_own(page)
        at_rest(page)
        return page

    def name(self, field: str, name: str) -> None:
        """Type or paste a name; where a field counts otherwise it cuts what is too long."""
        self.page.focus(field)
        self.page.keyboard.insert_text(name)

    # ---- what a person does

    def new(self) -> None:
        self.go("lifters.html")
        name = self.draw.choice(NAMES)
        self.name("#new-name", name)
        self.page.locator("#add button").click()
        self.page.locator("#lifter:not([hidden])").wait_for()
        self.page.fill("#notes", self.draw.choice(NOTES))
        at_rest(self.page)

    def typed(self) -> None:
        self.turn()
        page = self.go("")
        at_rest(page)
        fill(page, **{field: self.draw.choice(NUMBERS) for field in self.draw.sample(FIELDS, 4)})
        at_rest(page)

    def setup(self) -> None:
        page = self.fit()
        page.click("#keep-setup")
        at_rest(page)

    def sets(self) -> None:
        page = self.fit()
        page.click("#try-in-sets")
        told = "document.querySelector('#try-said')?.textContent"
        page.wait_for_function(f"() => location.pathname.endsWith('/sets.html') || {told}")
        assert "sets.html" in page.url, page.evaluate(told)
        page.locator("#entry:not([hidden])").wait_for()
        self.folded()
        for load in ("100", "62,5", "225 lb"):
            fill(page, load=load, reps="5", reserve="1,5")
            page.evaluate(LATER)
            page.click("#log")
            self.folded()

    def folded(self) -> None:
        """The core has worked in all that was tapped; the rest clock ticks on."""
        waiting = "(await store.read(await store.current())).lifts.bench.trials.pending"
        assert poll(lambda: self.store(waiting), lambda left: left == []) == []

    def film(self) -> None:
        """A set, and what a clip of it showed, as the film screen hands it over."""
        self.sets()
        change = {"what": "attach_film", "at": "2031-05-05T18:00:00.000Z", "number": 1, "measured": FILMED}
        self.store("await store.addChange(await store.current(), change)", change=change)
        self.page.reload()
        self.folded()

    def sheet(self) -> None:
        page = self.go("team.html")
        page.fill("#text", SHEET.format(self.draw.choice([name for name in NAMES if "," not in name])))
        page.click("#read")
        page.locator("#setups:not([hidden])").wait_for()
        page.evaluate(LATER)
        page.click("#fit")
        page.locator("#keep:not([disabled])").wait_for()
        page.click("#keep")
        at_rest(page)

    def link(self) -> None:
        """A link with a dial and a setup picked; what came is kept under a name of its own."""
        page = self.go("")
        fields = {"arm_length": "24 1/2", "shoulder_breadth": "15.5"}
        choice = {"grip_m": 0.71, "touch_m": 0.0905}
        request = {"unit": "in", "fields": fields, "preference": 0.25, "choice": choice, "comfort": "careful"}
        page.evaluate("(f) => { location.hash = f; }", to_fragment(request))
        show = page.locator("#received-show")
        poll(lambda: page.evaluate("location.hash"), lambda left: left == "" or show.is_visible())
        if show.is_visible():
            show.click()
        page.locator("#keep-form").wait_for()
        wait_own(page)
        at_rest(page)
        self.name("#keep-name", self.draw.choice(NAMES))
        page.click("#keep")
        at_rest(page)

    def two_tabs(self) -> None:
        """Two tabs give one number two values, and neither hears of the other."""
        self.turn()
        page = self.go("")
        other = page.context.new_page()
        other.add_init_script(DEAF)
        other.goto(self.site.url)
        wait_awake(other)
        for tab, text in ((page, "63"), (other, "64")):
            poll(lambda tab=tab: tab.evaluate("document.querySelector('#whose-said').textContent"), bool)
            fill(tab, span=text, arm_length=text)
        other.locator("#conflicts li").first.wait_for()
        other.close()
        at_rest(page)

    def merge(self) -> None:
        """The device's file, opened once more after someone was changed."""
        text = self.saved()
        id = self.turn()
        self.store("await store.patch(id, await store.read(id), { notes: 'meanwhile' })", id=id)
        self.open(text, self.draw.choice(("theirs", "both", "mine")))

    def saved(self) -> bytes:
        page = self.go("lifters.html")
        at_rest(page)
        with page.expect_download() as coming:
            page.click("#save-all")
        return Path(coming.value.path()).read_bytes()

    def open(self, text: bytes, choice: str = "theirs") -> None:
        page = self.go("lifters.html")
        page.set_input_files("#file", {"name": "f.json", "mimeType": "application/json", "buffer": text})
        page.locator("#preview:not([hidden])").wait_for()
        for offered in page.locator(f'#preview-list input[value="{choice}"]').all():
            offered.dispatch_event("click")
        page.locator('#preview button[type="submit"]').click()
        page.locator("#preview").wait_for(state="hidden")
        at_rest(page)


STEPS = (
    Walk.new,
    Walk.typed,
    Walk.setup,
    Walk.film,  # and sets before it
    Walk.sheet,
    Walk.link,
    Walk.two_tabs,
    Walk.merge,
)


@pytest.mark.parametrize("seed", [1, *(pytest.param(n, marks=pytest.mark.slow) for n in range(2, 22))])
def test_what_a_walk_over_the_screens_keeps_opens_from_its_own_file(
    open_page: Callable[..., Page], site: Site, seed: int
) -> None:
    walk = Walk(open_page, site, seed)
    for step in walk.draw.sample(STEPS, len(STEPS)):
        step(walk)
    before = walk.page.evaluate(TEXTS)
    assert len(before) >= 3 and walk.store("await store.damaged()") == []
    text = walk.saved()
    empty = Walk.__new__(Walk)
    empty.page, empty.site = open_page(), site
    empty.page.add_init_script(WATCH)
    empty.open(text)
    assert empty.page.evaluate(TEXTS) == before
