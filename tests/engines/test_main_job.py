"""The main job in the other engines: two numbers, the cautions, the setup, and again without a network.

Run with ``python3 build.py test -m engines -s``, which installs what it can. Where an engine is missing
its test fails and says that the run is incomplete.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from shortlever import view
from tests.engines.drivers import Absent, Firefox, WebKitGTK, wait

READY = "document.documentElement.dataset.calculator === 'ready' ? performance.now() : 0"
SHOWN = """document.querySelector('#setup').dataset.age === 'own' ? ['grip', 'touch', 'tuck'].map((key) =>
  document.querySelector(`.headline [data-key="${key}"] [data-part="value"]`).textContent.trim()) : null"""

BOOT = """new Promise((done) => {
  const worker = new Worker('worker/worker.mjs', { type: 'module' });
  worker.onmessage = ({ data }) => {
    if (!['ready', 'failed'].includes(data.state)) return;
    worker.terminate();
    done(data);
  };
})"""


@pytest.fixture(params=[Firefox, WebKitGTK])
def engine(request: pytest.FixtureRequest) -> Iterator[Any]:
    try:
        opened = request.param()
    except Absent as absent:
        pytest.fail(f"INCOMPLETE: this run says nothing about {absent}. Install it, then run this again.")
    yield opened
    opened.close()


def expected(arm: str, breadth: str) -> list[str]:
    fields = {"arm_length": arm, "shoulder_breadth": breadth}
    answer = json.loads(view.answer(json.dumps({"unit": "cm", "fields": fields})))
    values = {number["key"]: number["value"] for number in answer["headline"]}
    return [values[key] for key in ("grip", "touch", "tuck")]


def enter(engine: Any, arm: str, breadth: str) -> None:
    engine.type("#arm_length", arm)
    engine.type("#shoulder_breadth", breadth)


@pytest.mark.engines
def test_two_numbers_give_the_setup_also_offline(engine: Any, site: Any) -> None:
    engine.go(site.url)
    cold = wait(lambda: engine.read(READY))
    assert cold, engine.read("document.querySelector('#trouble').innerText")
    enter(engine, "61", "40")
    assert wait(lambda: engine.read("!document.querySelector('#first').hidden")), "the cautions come first"
    engine.read("document.querySelector('#first-read').click()")
    assert wait(lambda: engine.read(SHOWN) == expected("61", "40"))

    said = engine.read(BOOT)
    assert (said["state"], said.get("boot"), said.get("note")) == ("ready", "snapshot", None)

    line = "document.querySelector('#loading').textContent"
    assert wait(lambda: "offline" in engine.read(line)), engine.read(line)
    site.stop()
    engine.go(site.url + "?from=home-screen")
    offline = wait(lambda: engine.read(READY))
    assert offline, engine.read("document.querySelector('#trouble').innerText")
    enter(engine, "58.5", "37,5")
    engine.read("document.querySelector('#first-read').click()")
    assert wait(lambda: engine.read(SHOWN) == expected("58.5", "37,5"))
    print(f"\n{engine.name}: ready {cold:.0f} ms after the page began, offline {offline:.0f} ms")
    print(f"  its worker alone, warm: {said['milliseconds']:.0f} ms")
