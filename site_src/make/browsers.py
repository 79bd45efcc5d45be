"""A Chromium for the tests, and Firefox and WebKitGTK where they can be had."""

import contextlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from site_src.make.ground import Trouble, run, step
from site_src.make.setup import install

LIGHT = "chromium-headless-shell"  # one without windows: a test in it takes three fifths of the time


def find_chromium(
    names: Iterable[str] = (LIGHT, "chromium", "chromium-browser", "google-chrome"),
) -> str | None:
    """A Chromium on this machine that starts: the system's own first, then Playwright's."""
    apps = [f"/Applications/{app}.app/Contents/MacOS/{app}" for app in ("Google Chrome", "Chromium")]
    ask = (
        "from playwright.sync_api import *\nwith sync_playwright() as it: print(it.chromium.executable_path)"
    )

    def starts(place: str | None) -> bool:
        if not place or not Path(place).exists():
            return False
        return subprocess.run([place, "--version"], capture_output=True).returncode == 0

    found = next(filter(starts, [*map(shutil.which, names), *apps]), None)
    if not found:
        own = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True).stdout.strip()
        found = own if starts(own) else None
    return found


def ensure_chromium() -> str:
    fetch = [sys.executable, "-m", "playwright", "install", "chromium"]
    ways = {"fetching a Chromium for the tests": [fetch]}
    found = find_chromium()
    if shutil.which("apt-get") and os.geteuid() == 0:
        found = find_chromium([LIGHT])
        get = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", LIGHT]
        ways = {"installing the distribution's Chromium": [["apt-get", "update", "-qq"], get]} | ways
    for text, commands in ways.items():
        if found:
            break
        try:
            with step(text):
                for command in commands:
                    run(text, *command, env={"DEBIAN_FRONTEND": "noninteractive"})
        except Trouble as trouble:
            print(f"  {trouble}", flush=True)
        found = find_chromium()
    if not found:
        raise Trouble(
            "the tests need a Chromium and none could be had; install chromium, then run this again"
        )
    return found


ENGINES = {"firefox-esr": "firefox-esr", "WebKitWebDriver": "webkit2gtk-driver", "Xvfb": "xvfb"}


def set_up_engines() -> None:
    """Firefox and WebKitGTK where a package manager can be used; the tests say which is missing."""
    install("engines", "installing what drives the other engines (10 MB)")
    missing = [package for program, package in ENGINES.items() if not shutil.which(program)]
    if missing and shutil.which("apt-get") and os.geteuid() == 0:
        text = f"installing {', '.join(missing)}"
        with contextlib.suppress(Trouble), step(text):
            for options in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends", *missing]):
                run(text, "apt-get", *options, env={"DEBIAN_FRONTEND": "noninteractive"})
