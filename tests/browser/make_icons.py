"""Draws the PNG icons of site_src/icons from icon.svg.  Run once after changing the drawing: python tests/browser/make_icons.py"""

from pathlib import Path

from playwright.sync_api import sync_playwright

ICONS = Path(__file__).parents[2] / "site_src" / "icons"
IRON = "#20262a"

# name, pixels, share of the square that the drawing fills (a launcher may cut a maskable icon to the inner 80 %)
SIZES = [("icon-192.png", 192, 1.0), ("icon-512.png", 512, 1.0), ("maskable-512.png", 512, 0.78), ("apple-touch-180.png", 180, 0.9)]


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
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        page = browser.new_page()
        for name, pixels, share in SIZES:
            draw(page, name, pixels, share)
        browser.close()


if __name__ == "__main__":
    main()
