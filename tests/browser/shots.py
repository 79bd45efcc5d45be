"""Pictures of the screen in every state, to look at:  python tests/browser/shots.py FOLDER

Also writes the README's screenshot when FOLDER is site_src/docs.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

import build  # noqa: E402
from tests.conftest import FLAGS, Site  # noqa: E402

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SIZES = {"phone": (390, 844), "small": (360, 640), "tablet": (1024, 768), "narrow": (320, 640)}
README_SHOT = "screenshot.png"


# The states follow one another on the same page.


def example(page: Page) -> None:
    """As it opens."""
    wake(page)


def own(page: Page) -> None:
    page.fill("#arm_length", "58.5")
    page.fill("#shoulder_breadth", "37,5")
    page.locator("#shoulder_breadth").blur()
    page.locator('#setup[data-age="own"]').wait_for()


def inches(page: Page) -> None:
    page.check('input[value="in"]')
    page.locator('[data-key="grip"] .unit:text-is("in")').wait_for()


def wrong(page: Page) -> None:
    page.check('input[value="cm"]')
    page.fill("#arm_length", "6.1")
    page.locator('#setup[data-age="old"]').wait_for()


def present(page: Page) -> None:
    page.fill("#arm_length", "58.5")
    page.click("#more summary")
    page.fill("#current_grip", "60")
    page.fill("#current_touch", "20")
    page.fill("#chest_arched", "30")
    page.locator("#setup .gain:not([hidden])").wait_for()
    page.wait_for_timeout(1000)


STATES = [example, own, inches, wrong, present]


def opened(browser: Browser, url: str, size: tuple[int, int], scheme: str) -> Page:
    width, height = size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme=scheme,
        device_scale_factor=1 if width > 500 else 2,
    )
    page = context.new_page()
    page.goto(url)
    return page


def wake(page: Page) -> None:
    page.locator('html[data-calculator="ready"]').wait_for(timeout=60_000)


def shoot(browser: Browser, url: str, folder: Path) -> None:
    for size_name, size in SIZES.items():
        for scheme in ("light", "dark"):
            page = opened(browser, url, size, scheme)
            for state in STATES:
                state(page)
                name = f"{state.__name__}-{size_name}-{scheme}.png"
                page.screenshot(path=folder / name, full_page=state is present)
            page.context.close()
    page = opened(browser, url, SIZES["phone"], "light")
    page.route("**/worker/worker.mjs", lambda route: route.abort())
    page.reload()
    page.locator("#trouble").wait_for()
    page.screenshot(path=folder / "failed-phone-light.png")
    page.context.close()


def readme_shot(browser: Browser, url: str, folder: Path) -> None:
    width, height = SIZES["phone"]
    page = browser.new_page(viewport={"width": width, "height": height}, device_scale_factor=1.5)
    page.goto(url)
    wake(page)
    page.screenshot(path=folder / README_SHOT)
    page.close()


def main(arguments: list[str]) -> int:
    if len(arguments) != 1:
        print(__doc__)
        return 2
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    site = Site(build.DIST)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=build.ensure_chromium(), args=FLAGS)
        if folder.resolve() == ROOT / "site_src" / "docs":
            readme_shot(browser, site.url, folder)
        else:
            shoot(browser, site.url, folder)
        browser.close()
    site.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
