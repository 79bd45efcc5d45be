"""How long the lifters screen takes with a whole club on the device: 300 lifters with 200 sets each.

Run with ``python3 build.py test tests/speed/test_club.py -m speed -s``, on a machine otherwise at rest. Every
time is the page's own, from the tap, the key or the start of the page until what follows is painted; medians.
"""

from __future__ import annotations

import json
import random
import statistics
from collections.abc import Callable
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from shortlever import roster
from shortlever.roster.record import nothing_of_lift
from shortlever.trials import Candidate, SetRecord, TrialLog, add_set, to_json
from shortlever.trials.changes import MOST_STEPS
from tests.browser.screen import wait_awake

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.conftest import Site

LIFTERS, SETS, TURNS = 300, 200, 5
LIST_MS, SEARCH_MS, FILE_MS = 500.0, 50.0, 3000.0
PATIENCE_MS = 120_000
TIME = "2031-09-01T18:00:00.000Z"
SETUPS = [("Grip 70.5 cm, touch 19.0 cm", 5.1), ("Grip 64.0 cm, touch 17.5 cm", 5.3), ("Grip 76.0 cm", 4.9)]

# `club.until(selector, text)`: the time of the first frame after a place came to hold a text, shown.
CLOCK = """globalThis.club = {
  painted: () => new Promise((resolve) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => resolve(performance.now());
    port2.postMessage(null);
  })),
  until: (selector, text) => new Promise((resolve) => {
    const look = () => {
      const place = document.querySelector(selector);
      if (!place?.textContent.includes(text) || place.closest('[hidden]')) return;
      watch.disconnect();
      resolve(club.painted());
    };
    const watch = new MutationObserver(look);
    watch.observe(document, { subtree: true, childList: true, characterData: true, attributes: true });
    look();
  }),
  async took(act, selector, text) {
    const started = performance.now();
    const end = club.until(selector, text);
    await act();
    return await end - started;
  },
};
club.listed = club.until('#count', 'LIFTERS');""".replace("LIFTERS", f"{LIFTERS} lifters")
FIND = """async (text) => {
  const search = document.querySelector('#search');
  const started = performance.now();
  search.value = text;
  search.dispatchEvent(new Event('input', { bubbles: true }));
  return await club.painted() - started;
}"""
CHOSEN = """() => document.querySelector('#file').addEventListener('change', () => {
  const started = performance.now();
  club.opened = club.until('#preview-said', 'lifters').then((end) => end - started);
}, { once: true, capture: true })"""

TAKE = """(listed) => {
  return club.took(() => document.querySelector('#preview [type=submit]').click(), '#count', listed);
}"""


def club() -> dict[str, Any]:
    """A file of lifters who compare three setups each, all numbers invented."""
    chance = random.Random(20)

    def log_of() -> TrialLog:
        candidates = tuple(
            Candidate("ABC"[i], label, index, 0.3, 0.1, present=i == 0, dial=0.5, marks=("a finger out",))
            for i, (label, index) in enumerate(SETUPS)
        )
        sets = [
            SetRecord(
                "ABC"[i % 3],
                str(date(2031, 1, 6) + timedelta(days=i // 4)),
                chance.randint(80, 280) / 2,
                chance.randint(1, 8),
                chance.randint(0, 3),
                number=i + 1,
            )
            for i in range(SETS)
        ]
        log = TrialLog(candidates, tuple(sets[:-MOST_STEPS]), next_number=SETS - MOST_STEPS + 1)
        for one in sets[-MOST_STEPS:]:
            log = add_set(log, one)
        return log

    def lifter(number: int) -> dict[str, Any]:
        trials = {"log": to_json(log_of()), "pending": [], "revision": SETS}
        setup = {"key": "s1", "name": "", "date": "2031-09-01", "grip_m": 0.705, "text": SETUPS[0][0]}
        tapes = [
            {
                "date": day,
                "unit": "cm",
                "fields": {"arm_length": f"{chance.uniform(55, 70):.1f}", "stature": "171"},
                "choices": {},
            }
            for day in ("2031-03-01", "2031-09-01")
        ]
        return {
            "id": f"{chance.getrandbits(128):032x}",
            "version": roster.VERSION,
            "name": f"Invented {number:03d}",
            "archived": False,
            "notes": "comes on Mondays" if number % 7 else "comes on Thursdays",
            "created": TIME,
            "changed": TIME,
            "lift": "bench",
            "tapes": tapes,
            "lifts": {"bench": nothing_of_lift() | {"setups": [setup], "trials": trials}},
            "conflicts": [],
        }

    lifters = [lifter(number) for number in range(LIFTERS)]
    chance.shuffle(lifters)
    return {"kind": roster.KIND, "version": roster.VERSION, "exported": TIME, "lifters": lifters}


def open_file(page: Page, path: Path, listed: int) -> tuple[float, float]:
    """From the choice of the file to what it would change; from the tap to the list of so many lifters."""
    page.evaluate(CHOSEN)
    page.set_input_files("#file", path)
    page.locator("#preview:visible").wait_for(timeout=PATIENCE_MS)
    seen = page.evaluate("club.opened")
    return seen, page.evaluate(TAKE, f"{listed} lifters")


def save(page: Page, folder: Path) -> tuple[float, list[Path]]:
    """From the tap to the files with everyone, and where they are."""
    downloads: list[Any] = []
    page.on("download", lambda one: downloads.append(one))
    tap = "club.took(() => document.querySelector('#save-all').click(), '#file-said', 'Saved')"
    took = page.evaluate(tap)
    paths = []
    for i, one in enumerate(downloads):
        paths.append(folder / f"{i}.json")
        one.save_as(paths[-1])
    return took, paths


def device(open_page: Callable[..., Page], site: Site) -> Page:
    page = open_page()
    page.add_init_script(CLOCK)
    page.goto(f"{site.url}lifters.html")
    wait_awake(page)
    return page


@pytest.mark.speed
def test_a_club_is_at_hand(open_page: Callable[..., Page], site: Site, tmp_path: Path) -> None:
    page = device(open_page, site)
    whole = tmp_path / "club.json"
    whole.write_text(json.dumps(club(), ensure_ascii=False, indent=1), "utf-8")
    seen, written = open_file(page, whole, LIFTERS)
    listed = []
    for _ in range(TURNS):
        wait_awake(page)
        page.reload()
        listed.append(page.evaluate("club.listed"))
    wait_awake(page)
    found = [page.evaluate(FIND, text) for text in ("t", "th", "thu", "thur", "inv", "invented 29", "")]
    saving, paths = save(page, tmp_path)
    other = device(open_page, site)
    parts, so_far = [], 0
    for path in paths:
        so_far += len(json.loads(path.read_text("utf-8"))["lifters"])
        parts.append(open_file(other, path, so_far))
    assert so_far == LIFTERS
    print(
        f"\n{LIFTERS} lifters with {SETS} sets each, {whole.stat().st_size / 1e6:.1f} MB in one file:"
        f"\n  opened {seen:.0f} ms, written {written:.0f} ms"
        f"\n  list {' '.join(f'{ms:.0f}' for ms in listed)} ms from the start of the page"
        f"\n  search {' '.join(f'{ms:.0f}' for ms in found)} ms"
        f"\n  saved {saving:.0f} ms, in {len(paths)} files"
        f"\n  opened {' '.join(f'{ms:.0f}' for ms, _ in parts)} ms"
        f"\n  written {' '.join(f'{ms:.0f}' for _, ms in parts)} ms"
    )
    assert statistics.median(listed) < LIST_MS
    assert statistics.median(found) < SEARCH_MS
    assert saving < FILE_MS
    assert seen + written < FILE_MS
    assert sum(map(sum, parts)) < FILE_MS
