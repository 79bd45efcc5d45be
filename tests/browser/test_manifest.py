"""What a phone needs to put the page on its home screen."""

from __future__ import annotations

import json
import struct
from pathlib import Path


def png_size(file: Path) -> tuple[int, int]:
    head = file.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n", f"{file.name} is no PNG"
    return struct.unpack(">II", head[16:24])


def test_manifest_is_relative_short_and_its_icons_are_what_they_say(dist: Path) -> None:
    manifest = json.loads((dist / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert len(manifest["short_name"]) <= 12
    for key in ("id", "start_url", "scope"):
        assert manifest[key].startswith("./"), "the site must work under a sub-path"
    found = set()
    for icon in manifest["icons"]:
        if icon["type"] == "image/png":
            width, height = png_size(dist / icon["src"])
            assert icon["sizes"] == f"{width}x{height}"
            found.add((width, icon.get("purpose", "any")))
    assert {(192, "any"), (512, "any"), (512, "maskable")} <= found


def test_page_names_manifest_icon_and_theme(dist: Path) -> None:
    html = (dist / "index.html").read_text(encoding="utf-8")
    assert '<link rel="manifest" href="manifest.webmanifest">' in html
    assert png_size(dist / "icons" / "apple-touch-180.png") == (180, 180)
    assert 'href="icons/apple-touch-180.png"' in html
    assert html.count('<meta name="theme-color" media="(prefers-color-scheme:') == 2
