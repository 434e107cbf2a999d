"""Visits the check with WebKitGTK and reads what stood there."""

from __future__ import annotations

import contextlib
import os
import subprocess
import warnings
from collections.abc import Iterator
from pathlib import Path

from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.support.expected_conditions import element_to_be_clickable
from selenium.webdriver.support.ui import WebDriverWait

PATIENCE_S = 60
# Debian keeps it out of PATH, in a folder with the version of the interface in its name.
_BROWSERS = ("lib/*/webkit2gtk-4.*/MiniBrowser", "libexec/webkit2gtk-4.*/MiniBrowser")


def mini_browser() -> Path | None:
    """WebKitGTK's own small browser, which comes with its driver."""
    found = sorted(path for pattern in _BROWSERS for path in Path("/usr").glob(pattern))
    return found[-1] if found else None


@contextlib.contextmanager
def screen() -> Iterator[dict[str, str]]:
    """A screen that nobody sees; the surroundings for a program that should draw on it."""
    reading, writing = os.pipe()
    command = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x900x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL) as display:
        os.close(writing)
        try:
            with os.fdopen(reading) as told:
                number = told.readline().strip()
            # Its sandbox cannot be set up by root, as whom tests run in many containers.
            alone = {"WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1"} if os.geteuid() == 0 else {}
            yield {**os.environ, "DISPLAY": f":{number}", **alone}
        finally:
            display.terminate()


@contextlib.contextmanager
def driven(driver: Path, browser: Path, home: Path) -> Iterator[webdriver.WebKitGTK]:
    """A browser with an empty profile in ``home``, driven from here."""
    options = webdriver.WebKitGTKOptions()
    options.binary_location = str(browser)
    options.add_argument("--automation")
    with screen() as surroundings:
        places = {f"XDG_{kind}_HOME": str(home / kind.lower()) for kind in ("DATA", "CACHE", "CONFIG")}
        service = webdriver.WebKitGTKService(str(driver), env={**surroundings, **places, "HOME": str(home)})
        with warnings.catch_warnings():
            # Selenium's class for this browser still calls another of its own in an outdated way.
            warnings.filterwarnings("ignore", "setting remote_server_addr", DeprecationWarning)
            browser_session = webdriver.WebKitGTK(options=options, service=service)
        try:
            yield browser_session
        finally:
            browser_session.quit()


def visit(session: webdriver.WebKitGTK, url: str, typed: dict[str, str]) -> dict[str, object]:
    """Type, press, and read the card once the site is kept on the device."""
    session.get(url)
    for name, text in typed.items():
        session.find_element(By.ID, name).send_keys(text)
    waiting = WebDriverWait(session, PATIENCE_S)
    # A slow machine may show the button a moment after it has loaded the page.
    waiting.until(element_to_be_clickable((By.CSS_SELECTOR, '[data-part="run"]'))).click()
    waiting.until(lambda at: at.find_element(By.CSS_SELECTOR, '[data-part="result"]').is_displayed())
    waiting.until(lambda at: at.find_elements(By.CSS_SELECTOR, 'html[data-calculators="kept"]'))
    sides = session.find_elements(By.CSS_SELECTOR, "[data-side]:not([hidden])")
    ranges = session.find_element(By.CSS_SELECTOR, '[data-part="ranges"]')
    return {
        "sides": [side.get_property("textContent") for side in sides],
        "ranges": ranges.get_property("textContent"),
        "troubles": [],
    }
