"""Load once, lose the network, and still get the right setup."""

from __future__ import annotations

import json
import shutil
import socketserver
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.browser.screen import answer, answered, poll, wait_awake, wait_kept
from tests.browser.test_service_worker import DROP, HALVE, KEPT_OF_PYTHON, LENGTH_OF, MEND, Host

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.offline

ASK_A_WORKER = """(request) => new Promise((resolve, reject) => {
  const worker = new Worker('worker/worker.mjs', { type: 'module' });
  let boot;
  worker.postMessage({ id: 1, request });
  worker.onmessage = ({ data }) => {
    if (data.state === 'failed') reject(new Error(data.cause.message));
    if (data.state === 'ready') boot = data.boot;
    if (data.response) resolve({ boot, response: data.response });
  };
})"""
FAILURE_OF_A_WORKER = """(request) => new Promise((resolve) => {
  const worker = new Worker('worker/worker.mjs', { type: 'module' });
  worker.postMessage({ id: 1, request });
  worker.onmessage = ({ data }) => { if (data.failure) resolve(data.failure); };
})"""
# What the page sends to have its copy mended, and what its calculator says, wait while they are held.
HELD = """{
  const held = { mend: [], calculator: [] };
  globalThis.holding = new Set(['mend']);
  globalThis.heldOf = (what) => held[what].length;
  globalThis.letGo = (what) => { holding.delete(what); for (const go of held[what].splice(0)) go(); };
  const { postMessage } = ServiceWorker.prototype;
  ServiceWorker.prototype.postMessage = function (...given) {
    const send = () => postMessage.apply(this, given);
    if (given[0].mend && holding.has('mend')) held.mend.push(send);
    else send();
  };
  globalThis.Worker = class extends Worker {
    addEventListener(kind, work) {
      super.addEventListener(kind, (event) => {
        if (kind === 'message' && holding.has('calculator')) held.calculator.push(() => work(event));
        else work(event);
      });
    }
  };
}"""
BROWSERS_OWN = ("content-autofill.googleapis.com",)  # Chromium by itself, for every page with a form


def headline(page: Page) -> dict[str, str]:
    return {
        key: page.locator(f'[data-key="{key}"] [data-part="value"]').first.inner_text()
        for key in ("grip", "touch", "tuck")
    }


def expected(**fields: str) -> dict[str, str]:
    found = answer(**fields)
    assert found["ok"], found["errors"]
    return {number["key"]: number["value"] for number in found["headline"]}


@pytest.fixture(scope="module")
def _kept(_pages: Any, _served: Any) -> Iterator[Page]:
    with _pages.contexts(offline=True) as start:
        page = start().new_page()
        page.goto(_served.url)
        wait_kept(page)
        yield page


@pytest.fixture
def kept(_kept: Page, site: Any, no_errors: None) -> Page:
    """A page of a device that keeps all of the site, also what only the plain boot needs.

    Tests share it: whatever the last one did to it, it is whole again.
    """
    _kept.allow_console_errors = False
    if _kept.url != site.url or not _kept.get_by_text("ready, also offline").is_visible():
        _kept.goto(site.url)
        wait_kept(_kept)
    assert _kept.evaluate(MEND, True)["complete"]
    site.requests.clear()
    return _kept


def test_offline_gives_the_right_setup(page: Page, site: Any) -> None:
    """Right after the first visit."""
    page.goto(site.url)
    wait_awake(page)
    wait_kept(page)
    site.stop()
    page.reload()
    wait_awake(page)
    for number, (arm, breadth) in enumerate((("58.5", "37.5"), ("66", "43"))):
        page.fill("#arm_length", arm)
        page.fill("#shoulder_breadth", breadth)
        if number == 0:
            page.click("#first-read")  # the cautions come before the first own setup
        wanted = expected(arm_length=arm, shoulder_breadth=breadth)
        page.locator('[data-key="grip"] [data-part="value"]').filter(has_text=wanted["grip"]).wait_for()
        assert headline(page) == wanted


def zips(page: Page) -> list[str]:
    """What is kept of what only the plain boot needs."""
    return [url for url in page.evaluate(KEPT_OF_PYTHON) if ".zip" in url]


def drop_zips(page: Page) -> None:
    """As it is between the first visit and the second start."""
    for url in zips(page):
        page.evaluate(DROP, url)
    assert zips(page) == []


def test_warm_load_asks_the_network_for_nothing(kept: Page, site: Any) -> None:
    """Once a second start has fetched what only the plain boot needs."""
    page = kept
    drop_zips(page)
    page.reload()
    wait_kept(page)
    assert len(poll(lambda: zips(page), lambda now: len(now) == 3)) == 3
    assert {path.rpartition("/")[2] for path in site.requests} <= {
        "sw.js",
        "lifts.zip.packed",
        "python_stdlib.zip.packed",
        "shortlever.zip.packed",
    }
    site.requests.clear()
    page.reload()
    wait_awake(page)
    wait_kept(page)
    # The browser itself looks whether the service worker has changed; nothing else goes out.
    assert [path for path in site.requests if path != "/sw.js"] == []


@pytest.fixture
def outside() -> Iterator[Any]:
    """A proxy for all that is not the site itself: what it is asked for, and nothing else happens."""

    class Trap(socketserver.StreamRequestHandler):
        def handle(self) -> None:
            self.server.asked.append(self.rfile.readline().decode("latin-1").strip())
            self.wfile.write(b"HTTP/1.1 502 Bad Gateway\r\nContent-Length: 0\r\nConnection: close\r\n\r\n")

    class Proxy(socketserver.ThreadingTCPServer):
        daemon_threads = True
        asked: list[str]

    with Proxy(("127.0.0.1", 0), Trap) as proxy:
        proxy.asked = []
        threading.Thread(target=proxy.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        yield proxy
        proxy.shutdown()


def test_a_whole_session_asks_only_its_own_site(
    open_page: Callable[..., Page], site: Any, outside: Any
) -> None:
    """Every page, the calculator, the service worker, a link handed over."""
    proxy = {"server": f"http://127.0.0.1:{outside.server_address[1]}", "bypass": "localhost"}
    page = open_page(proxy=proxy, permissions=["clipboard-read", "clipboard-write"])
    asked: list[str] = []
    page.context.on("request", lambda request: asked.append(request.url))
    page.goto(site.url)
    wait_kept(page)
    page.fill("#arm_length", "62")
    page.fill("#shoulder_breadth", "40")
    page.click("#first-read")
    page.locator('#setup[data-age="own"]').wait_for()
    page.click("#share")
    page.locator("#link").wait_for()
    for name in sorted(path.name for path in site.folder.glob("*.html")):
        page.goto(site.url + name)
    wait_awake(page)
    assert len(asked) > 20
    assert [url for url in asked if not url.startswith((site.url, f"blob:{site.url}", "data:"))] == []
    own_calls = (f"CONNECT {host}:443 HTTP/1.1" for host in BROWSERS_OWN)
    assert set(outside.asked) - set(own_calls) == set()

    page.allow_console_errors = True
    page.evaluate("location.href = 'http://elsewhere.invalid/'")
    there = "GET http://elsewhere.invalid/ HTTP/1.1"
    assert there in poll(lambda: page.url and outside.asked, lambda all: there in all), "it would be seen"


def test_nothing_is_sent_twice(page: Page, tmp_path: Path, dist: Path) -> None:
    """The calculator starts, then all is kept: the large files come out of the browser's own cache."""
    shutil.copytree(dist, tmp_path / "site")
    host = Host(tmp_path / "site")
    page.goto(host.url)
    wait_kept(page)
    sent = [name for name in host.sent() if name.endswith(".packed")]
    host.stop()
    assert len(sent) == len(set(sent)) == 2


def test_under_a_path(page: Page, tmp_path: Path, dist: Path, serve: Callable[[Path], Any]) -> None:
    shutil.copytree(dist, tmp_path / "gym" / "bench")
    (tmp_path / "index.html").write_text('<!doctype html><link rel="icon" href="data:,"><title>home</title>')
    site = serve(tmp_path)
    page.goto(site.url + "gym/bench/")
    wait_kept(page)
    assert page.evaluate("navigator.serviceWorker.ready.then((r) => r.scope)") == site.url + "gym/bench/"
    assert {name.split("|")[1] for name in page.evaluate("caches.keys()")} == {"/gym/bench/"}
    page.goto(site.url)
    assert page.title() == "home", "what lies above is another site's"
    site.stop()
    page.goto(site.url + "gym/bench/?from=home-screen")
    wait_awake(page)


def test_full_storage_is_explained_and_room_mends_it(page: Page, site: Any) -> None:
    page.allow_console_errors = True
    cdp = page.context.new_cdp_session(page)
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": site.url.rstrip("/"), "quotaSize": 3_000_000})
    page.goto(site.url)
    wait_awake(page)
    note = page.locator("#no-room")
    note.wait_for()
    assert "storage is full" in note.inner_text()
    assert "Free some space" in note.inner_text()
    assert page.locator("#loading").text_content() == "ready"
    page.fill("#arm_length", "62")  # all works, but offline
    page.fill("#shoulder_breadth", "40")
    page.click("#first-read")
    page.locator('#setup[data-age="own"]').wait_for()
    page.click("#no-room-away")
    assert note.is_hidden()

    cdp.send("Storage.overrideQuotaForOrigin", {"origin": site.url.rstrip("/")})
    page.reload()
    wait_kept(page)
    assert note.is_hidden()


def test_a_new_version_is_looked_for_on_return_but_not_each_time(page: Page, site: Any) -> None:
    page.clock.install()
    page.goto(site.url)
    wait_kept(page)
    site.requests.clear()

    def come_back() -> int:
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        page.evaluate("fetch('not-kept.txt').then((r) => r.status)")  # goes out after it
        return site.requests.count("/sw.js")

    page.allow_console_errors = True  # for that file
    assert come_back() == 0
    page.clock.fast_forward("14:50")
    assert come_back() == 0
    page.clock.fast_forward("00:11")
    assert poll(come_back, bool) == 1
    assert come_back() == 1


def test_a_neighbours_cache_survives(page: Page, site: Any) -> None:
    page.goto(site.url)
    page.evaluate("caches.open('neighbour|/|site|1').then((c) => c.put('/x', new Response('theirs')))")
    page.evaluate("caches.open('shortlever|/other/|site|1').then((c) => c.put('/x', new Response('theirs')))")
    page.evaluate("caches.open('shortlever|/|site|old').then((c) => c.put('/x', new Response('ours, old')))")
    wait_kept(page)
    kept = page.evaluate("caches.keys()")
    assert "neighbour|/|site|1" in kept
    assert "shortlever|/other/|site|1" in kept
    assert "shortlever|/|site|old" not in kept


def test_offline_every_address_ends_in_the_page_and_both_boots_answer(kept: Page, site: Any) -> None:
    """What only the plain boot needs is kept too, from the second start on."""
    page = kept
    site.stop()
    for address in ("index.html", "?from=home-screen", "nowhere"):
        page.goto(site.url + address, wait_until="commit")
        page.locator("#arm_length").wait_for()
    asked = {"unit": "cm", "fields": {"arm_length": "61", "shoulder_breadth": "40"}}
    wanted = answer(**asked["fields"])["headline"]
    for boot in ("snapshot", "plain"):
        said = page.evaluate(ASK_A_WORKER, json.dumps(asked))
        assert said["boot"] == boot
        assert json.loads(said["response"])["headline"] == wanted
        page.allow_console_errors = True  # the browser logs the file that is not there
        page.evaluate(
            """async () => {
              const cache = await caches.open('shortlever|/|python');
              const [kept] = (await cache.keys()).filter(({ url }) => url.includes('/snapshot/'));
              await cache.delete(kept);
            }"""
        )


OF_LIFTS = "/lifts.zip"


def assert_squat_answers(page: Page) -> None:
    """Its page has worked the example out in this very visit."""
    wait_awake(page)
    said = page.evaluate(ASK_A_WORKER, json.dumps(SQUAT))
    assert said["boot"] == "snapshot"
    assert json.loads(said["response"])["headline"] == answer_of(SQUAT)["headline"]


SQUAT = {"lift": "squat", "unit": "cm", "fields": {"stature": "171", "body_mass": "72"}}


def answer_of(request: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(answered(json.dumps(request)))
    return found


def test_a_lift_that_was_asked_for_is_kept_at_the_first_visit(page: Page, site: Any) -> None:
    page.goto(site.url + "squat.html")
    wait_kept(page)
    assert [url.rpartition("/")[2] for url in zips(page)] == ["lifts.zip.packed"]
    site.stop()
    page.reload()
    assert_squat_answers(page)


def test_a_lift_that_was_never_opened_is_there_offline_from_the_second_start_on(
    kept: Page, site: Any
) -> None:
    page = kept
    site.stop()
    page.goto(site.url + "squat.html")
    assert_squat_answers(page)
    page.goto(site.url + "deadlift.html")
    wait_awake(page)


def test_a_lift_that_is_not_here_yet_says_so_and_comes_with_the_network(page: Page, site: Any) -> None:
    """Right after a first visit for the bench press: its page says it, other questions for it too."""
    page.goto(site.url)
    wait_kept(page)
    assert zips(page) == []
    site.stop()
    page.allow_console_errors = True  # the browser logs the file that cannot be reached
    page.goto(site.url + "squat.html")
    trouble = page.locator("#trouble")
    trouble.wait_for()
    said = trouble.inner_text()
    assert "The part that works out this lift is not on this device yet." in said
    assert "Connect to the network once, then try again." in said
    asked = page.evaluate(FAILURE_OF_A_WORKER, json.dumps(SQUAT))
    assert (asked["code"], asked["said"], asked["report"]) == ("unreachable", "lift_away", None)
    site.start()
    page.click("#retry")
    wait_kept(page)
    assert trouble.is_hidden()
    site.stop()
    page.reload()
    assert_squat_answers(page)


def test_a_damaged_file_of_the_lifts_is_mended(kept: Page, site: Any) -> None:
    page = kept
    page.allow_console_errors = True  # the plain boot that does instead is noted
    lifts = kept_named(page, OF_LIFTS)
    whole = page.evaluate(LENGTH_OF, lifts)
    page.evaluate(HALVE, [lifts])
    page.goto(site.url + "squat.html")
    wait_kept(page)
    assert page.evaluate(LENGTH_OF, lifts) == whole
    site.stop()
    page.reload()
    assert_squat_answers(page)


def test_a_browser_that_needs_the_plain_boot_keeps_it_at_the_first_visit(
    page: Page, tmp_path: Path, dist: Path
) -> None:
    """The snapshot is as the list says, but nothing that Python could start from."""
    shutil.copytree(dist, tmp_path / "site")
    host = Host(tmp_path / "site")
    [snapshot] = [name for name in host.listed() if name.startswith("snapshot/")]
    host.publish(**{snapshot: b"no memory"})
    page.goto(host.url)
    wait_kept(page)
    host.stop()
    page.allow_console_errors = True
    page.reload()
    wait_awake(page)
    asked = {"unit": "cm", "fields": {"arm_length": "61", "shoulder_breadth": "40"}}
    said = page.evaluate(ASK_A_WORKER, json.dumps(asked))
    assert said["boot"] == "plain"
    assert json.loads(said["response"])["ok"]


def kept_named(page: Page, part: str) -> str:
    """The address of a kept file of Python."""
    [found] = [url for url in page.evaluate(KEPT_OF_PYTHON) if part in url]
    return str(found)


@pytest.mark.parametrize("name", [".wasm.packed", "worker/worker.mjs"])
def test_a_damaged_copy_mends_itself(kept: Page, site: Any, name: str) -> None:
    """What was kept of the calculator is fetched afresh, whoever asked for that, and it starts by itself."""
    page = kept
    page.allow_console_errors = True
    page.evaluate(HALVE, [kept_named(page, name) if name.startswith(".") else name])
    page.reload()
    wait_kept(page)
    assert page.locator("#trouble").is_hidden()
    assert page.evaluate(MEND, True)["mended"] == 0
    site.stop()
    page.reload()
    wait_awake(page)


def test_a_dead_page_lives_again_at_its_next_opening(kept: Page, site: Any) -> None:
    page = kept
    whole = len((site.folder / "page/fit/main.mjs").read_bytes())
    page.allow_console_errors = True
    page.evaluate(HALVE, ["page/fit/main.mjs"])
    page.reload()  # nothing of the page runs
    assert poll(lambda: page.evaluate(LENGTH_OF, "page/fit/main.mjs"), lambda now: now == whole) == whole
    page.reload()
    wait_kept(page)


def test_a_damaged_snapshot_is_mended_behind_the_plain_boot(kept: Page, site: Any) -> None:
    page = kept
    page.allow_console_errors = True
    page.evaluate(HALVE, [kept_named(page, "/snapshot/")])
    page.reload()
    wait_kept(page)
    site.stop()
    said = page.evaluate(ASK_A_WORKER, json.dumps({"unit": "cm", "fields": {}, "want": "link"}))
    assert said["boot"] == "snapshot"


def test_a_damaged_snapshot_offline_says_what_is_so(kept: Page, site: Any) -> None:
    """Before the second start: the plain boot is not kept yet. A connection mends it."""
    page = kept
    drop_zips(page)
    page.evaluate(HALVE, [kept_named(page, "/snapshot/")])
    site.stop()
    page.allow_console_errors = True
    page.reload()
    trouble = page.locator("#trouble")
    trouble.wait_for()
    said = trouble.inner_text()
    assert "the server" not in said and "503" not in said
    assert "python.snapshot.packed did not arrive whole" in said
    assert "The other way to start it is not kept on this device yet" in said
    assert "Connect to the network once, then try again" in said
    site.start()
    page.click("#retry")
    wait_kept(page)
    assert trouble.is_hidden()


def test_a_second_try_finds_what_the_first_one_mended_meanwhile(page: Page, site: Any) -> None:
    """The connection is back while the first mending still runs: what it mends the second finds whole."""
    page.goto(site.url)
    wait_kept(page)
    snapshot = kept_named(page, "/snapshot/")
    whole = page.evaluate(LENGTH_OF, snapshot)
    page.evaluate(HALVE, [snapshot])
    page.add_init_script(HELD)
    page.allow_console_errors = True
    site.stop()
    page.reload()
    page.locator("#trouble").wait_for()
    assert poll(lambda: page.evaluate("heldOf('mend')"), lambda n: n == 1) == 1
    site.start()
    page.evaluate("holding.add('calculator')")
    page.click("#retry")  # it starts from what is still damaged, and its failure is not heard yet
    heard = "heldOf('calculator')"
    assert poll(lambda: page.evaluate(heard), lambda n: n > 0)
    page.evaluate("letGo('mend')")
    assert poll(lambda: page.evaluate(LENGTH_OF, snapshot), lambda now: now == whole) == whole
    page.evaluate(MEND, True)
    page.evaluate("letGo('calculator')")
    wait_kept(page)
