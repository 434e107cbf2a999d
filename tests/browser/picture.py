"""Makes the README's picture anew from the demo site in site/: the wet-print sheet with its answer."""

from __future__ import annotations

import sys
from pathlib import Path
from threading import Thread

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests"))

import browsers  # noqa: E402 - the folder of tests is on the path only now

from treadleaf import serving  # noqa: E402

# Invented widths, in millimetres.
WIDTHS = {
    "left": {"ball_mm": "91", "middle_mm": "38", "heel_mm": "61"},
    "right": {"ball_mm": "92", "middle_mm": "52", "heel_mm": "62"},
}


def main() -> None:
    server = serving.server(ROOT / "site", 0)
    Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=browsers.find("chromium"), args=["--no-sandbox", "--disable-background-networking"]
        )
        page = browser.new_page(viewport={"width": 1000, "height": 1180}, reduced_motion="reduce")
        page.goto(f"http://127.0.0.1:{server.server_port}/checks/wet-print.html")
        for side, widths in WIDTHS.items():
            for key, value in widths.items():
                page.fill(f'[data-group="{side}"] [data-field="{key}"] input', value)
        page.click('[data-part="run"]')
        page.wait_for_selector('[data-part="result"]:not([hidden])')
        page.evaluate("document.querySelector('#measure').scrollIntoView()")
        page.screenshot(path=Path(__file__).with_name("picture.png"))
        browser.close()
    server.shutdown()


if __name__ == "__main__":
    main()
