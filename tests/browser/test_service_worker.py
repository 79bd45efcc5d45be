"""The service worker by itself: all of a version or nothing, and never more fetched than needed."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from site_src.make import server
from tests.browser.screen import SILENT, poll

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.offline

BUILD_LINE = re.compile(r"(?m)^const BUILD = (\{.*\});$")

# Registers, or looks for a new version; → the state that the new worker ends in, or null when there is none.
INSTALL = """async () => {
  const old = await navigator.serviceWorker.getRegistration();
  if (old) await old.update();
  const registration = old ?? await navigator.serviceWorker.register('./sw.js', { updateViaCache: 'none' });
  const worker = registration.installing ?? registration.waiting;
  if (!worker) return null;
  const ends = old ? ['installed', 'redundant'] : ['activated', 'redundant'];
  while (!ends.includes(worker.state)) {
    await new Promise((next) => worker.addEventListener('statechange', next, { once: true }));
  }
  return worker.state;
}"""
VERIFY = """async (whole) => {
  const { active } = await navigator.serviceWorker.ready;
  const { port1, port2 } = new MessageChannel();
  active.postMessage({ type: 'verify', whole }, [port2]);
  return new Promise((resolve) => { port1.onmessage = ({ data }) => resolve(data); });
}"""

MEND = VERIFY.replace("type: 'verify', whole", "type: 'verify', whole, mend: true")
# The device has lost half of what it keeps of these files; what was noted of them stays.
HALVE = """async (names) => {
  for (const key of await caches.keys()) {
    const cache = await caches.open(key);
    for (const name of names) {
      const kept = await cache.match(name);
      if (!kept) continue;
      const bytes = await kept.arrayBuffer();
      await cache.put(name, new Response(bytes.slice(0, bytes.byteLength / 2), { headers: kept.headers }));
    }
  }
}"""
DROP = """async (name) => {
  for (const key of await caches.keys()) await (await caches.open(key)).delete(name);
}"""
LENGTH_OF = "(name) => caches.match(name).then((r) => r.arrayBuffer()).then((bytes) => bytes.byteLength)"
TEXT_OF = "(name) => fetch(name).then((response) => response.text())"
CHANGE = """() => new Promise((done) => {
  navigator.serviceWorker.getRegistration().then(({ waiting }) => {
    waiting.addEventListener('statechange', () => { if (waiting.state === 'activated') done(); });
    waiting.postMessage({ type: 'skip-waiting' });
  });
})"""
KEPT_OF_PYTHON = """caches.open('shortlever|/|python')
  .then((cache) => cache.keys()).then((keys) => keys.map(({ url }) => url))"""
TITLE = """document.title || new Promise((done) => {
  addEventListener('DOMContentLoaded', () => done(document.title));
})"""


class Host:
    """A server of a copy of the site: what it answered, and files it breaks off in the middle."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.answered: list[tuple[str, int]] = []
        self.cut: set[str] = set()
        host = self

        class Handler(server.Handler):
            def send_response(self, code: int, message: str | None = None) -> None:
                host.answered.append((self.path.lstrip("/"), code))
                super().send_response(code, message)

            def do_GET(self) -> None:
                if self.path.lstrip("/") not in host.cut:
                    return super().do_GET()
                data = (host.folder / self.path.lstrip("/")).read_bytes()
                self.send_response(200)
                self.send_header("Content-Type", self.guess_type(self.path))
                self.send_header("Content-Length", str(len(data)))
                self.end_headers()
                self.wfile.write(data[: len(data) // 2])
                self.close_connection = True
                return None

        self.server = server.make_server(folder, 0, "127.0.0.1", Handler)
        self.url = f"http://localhost:{self.server.server_address[1]}/"
        threading.Thread(
            target=self.server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True
        ).start()

    def stop(self) -> None:
        self.server.shutdown()
        self.server.server_close()

    def sent(self) -> list[str]:
        """The files that were really sent since the last look, the service worker's own left out."""
        names = [name for name, code in self.answered if code == 200 and name not in ("sw.js", "bare.html")]
        self.answered.clear()
        return names

    def listed(self) -> dict[str, str]:
        return build_of(self.folder)["files"]

    def publish(self, *, lie: str = "", **changes: bytes) -> str:
        """The next version: files with new content (`__` stands for a dot). Of `lie` the hash is wrong."""
        told = build_of(self.folder)
        for key, data in changes.items():
            name = key.replace("__", ".")
            (self.folder / name).write_bytes(data)
            told["files"][name] = hashlib.sha256(data).hexdigest()[:16]
        if lie:
            told["files"][lie] = "0" * 16
        told["id"] = f"next{told['id'][4:]}"
        return write_build(self.folder, told)

    def publish_snapshot(self) -> str:
        """A snapshot of another content, so at another address."""
        told = build_of(self.folder)
        [name] = [name for name in told["files"] if name.startswith("snapshot/")]
        new = re.sub(r"/[0-9a-f]{16}/", "/0123456789abcdef/", name)
        data = (self.folder / name).read_bytes() + b"\0"
        (self.folder / new).parent.mkdir()
        (self.folder / new).write_bytes(data)
        (self.folder / name).unlink()
        del told["files"][name]
        told["files"][new] = hashlib.sha256(data).hexdigest()[:16]
        write_build(self.folder, told)
        return new


def build_of(folder: Path) -> dict[str, Any]:
    found = BUILD_LINE.search((folder / "sw.js").read_text(encoding="utf-8"))
    assert found
    return json.loads(found[1])


def write_build(folder: Path, told: dict[str, Any]) -> str:
    worker = folder / "sw.js"
    told["files"] = dict(sorted(told["files"].items()))  # as build.py does
    line = f"const BUILD = {json.dumps(told)};"
    worker.write_text(BUILD_LINE.sub(lambda _: line, worker.read_text(encoding="utf-8")), encoding="utf-8")
    return str(told["id"])


@pytest.fixture
def host(dist: Path, tmp_path: Path) -> Iterator[Host]:
    folder = tmp_path / "site"
    shutil.copytree(dist, folder)
    (folder / "bare.html").write_text('<!doctype html><link rel="icon" href="data:,"><title>bare</title>')
    opened = Host(folder)
    yield opened
    opened.stop()


@pytest.fixture
def kept(page: Page, host: Host) -> str:
    """The first version is on the device; its id."""
    page.goto(host.url + "bare.html")
    assert page.evaluate(INSTALL) == "activated"
    host.sent()
    return str(build_of(host.folder)["id"])


def assert_still(page: Page, version: str) -> None:
    """That version is whole, and serves."""
    verdict = page.evaluate(VERIFY, False)
    assert (verdict["complete"], verdict["version"]) == (True, version)


def fallback_of(host: Host) -> list[str]:
    """What comes later: the two that only the plain boot reads, and the lifts that are asked for."""
    names = [name for name in sorted(host.listed()) if ".zip" in name]
    assert len(names) == 3
    return names


def test_install_takes_each_file_once(page: Page, host: Host) -> None:
    page.goto(host.url + "bare.html")
    host.sent()
    assert page.evaluate(INSTALL) == "activated"
    fallback = fallback_of(host)
    usual = sorted(name for name in host.listed() if not name.startswith("example/"))
    assert sorted([*host.sent(), *fallback]) == usual
    version = build_of(host.folder)["id"]
    assert_still(page, version)
    for _ in range(2):
        verdict = page.evaluate(VERIFY, True)
        assert (verdict["complete"], verdict["need"]) == (True, len(usual))
    assert sorted(host.sent()) == fallback, "once"


def test_the_example_clip_is_fetched_when_asked_for_and_kept_from_then_on(
    page: Page, host: Host, kept: str
) -> None:
    [clip] = [name for name in host.listed() if name.startswith("example/")]
    assert len((host.folder / clip).read_bytes()) < 300_000
    page.reload()  # under the service worker
    size = "name => fetch(name).then((response) => response.arrayBuffer()).then((bytes) => bytes.byteLength)"
    assert page.evaluate(size, clip) == (host.folder / clip).stat().st_size
    assert clip in host.sent()
    host.publish(words__mjs=b"export const say = () => 'new';")
    assert page.evaluate(INSTALL) == "installed"
    assert clip not in host.sent(), "the next version takes it along"
    (host.folder / clip).unlink()
    assert page.evaluate(size, clip) > 0


def test_the_lifts_are_kept_once_they_were_asked_for(page: Page, host: Host, kept: str) -> None:
    """By a page of one, or by any question; and a new version takes them along."""
    [lifts] = [name for name in host.listed() if "/lifts.zip" in name]
    verdict = page.evaluate(VERIFY.replace("whole }", "whole, lifts: false }"), False)
    whole = host.url + lifts
    assert verdict["complete"] and whole not in page.evaluate(KEPT_OF_PYTHON)
    page.evaluate("(name) => fetch(name).then((r) => r.arrayBuffer()).then(() => 0)", lifts)
    poll(lambda: page.evaluate(KEPT_OF_PYTHON), lambda now: whole in now)
    verdict = page.evaluate(VERIFY.replace("whole }", "whole, lifts: true }"), False)
    assert (verdict["complete"], verdict["need"]) == (True, len(host.listed()) - 3)
    assert host.sent() == [lifts], "once"
    host.publish(index__html=b"<!doctype html><title>new</title>")
    assert page.evaluate(INSTALL) == "installed"
    page.evaluate(CHANGE)
    assert page.evaluate(LENGTH_OF, lifts) == (host.folder / lifts).stat().st_size


def missing(host: Host) -> None:
    host.publish(words__mjs=b"export const say = () => 'new';")
    (host.folder / "words.mjs").unlink()


def wrong_bytes(host: Host) -> None:
    host.publish(lie="words.mjs")


def broken_off(host: Host) -> None:
    host.publish(words__mjs=b"export const say = () => 'new';")
    host.cut.add("words.mjs")


@pytest.mark.parametrize("harm", [missing, wrong_bytes, broken_off])
def test_broken_new_version_leaves_the_old(
    page: Page, host: Host, kept: str, harm: Callable[[Host], None]
) -> None:
    page.allow_console_errors = True  # the browser itself logs the file that failed
    old = page.evaluate("fetch('words.mjs').then((r) => r.text())")
    harm(host)
    assert page.evaluate(INSTALL) == "redundant"
    assert_still(page, kept)
    assert page.evaluate("fetch('words.mjs').then((r) => r.text())") == old
    assert len(page.evaluate("caches.keys()")) == 2, "nothing of the new version is left but Python's files"


@pytest.mark.parametrize("harm", [missing, wrong_bytes, broken_off])
def test_broken_first_version_is_not_kept(page: Page, host: Host, harm: Callable[[Host], None]) -> None:
    page.allow_console_errors = True
    harm(host)
    page.goto(host.url + "bare.html")
    assert page.evaluate(INSTALL) == "redundant"
    assert not [name for name in page.evaluate("caches.keys()") if "|site|" in name]


def test_interrupted_install_goes_on_later_with_what_it_has(page: Page, host: Host, kept: str) -> None:
    page.allow_console_errors = True
    snapshot = host.publish_snapshot()
    new = host.publish(index__html=b"<!doctype html><title>new</title>", words__mjs=b"export const say = 1;")
    host.cut.add("words.mjs")
    assert page.evaluate(INSTALL) == "redundant"
    assert_still(page, kept)
    assert sorted(host.sent()) == sorted(["index.html", snapshot, "words.mjs", *fallback_of(host)])

    host.cut.clear()
    assert page.evaluate(INSTALL) == "installed"
    assert sorted(host.sent()) == ["index.html", "words.mjs"], "the snapshot had already arrived"
    assert_still(page, kept)

    page.evaluate(CHANGE)
    assert_still(page, new)
    python = page.evaluate(KEPT_OF_PYTHON)
    assert [url for url in python if "/snapshot/" in url] == [host.url + snapshot], "the old one is dropped"


def harmed(host: Host) -> list[str]:
    """A file of the page, and one of Python."""
    [wasm] = [name for name in host.listed() if name.endswith(".wasm.packed")]
    return ["page/fit/main.mjs", wasm]


def test_a_new_version_copies_nothing_damaged(page: Page, host: Host, kept: str) -> None:
    names = harmed(host)
    page.evaluate(HALVE, names)
    host.publish(index__html=b"<!doctype html><title>new</title>")
    assert page.evaluate(INSTALL) == "installed"
    sent = host.sent()  # the browser's own cache still has Python's
    assert sorted(sent) == sorted(["index.html", names[0], *fallback_of(host)])
    page.evaluate(CHANGE)
    assert page.evaluate(MEND, True)["mended"] == 0
    assert page.evaluate(TEXT_OF, names[0]) == (host.folder / names[0]).read_text(encoding="utf-8")


def test_what_is_damaged_or_gone_is_mended_when_asked(page: Page, host: Host, kept: str) -> None:
    names = harmed(host)
    page.evaluate(HALVE, names)
    page.evaluate(DROP, "words.mjs")
    for verdict, mended in ((page.evaluate(MEND, False), 3), (page.evaluate(MEND, False), 0)):
        assert (verdict["complete"], verdict["have"]) == (True, verdict["need"])
        assert verdict["mended"] == mended
    assert sorted(host.sent()) == [names[0], "words.mjs"]
    for name in (*names, "words.mjs"):
        assert page.evaluate(LENGTH_OF, name) == (host.folder / name).stat().st_size


def test_what_cannot_be_mended_is_not_called_complete(page: Page, host: Host, kept: str) -> None:
    page.allow_console_errors = True
    names = harmed(host)
    page.evaluate(HALVE, names)
    host.stop()
    verdict = page.evaluate(MEND, False)
    assert (verdict["complete"], verdict["have"], verdict["mended"]) == (False, verdict["need"] - 2, 0)


@pytest.mark.parametrize("name", ["page/fit/main.mjs", "styles/base.css", "evidence.html"])
def test_what_is_given_out_damaged_is_whole_the_next_time(
    page: Page, host: Host, kept: str, name: str
) -> None:
    """Also when it is what the page itself needs to ask for it."""
    page.evaluate(HALVE, [name])
    whole = (host.folder / name).read_text(encoding="utf-8")
    assert len(page.evaluate(TEXT_OF, name)) < len(whole)
    assert poll(lambda: page.evaluate(TEXT_OF, name), lambda text: text == whole) == whole
    assert set(host.sent()) == {name}, "and nothing else; more than once where it was asked for meanwhile"
    assert_still(page, kept)


def test_a_cut_script_is_never_taken(page: Page, host: Host, kept: str) -> None:
    """Wherever it ends, between two functions too."""
    page.allow_console_errors = True
    file = host.folder / "sw.js"
    script = file.read_text(encoding="utf-8")
    ends = [at.end() for at in re.finditer(r"(?m)^[})].*\n", script)]
    assert ends[-1] == len(script) and len(ends) > 8
    for end in (1, *ends[:-1]):
        file.write_text(script[:end], encoding="utf-8")
        update = (
            "navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => 'taken', () => 0)"
        )
        assert page.evaluate(update) == 0, script[:end][-80:]
    assert_still(page, kept)


def test_every_page_opens_from_its_own_copy(page: Page, host: Host, kept: str) -> None:
    page.add_init_script(SILENT)
    pages = [name for name in host.listed() if name.endswith(".html")]
    assert {"index.html", "evidence.html"} <= set(pages)
    assert len(pages) >= 4
    titles = {
        name: re.search(r"<title>(.*?)</title>", (host.folder / name).read_text(encoding="utf-8"))[1]  # type: ignore[index]
        for name in pages
    }
    assert len(set(titles.values())) == len(titles)
    host.stop()
    for name, title in titles.items():
        tails = ("?from=home-screen", "#cautions") if name == "index.html" else ()
        for tail in ("", "?a=b#cautions", *tails):
            page.goto(host.url + name + tail, wait_until="commit")
            assert page.evaluate(TITLE) == title, name + tail
    page.goto(host.url, wait_until="commit")
    assert page.evaluate(TITLE) == titles["index.html"]
