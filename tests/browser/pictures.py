"""Pictures of every page and every sample, to be looked at: ``python tests/browser/pictures.py FOLDER [SITE ...]``.

Each site (the demo in site/ unless told otherwise) is taken at three widths, light and dark, and printed as PDF; the
samples of the staff page one by one.
"""

from __future__ import annotations

import sys
from pathlib import Path
from threading import Thread

from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests"))

import browsers  # noqa: E402 - the folder of tests is on the path only now
from browser import sites  # noqa: E402

from treadleaf import serving  # noqa: E402

WIDTHS = (360, 768, 1280)
SCHEMES = ("light", "dark")
SAMPLES = "staff/every-part.html"
ARGUMENTS = ("--no-sandbox", "--disable-background-networking", "--no-first-run")


def main() -> None:
    out, *given = [Path(word).resolve() for word in sys.argv[1:]]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browsers.find("chromium"), args=list(ARGUMENTS))
        for site in given or [ROOT / "site"]:
            server = serving.server(site, 0)
            Thread(target=server.serve_forever, daemon=True).start()
            take(browser, site, f"http://127.0.0.1:{server.server_port}/", out / site.name)
            server.shutdown()
        browser.close()


def take(browser: Browser, site: Path, address: str, out: Path) -> None:
    out.mkdir(parents=True, exist_ok=True)
    for width in WIDTHS:
        for scheme in SCHEMES:
            page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
            for path in [*sites.pages(site), "404.html"]:
                page.goto(address + path)
                name = f"{path.removesuffix('.html').replace('/', '-')}-{width}-{scheme}"
                if path == SAMPLES:
                    samples(page, out, name)
                else:
                    page.screenshot(path=out / f"{name}.png", full_page=True)
                if (width, scheme) == (WIDTHS[-1], SCHEMES[0]):
                    page.pdf(path=out / f"{name}.pdf", prefer_css_page_size=True)
            page.close()
    print(f"{out}: {len(list(out.iterdir()))} pictures")


def samples(page: Page, out: Path, name: str) -> None:
    page.wait_for_timeout(1_000)  # answers come a moment after the typing
    for figure in page.locator("figure.sample[id]").all():
        figure.screenshot(path=out / f"{name}-{figure.get_attribute('id')}.png")


if __name__ == "__main__":
    main()
