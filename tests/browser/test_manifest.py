"""What a phone needs to put the page on its home screen and to keep its screen on."""

from __future__ import annotations

import json
import re
import shutil
import struct
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from tests.browser.screen import poll, wait_kept

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

SAFE_RADIUS = 0.4  # of the width; a maskable icon may be cut to this circle (W3C, Web Application Manifest)


def png_size(file: Path) -> tuple[int, int]:
    head = file.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n", f"{file.name} is no PNG"
    return struct.unpack(">II", head[16:24])


@pytest.fixture
def manifest(dist: Path) -> dict:
    return json.loads((dist / "manifest.webmanifest").read_text(encoding="utf-8"))


def test_manifest_is_relative_short_and_its_icons_are_what_they_say(dist: Path, manifest: dict) -> None:
    assert {"id", "name", "short_name", "description", "lang", "display", "icons"} <= manifest.keys()
    assert manifest["display"] == "standalone"
    assert len(manifest["short_name"]) <= 12
    for key in ("background_color", "theme_color"):
        assert re.fullmatch(r"#[0-9a-f]{6}", manifest[key])
    assert manifest["id"] == manifest["scope"] == "./", "the site must work under a sub-path"
    assert manifest["start_url"] == "./?start", "from where the lift used last is opened"
    found = set()
    for icon in manifest["icons"]:
        if icon["type"] == "image/png":
            width, height = png_size(dist / icon["src"])
            assert icon["sizes"] == f"{width}x{height}"
            with Image.open(dist / icon["src"]) as picture:
                picture.load()  # all of it is there
            found.add((width, icon.get("purpose", "any")))
        else:
            assert (dist / icon["src"]).read_text().startswith("<svg")
    assert {(192, "any"), (512, "any"), (512, "maskable")} <= found
    for shortcut in manifest["shortcuts"]:
        assert (dist / shortcut["url"]).is_file()


def test_maskable_icon_fills_its_square_and_keeps_to_the_safe_zone(dist: Path, manifest: dict) -> None:
    [icon] = [icon for icon in manifest["icons"] if icon.get("purpose") == "maskable"]
    with Image.open(dist / icon["src"]) as picture:
        pixels = picture.convert("RGBA")
    size = pixels.width
    assert pixels.getchannel("A").getextrema() == (255, 255), "a mask may show its corners"
    ground = pixels.getpixel((0, 0))
    middle = (size - 1) / 2
    inked = [
        (x, y)
        for y in range(size)
        for x in range(size)
        if max(abs(a - b) for a, b in zip(pixels.getpixel((x, y)), ground, strict=True)) > 24
    ]
    assert len(inked) > size * size / 50, "there is a picture"
    farthest = max(((x - middle) ** 2 + (y - middle) ** 2) ** 0.5 for x, y in inked)
    assert farthest <= SAFE_RADIUS * size


def test_every_page_names_manifest_icon_and_theme(dist: Path) -> None:
    assert png_size(dist / "icons" / "apple-touch-180.png") == (180, 180)
    for page in dist.glob("*.html"):
        html = page.read_text(encoding="utf-8")
        if "<script" not in html:
            continue  # a page of text
        assert '<link rel="manifest" href="manifest.webmanifest">' in html, page.name
        assert 'href="icons/apple-touch-180.png"' in html, page.name
        assert html.count('<meta name="theme-color" media="(prefers-color-scheme:') == 2, page.name


# ---- the way to the home screen

ASK = """() => {
  const event = new Event('beforeinstallprompt', { cancelable: true });
  event.prompt = async () => { window.prompted = (window.prompted ?? 0) + 1; };
  window.dispatchEvent(event);
  return event.defaultPrevented;
}"""


@pytest.mark.offline
def test_the_browsers_prompt_by_a_button_else_words(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page(has_touch=True, is_mobile=True)
    page.goto(site.url)
    box = page.locator("#install")
    assert box.is_hidden(), "not before it is kept"
    wait_kept(page)
    box.wait_for()
    assert "browser’s menu" in box.inner_text()
    assert box.get_by_role("button").count() == 0
    assert page.evaluate(ASK), "no bar over the form"
    button = box.get_by_role("button")
    assert (button.bounding_box() or {})["height"] >= 48
    button.click()
    assert page.evaluate("prompted") == 1
    assert box.is_hidden()


@pytest.mark.offline
def test_a_prompt_that_comes_while_one_is_open_serves_next(
    open_page: Callable[..., Page], site: Site
) -> None:
    page = open_page(has_touch=True, is_mobile=True)
    page.goto(site.url)
    wait_kept(page)
    page.evaluate(
        """() => {
          const event = new Event('beforeinstallprompt', { cancelable: true });
          window.answered = Promise.withResolvers();
          event.prompt = () => window.answered.promise;
          window.dispatchEvent(event);
        }"""
    )
    button = page.locator("#install").get_by_role("button")
    button.click()  # the browser's prompt is open now
    page.evaluate(ASK)
    page.evaluate("answered.resolve({ outcome: 'dismissed' })")
    button.click()
    page.wait_for_function("() => window.prompted === 1")


@pytest.mark.offline
def test_words_for_a_phone_that_never_asks(open_page: Callable[..., Page], site: Site) -> None:
    page = open_page(has_touch=True, is_mobile=True)
    page.add_init_script(
        "Object.defineProperty(navigator, 'standalone', { value: false, configurable: true })"
    )
    page.goto(site.url)
    wait_kept(page)
    box = page.locator("#install")
    box.wait_for()
    assert "Add to Home Screen" in box.inner_text()
    page.add_init_script("Object.defineProperty(navigator, 'standalone', { value: true })")
    page.reload()
    wait_kept(page)
    assert box.is_hidden(), "it was started from there"


# ---- the screen stays on

AWAKE = """async (refused) => {
  window.asked = 0;
  window.said = [];
  window.lock = null;
  navigator.wakeLock.request = async (kind) => {
    window.asked += 1;
    if (refused) throw new DOMException('low battery', 'NotAllowedError');
    window.lock = new EventTarget();
    lock.kind = kind;
    lock.release = async () => lock.dispatchEvent(new Event('release'));
    return lock;
  };
  const button = document.body.appendChild(document.createElement('button'));
  const { listenForAwake } = await import('./page/shared/awake.mjs');
  listenForAwake(button, (kept) => said.push(kept));
}"""


@pytest.mark.parametrize("refused", [False, True])
def test_screen_is_kept_on_by_a_tap_and_again_on_return(
    page: Page, dist: Path, tmp_path: Path, serve: Callable[[Path], Site], refused: bool
) -> None:
    shared = Path("page") / "shared"
    (tmp_path / shared).mkdir(parents=True)
    shutil.copy(dist / shared / "awake.mjs", tmp_path / shared)
    (tmp_path / "index.html").write_text('<!doctype html><link rel="icon" href="data:,"><title>bare</title>')
    page.goto(serve(tmp_path).url)
    page.evaluate(AWAKE, refused)
    button = page.get_by_role("button")
    assert page.evaluate("asked") == 0, "only a tap asks"
    button.click()
    assert poll(lambda: page.evaluate("said"), bool) == [not refused]
    assert button.get_attribute("aria-pressed") == str(not refused).lower()
    page.evaluate("lock?.release()")  # as a browser does when the page is left
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("asked") == (1 if refused else 2)
    if not refused:
        assert page.evaluate("lock.kind") == "screen"
        button.click()
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        assert page.evaluate("asked") == 2, "switched off"
        assert button.get_attribute("aria-pressed") == "false"
