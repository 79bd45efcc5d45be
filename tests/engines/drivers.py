"""Firefox and WebKitGTK by remote control: the few things that the test of the main job does."""

from __future__ import annotations

import itertools
import json
import os
import re
import shutil
import subprocess
import tempfile
import time
import warnings
from pathlib import Path
from typing import Any

MINI_BROWSER = "lib/*/webkit2gtk-4*/MiniBrowser"
QUIET = {  # Firefox by itself asks several hosts for news; none of that here
    "app.normandy.enabled": False,
    "app.update.enabled": False,
    "browser.safebrowsing.malware.enabled": False,
    "browser.safebrowsing.phishing.enabled": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "extensions.update.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "http://127.0.0.1:9/",
    "toolkit.telemetry.enabled": False,
}


class Absent(Exception):
    """This engine is not on the machine; the message says what to install."""


class Firefox:
    """Driven over WebDriver BiDi by the browser itself, without a driver program."""

    def __init__(self) -> None:
        program = shutil.which("firefox-esr") or shutil.which("firefox")
        if not program:
            raise Absent("Firefox (on Debian: apt-get install firefox-esr)")
        import websocket

        self._profile = tempfile.mkdtemp(prefix="firefox-")
        lines = (f"user_pref({json.dumps(key)}, {json.dumps(value)});" for key, value in QUIET.items())
        Path(self._profile, "user.js").write_text("\n".join(lines))
        self._process = subprocess.Popen(
            [program, "--headless", "--no-remote", "--remote-debugging-port=0", "--profile", self._profile],
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, errors="replace",
        )  # fmt: skip
        assert self._process.stderr
        address = next(
            found[1]
            for line in self._process.stderr
            if (found := re.search(r"WebDriver BiDi listening on (ws://\S+)", line))
        )
        self._socket = websocket.create_connection(f"{address}/session", timeout=120, suppress_origin=True)
        self._numbers = itertools.count(1)
        self.name = "Firefox " + self._ask("session.new", capabilities={})["capabilities"]["browserVersion"]
        self._tab = self._ask("browsingContext.getTree")["contexts"][0]["context"]

    def _ask(self, method: str, **params: Any) -> Any:
        number = next(self._numbers)
        self._socket.send(json.dumps({"id": number, "method": method, "params": params}))
        while True:
            answer = json.loads(self._socket.recv())
            if answer.get("id") == number:
                assert answer["type"] == "success", answer
                return answer["result"]

    def go(self, url: str) -> None:
        self._ask("browsingContext.navigate", context=self._tab, url=url, wait="complete")

    def read(self, expression: str) -> Any:
        done = self._ask(
            "script.evaluate", expression=f"(async () => JSON.stringify(await ({expression}) ?? null))()",
            target={"context": self._tab}, awaitPromise=True,
        )  # fmt: skip
        assert done["type"] == "success", done
        return json.loads(done["result"]["value"])

    def type(self, selector: str, text: str) -> None:
        self.read(f"document.querySelector({json.dumps(selector)}).select()")
        strokes = [{"type": kind, "value": key} for key in text for kind in ("keyDown", "keyUp")]
        self._ask(
            "input.performActions", context=self._tab,
            actions=[{"type": "key", "id": "keys", "actions": strokes}],
        )  # fmt: skip

    def close(self) -> None:
        self._socket.close()
        self._process.terminate()
        try:
            self._process.communicate(timeout=15)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.communicate()
        shutil.rmtree(self._profile, ignore_errors=True)


class WebKitGTK:
    """The MiniBrowser of WebKitGTK, driven by its WebDriver, on a screen that nobody sees."""

    def __init__(self) -> None:
        driver, screen = shutil.which("WebKitWebDriver"), shutil.which("Xvfb")
        browser = next(iter(sorted(Path("/usr").glob(MINI_BROWSER))), None)
        if not (driver and screen and browser):
            raise Absent("WebKitGTK (on Debian: apt-get install webkit2gtk-driver xvfb)")
        from selenium import webdriver
        from selenium.webdriver.webkitgtk.options import Options
        from selenium.webdriver.webkitgtk.service import Service

        told, tells = os.pipe()
        self._screen = subprocess.Popen(
            [screen, "-displayfd", str(tells), "-screen", "0", "1024x900x24", "-nolisten", "tcp"],
            pass_fds=[tells], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(tells)
        with open(told) as number:
            display = f":{number.readline().strip()}"
        options = Options()
        options.binary_location = str(browser)
        options.add_argument("--automation")
        service = Service(driver, env={**os.environ, "DISPLAY": display})
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", DeprecationWarning)  # Selenium's own
                self._driver = webdriver.WebKitGTK(options=options, service=service)
        except BaseException:
            self._stop_screen()
            raise
        self._driver.set_script_timeout(60)
        self.name = f"WebKitGTK {self._driver.capabilities['browserVersion']}"

    def go(self, url: str) -> None:
        self._driver.get(url)

    def read(self, expression: str) -> Any:
        script = (
            f"const done = arguments[0]; (async () => done(JSON.stringify(await ({expression}) ?? null)))()"
        )
        return json.loads(self._driver.execute_async_script(script))

    def type(self, selector: str, text: str) -> None:
        field = self._driver.find_element("css selector", selector)
        field.clear()
        field.send_keys(text)

    def close(self) -> None:
        self._driver.quit()
        self._stop_screen()

    def _stop_screen(self) -> None:
        self._screen.terminate()
        self._screen.wait(timeout=15)


def wait(read: Any, patience_s: float = 90.0) -> Any:
    """The first true value, or the last one."""
    end = time.monotonic() + patience_s
    while not (value := read()) and time.monotonic() < end:
        time.sleep(0.02)
    return value
