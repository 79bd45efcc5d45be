"""Pictures of the screen in every state, to look at:  python tests/browser/shots.py FOLDER

With site_src/docs as FOLDER: only the README's own.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "core")]

from site_src.make import browsers, ground  # noqa: E402
from tests.browser.screen import poll  # noqa: E402
from tests.conftest import FLAGS, Site  # noqa: E402

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SIZES = {"phone": (390, 844), "small": (360, 640), "tablet": (1024, 768), "narrow": (320, 640)}
README_SHOT = "screenshot.png"


# The states follow one another on the same page.


def example(page: Page) -> None:
    """As it opens."""
    wake(page)


def cautions(page: Page) -> None:
    page.fill("#arm_length", "58.5")
    page.fill("#shoulder_breadth", "37,5")
    page.locator("#shoulder_breadth").blur()
    page.locator("#first").wait_for()


def own(page: Page) -> None:
    page.click("#first-read")
    page.locator('#setup[data-age="own"]').wait_for()
    page.locator('[data-interval="grip"]:not(:empty)').wait_for()


def inches(page: Page) -> None:
    page.check('input[value="in"]')
    page.locator('[data-key="grip"] .unit:text-is("in")').wait_for()


def wrong(page: Page) -> None:
    page.check('input[value="cm"]')
    page.fill("#arm_length", "6.1")
    page.locator("#arm_length").blur()
    page.locator('#setup[data-age="old"]').wait_for()


def present(page: Page) -> None:
    page.fill("#arm_length", "58.5")
    page.click("#more > summary")
    page.fill("#current_grip", "60")
    page.fill("#current_touch", "20")
    page.fill("#chest_arched", "30")
    page.click('[data-field="chest_arched"] .hint')
    page.locator("#setup .gain:not([hidden])").wait_for()
    page.locator('[data-interval="grip"]:not(:empty)').wait_for()


def head(page: Page) -> None:
    page.click("#more > summary")
    page.locator('.views input[value="head"]').check(force=True)
    page.locator("#rep-row").fill("6")


def above(page: Page) -> None:
    page.locator('.views input[value="above"]').check(force=True)
    page.locator("#rep-row").fill("0")


def chosen(page: Page) -> None:
    page.locator("#trade-at").fill("1")
    page.locator("#trade-back").wait_for()
    poll(lambda: page.click("#share") or page.locator("#qr svg").count(), bool)  # once its link is worked out


STATES = [example, cautions, own, inches, wrong, present, head, above, chosen]
WHOLE_PAGE = (present, chosen)


def opened(browser: Browser, url: str, size: tuple[int, int], scheme: str) -> Page:
    width, height = size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme=scheme,
        device_scale_factor=2,
    )
    page = context.new_page()
    page.goto(url)
    return page


def wake(page: Page) -> None:
    page.locator('html[data-calculator="ready"]').wait_for()


def shoot(browser: Browser, url: str, folder: Path, views: list[tuple[str, str]]) -> None:
    for size_name, scheme in views:
        page = opened(browser, url, SIZES[size_name], scheme)
        for state in STATES:
            state(page)
            name = f"{state.__name__}-{size_name}-{scheme}.jpg"
            page.evaluate("scrollTo(0, 0)")
            whole = state in WHOLE_PAGE and size_name != "tablet"
            quality = 30 if whole else 45
            page.screenshot(path=folder / name, full_page=whole, type="jpeg", quality=quality)
        page.context.close()
    page = opened(browser, url, SIZES["phone"], "light")
    page.route("**/worker/worker.mjs", lambda route: route.abort())
    page.reload()
    page.locator("#trouble").wait_for()
    page.screenshot(path=folder / "failed-phone-light.jpg", type="jpeg", quality=45)
    page.context.close()


def readme_shot(browser: Browser, url: str, folder: Path) -> None:
    width, height = SIZES["phone"]
    page = browser.new_page(viewport={"width": width, "height": height}, device_scale_factor=1.5)
    page.goto(url)
    wake(page)
    page.locator('[data-interval="grip"]:not(:empty)').wait_for()
    page.screenshot(path=folder / README_SHOT)
    page.close()


def main(arguments: list[str]) -> int:
    if len(arguments) != 1:
        print(__doc__)
        return 2
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    site = Site(ground.DIST)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browsers.ensure_chromium(), args=FLAGS)
        if folder.resolve() == ROOT / "site_src" / "docs":
            readme_shot(browser, site.url, folder)
        else:
            every = [(size, scheme) for size in SIZES for scheme in ("light", "dark")]
            shoot(browser, site.url, folder, every)
        browser.close()
    site.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
