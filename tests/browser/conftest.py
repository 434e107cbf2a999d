"""Chromium for the browser tests: a fresh profile for each test, and nothing may go wrong unseen."""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser import photo_tool, sites
from browser.hosts import Host
from browser.on_paper import PAPERS
from browser.photo_tool import PhotoTool
from browser.states import NO_IDLE
from browser.worksheet import Worksheet
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Request,
    Response,
    expect,
    sync_playwright,
)

from treadleaf import site

# The last two: each window would start a process for the pop-up of its address bar, a quarter of what opening a page
# costs. Of two such lists Chromium takes the later, so Playwright's own is said again before them.
WITHOUT = (
    "AimEnabled",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "LensOverlay",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "ThirdPartyStoragePartitioning",
    "WebUIOmniboxPopup",
    "WebUIOmniboxAimPopup",
)
ARGUMENTS = (
    f"--disable-features={','.join(WITHOUT)}",
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
# A busy machine is no fault of a page; what never comes is told a little later.
expect.set_options(timeout=15_000)
PINNED: dict[str, Any] = {
    "locale": "en-GB",
    "timezone_id": "Europe/London",
    "viewport": {"width": 1280, "height": 900},
    "reduced_motion": "reduce",
    "color_scheme": "light",
}


class Visitor:
    """Opens pages in fresh profiles and writes down whatever goes wrong on them."""

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._contexts: list[BrowserContext] = []
        self._expected: list[str] = []
        self.troubles: list[str] = []

    def context(self, **options: Any) -> BrowserContext:
        context = self._browser.new_context(**{**PINNED, **options})
        context.set_default_timeout(20_000)
        self._contexts.append(context)
        if options.get("service_workers") == "block":  # Playwright says so once a page gets as far as asking for one
            self.expect(r"Service Worker registration blocked by Playwright")
        context.on("console", self._console)
        context.on("weberror", lambda error: self.troubles.append(f"error on the page: {error.error}"))
        context.on("requestfailed", self._failed)
        context.on("response", self._response)
        return context

    def open(self, host: Host, path: str = sites.CHECK, first: str = "", **options: Any) -> Page:
        """A page in a fresh profile. ``first`` is a script that runs before the page's own."""
        context = self.context(**options)
        if first:
            context.add_init_script(first)
        page = context.new_page()
        page.goto(host.url(path))
        return page

    def tour(self, host: Host, paths: Iterable[str] | None = None, **options: Any) -> Iterator[tuple[str, Page]]:
        """Some pages of a site, or all with the one for wrong addresses, in turn: one fresh profile, never idle."""
        self.expect(r"logo\.svg net::ERR_ABORTED")  # a page that is left at once gives up its icon
        context = self.context(**options)
        context.add_init_script(NO_IDLE)
        page = context.new_page()
        for path in sites.every_page(host.folder) if paths is None else paths:
            page.goto(host.url(path))
            yield path, page

    def expect(self, *patterns: str) -> None:
        """Troubles with one of these regular expressions in them belong to the test."""
        self._expected += patterns

    def close(self) -> list[str]:
        """Close everything and give back the troubles that no test expected."""
        seen = [row for row in self.troubles if not any(re.search(pattern, row) for pattern in self._expected)]
        for context in self._contexts:
            context.close()
        return seen

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.troubles.append(f"console {message.type}: {message.text} ({message.location.get('url', '')})")

    def _failed(self, request: Request) -> None:
        self.troubles.append(f"request failed: {request.url} {request.failure}")

    def _response(self, response: Response) -> None:
        if response.status >= 400:
            self.troubles.append(f"status {response.status}: {response.url}")


@pytest.fixture(scope="session")
def browser(chromium: Path) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=str(chromium), args=list(ARGUMENTS))
        yield launched
        launched.close()


@pytest.fixture
def started_with(browser: Browser, chromium: Path) -> Iterator[Callable[..., BrowserContext]]:
    """A call that starts Chromium once more, with arguments and surroundings of its own, and opens a fresh profile."""
    with contextlib.ExitStack() as opened:

        def start(*arguments: str, surroundings: dict[str, str] | None = None) -> BrowserContext:
            launched = browser.browser_type.launch(
                executable_path=str(chromium), args=[*ARGUMENTS, *arguments], env={**os.environ, **(surroundings or {})}
            )
            opened.callback(launched.close)
            context = launched.new_context(**PINNED)
            context.set_default_timeout(20_000)
            return context

        yield start


@pytest.fixture
def visitor(browser: Browser) -> Iterator[Visitor]:
    """A visitor whose test fails when a page reports an error, or when a request fails, that it did not expect."""
    someone = Visitor(browser)
    yield someone
    assert someone.close() == []


@pytest.fixture
def host(demo_site: Path) -> Iterator[Host]:
    """The demo site on a server of its own, under the path at which it would be published."""
    with Host(demo_site, prefix="/marrowby/") as serving:
        yield serving


@pytest.fixture(scope="module")
def worksheet() -> tuple[type[Worksheet], str]:
    """The worksheet that `sheet` is, and its page. A file with another one overrides this."""
    return Worksheet, sites.CHECK


@pytest.fixture(scope="module")
def started(
    browser: Browser, demo_site: Path, worksheet: tuple[type[Worksheet], str]
) -> Iterator[tuple[Worksheet, Visitor]]:
    """One page whose calculator is ready, for the tests of a file: a start for each would take minutes."""
    kind, path = worksheet
    visitor = Visitor(browser)
    with Host(demo_site) as host:
        sheet = kind(visitor.open(host, path))
        sheet.start()
        yield sheet, visitor
        visitor.close()


@pytest.fixture
def sheet(started: tuple[Worksheet, Visitor]) -> Iterator[Worksheet]:
    """The worksheet as a visitor finds it, with the calculator ready. Nothing may go wrong on its page."""
    sheet, visitor = started
    sheet.start_over()
    yield sheet
    troubles, visitor.troubles = visitor.troubles, []
    assert troubles == []


@pytest.fixture
def tool(sheet: PhotoTool) -> PhotoTool:
    """The photograph tool on the one page of a file, with Python ready and no print on it."""
    return sheet


@pytest.fixture
def phone(visitor: Visitor, host: Host) -> PhotoTool:
    """The photograph tool on a telephone."""
    return PhotoTool(visitor.open(host, photo_tool.PATH, **photo_tool.PHONE))


@pytest.fixture(scope="session")
def other_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of another clinic."""
    return sites.build(site.DEMO.parent / "bellbird-bay" / "clinic.toml", tmp_path_factory.mktemp("other") / "site")


@pytest.fixture(scope="session")
def imperial_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a clinic that measures in inches and prints on Letter."""
    folder = tmp_path_factory.mktemp("imperial")
    return sites.build(sites.clinic(folder / "clinic", units="imperial", paper="Letter"), folder / "site")


@pytest.fixture(scope="module", params=PAPERS)
def paper(
    request: pytest.FixtureRequest, demo_site: Path, imperial_site: Path, letters: Path
) -> Iterator[tuple[Host, str]]:
    """A host of the site of a clinic that prints on this paper, and the paper's name."""
    made = {"A4": demo_site, "Letter": imperial_site}[request.param]
    with Host(made, prefix="/marrowby/") as host:  # the page for wrong addresses knows its place
        yield host, request.param
