"""How soon the first real suggestion is there, against the stock Pyodide in the same browser.

Run with ``python3 build.py test tests/speed -m speed -s``. Stock: ``loadPyodide()`` as published, with
its whole standard library, then a trivial function. Ours: the built worker, then the setup of a lifter
whom the build has never seen. Both in a module worker, by turns; medians. `cold` is the first visit, in
a fresh browser context each time; `offline` a later start with the server stopped and everything from
the service worker's caches.
"""

from __future__ import annotations

import gzip
import json
import shutil
import statistics
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from site_src.make import ground

if TYPE_CHECKING:
    from playwright.sync_api import Page

TURNS = 7
TARGET = 0.33
FIRST_VISIT_MB = 6.5

STOCK_WORKER = """
const started = performance.now();
import { loadPyodide } from './stock/pyodide.mjs';
const pyodide = await loadPyodide({ indexURL: new URL('./stock/', import.meta.url).href });
pyodide.runPython('def double(x):\\n    return 2 * x');
if (pyodide.globals.get('double')(21) !== 42) throw new Error('wrong');
self.postMessage({ done: true, heap: pyodide._module.HEAP8.length });
"""
STOCK_SW = """
const FILES = ['../stock.mjs', 'pyodide.mjs', 'pyodide.asm.mjs', 'pyodide.asm.wasm', 'python_stdlib.zip',
  'pyodide-lock.json'].map((name) => './stock/' + name);
self.addEventListener('install', (event) => event.waitUntil(
  caches.open('stock').then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting())));
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));
self.addEventListener('fetch', (event) => event.respondWith(
  caches.open('stock').then(async (cache) => (await cache.match(event.request)) ?? fetch(event.request))));
"""
TIME = """([url, request]) => new Promise((resolve, reject) => {
  const started = performance.now();
  const worker = new Worker(url, { type: 'module' });
  worker.onerror = (event) => reject(new Error(event.message));
  if (request) worker.postMessage({ id: 1, request });
  let ready;
  worker.onmessage = ({ data }) => {
    if (data.state === 'ready') ready = data;
    if (data.state === 'failed') reject(new Error(data.cause.message));
    if (!data.done && !data.response || data.state) return;
    const milliseconds = performance.now() - started;
    if (data.response && !JSON.parse(data.response).ok) reject(new Error(data.response));
    worker.terminate();
    resolve({ milliseconds, ...ready && { boot: ready.boot }, heap: data.heap });
  };
})"""
KEEP = """async (url) => {
  const registration = await navigator.serviceWorker.register(url, { scope: './' });
  await navigator.serviceWorker.ready;
  const { active } = registration;
  if (active.state !== 'activated') await new Promise((done) => active.addEventListener('statechange', done));
}"""


def request_of(turn: int) -> str:
    fields = {"arm_length": str(58.3 + turn / 2), "shoulder_breadth": str(38.1 + turn / 4)}
    return json.dumps({"unit": "cm", "fields": fields})


@pytest.fixture
def both(dist: Path, tmp_path: Path, serve: Callable[[Path], Any]) -> dict[str, Any]:
    """Two sites: ours, and one with the stock Pyodide, each with an empty page to start from."""
    page = '<!doctype html><link rel="icon" href="data:,"><title>bench</title>'
    ours, stock = tmp_path / "ours", tmp_path / "stock"
    shutil.copytree(dist, ours)
    stock.mkdir()
    shutil.copytree(ground.WORK / "npm" / "node_modules" / "pyodide", stock / "stock")
    (stock / "stock.mjs").write_text(STOCK_WORKER)
    (stock / "sw.js").write_text(STOCK_SW)
    for folder in (ours, stock):
        (folder / "bench.html").write_text(page)
    return {"ours": serve(ours), "stock": serve(stock)}


def times(
    open_page: Callable[..., Page], both: dict[str, Any], offline: bool
) -> dict[str, list[dict[str, Any]]]:
    taken: dict[str, list[dict[str, Any]]] = {"stock": [], "ours": []}
    worker = {"ours": "worker/worker.mjs", "stock": "stock.mjs"}
    pages: dict[str, Page] = {}
    for name, site in both.items():
        if offline:
            pages[name] = open_page()
            pages[name].goto(site.url + "bench.html")
            pages[name].evaluate(KEEP, "./sw.js")
            site.stop()
    for turn in range(TURNS):
        for name, site in both.items():
            page = pages[name] if offline else open_page()
            if not offline:
                page.goto(site.url + "bench.html")
            asked = request_of(turn) if name == "ours" else None
            taken[name].append(page.evaluate(TIME, [worker[name], asked]))
            if not offline:
                page.context.close()
    return taken


@pytest.mark.speed
@pytest.mark.parametrize("offline", [False, True], ids=["cold", "offline"])
def test_first_suggestion_against_stock(
    open_page: Callable[..., Page], both: dict[str, Any], offline: bool
) -> None:
    taken = times(open_page, both, offline)
    medians = {name: statistics.median(one["milliseconds"] for one in many) for name, many in taken.items()}
    ratio = medians["ours"] / medians["stock"]
    kind = "offline" if offline else "cold"
    print(f"\n{kind}: stock {medians['stock']:.0f} ms, ours {medians['ours']:.0f} ms, ratio {ratio:.2f}")
    for name, many in taken.items():
        print(f"  {name}: {' '.join(str(round(one['milliseconds'])) for one in many)}")
    assert {one["boot"] for one in taken["ours"]} == {"snapshot"}
    assert ratio <= TARGET


@pytest.mark.speed
def test_first_visit_bytes(dist: Path) -> None:
    """Gzipped, as a host sends them: the whole site but what only the plain boot needs."""
    sizes: dict[str, int] = {}
    for path in dist.rglob("*"):
        if path.is_file() and path.name != ".gitignore":
            sizes[path.relative_to(dist).as_posix()] = len(gzip.compress(path.read_bytes(), 9))
    later = {name for name in sizes if ".zip" in name}
    first = sum(size for name, size in sizes.items() if name not in later)
    fallback = sum(sizes[name] for name in later)
    print(f"\nfirst visit {first / 1e6:.2f} MB gzipped; for the plain boot {fallback / 1e6:.2f} MB more")
    for name in sorted(sizes, key=lambda name: -sizes[name])[:7]:
        print(f"  {sizes[name] / 1e6:.2f} MB {name.rpartition('/')[2]}")
    assert first <= FIRST_VISIT_MB * 1e6
