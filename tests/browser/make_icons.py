"""Draws the PNG icons of site_src/icons from icon.svg; run it after a change of the drawing."""

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from site_src.make import browsers  # noqa: E402
from tests.conftest import FLAGS  # noqa: E402

ICONS = ROOT / "site_src" / "icons"
IRON = "#20262a"

# name, pixels, share of the square that the drawing fills (a launcher may cut a maskable icon down to 80 %)
SIZES = [
    ("icon-192.png", 192, 1.0),
    ("icon-512.png", 512, 1.0),
    ("maskable-512.png", 512, 0.78),
    ("apple-touch-180.png", 180, 0.9),
]


def draw(page, name: str, pixels: int, share: float) -> None:
    page.set_viewport_size({"width": pixels, "height": pixels})
    side = pixels * share
    page.set_content(
        f"<body style='margin:0;background:{IRON};display:grid;place-items:center;height:{pixels}px'>"
        f"<div style='width:{side}px;height:{side}px'>{(ICONS / 'icon.svg').read_text()}</div></body>"
    )
    page.screenshot(path=ICONS / name)


def main() -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browsers.ensure_chromium(), args=FLAGS)
        page = browser.new_page()
        for name, pixels, share in SIZES:
            draw(page, name, pixels, share)
        browser.close()


if __name__ == "__main__":
    main()
