"""What a device has lost or spoilt is found by its hash, never used, and fetched again; until then it is told."""

from __future__ import annotations

import pytest
from browser import card, device, sites
from browser.device import CUTS, badge, cut, expect_kept, mend
from browser.hosts import Host
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE, PATIENCE_MS
from browser.worksheet import LEFT, Worksheet
from playwright.sync_api import BrowserContext, Page, expect

HOW = ("truncated", "altered", "emptied", "missing")
PAGE_FILES = (CHECK, "styles/site.css", "scripts/calculator-form.js")
LARGE = ("pyodide", "module", "wasm", "stdlib", "calculators")


@pytest.fixture(scope="module")
def kept(browser, demo_site):
    """One device on which everything is kept, for all tests of this file; each leaves it whole again."""
    from browser.conftest import Visitor

    visitor = Visitor(browser)
    context = visitor.context()
    context.add_init_script(NO_IDLE)
    with Host(demo_site, prefix="/marrowby/") as host:
        page = device.keep_everything(context, host)
        page.goto(host.url("NOTICES.txt"))  # nothing on it looks after the device
        yield context, host, page
        visitor.close()


def a_check(context: BrowserContext, host: Host) -> Page:
    page = context.new_page()
    page.goto(host.url(CHECK))
    return page


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("path", PAGE_FILES)
def test_a_spoilt_part_of_a_page_is_fetched_again_before_it_is_shown(kept, path, how):
    context, host, page = kept
    device.spoil(page, path, how)
    before = len(host.asked)
    opened = a_check(context, host)
    expect_kept(opened, "all")
    sheet = Worksheet(opened)
    sheet.type({"left": LEFT})
    sheet.press()
    assert card.wrong(sheet, {"left": LEFT}) == []
    opened.close()
    assert [asked for asked in host.paths()[before:] if asked != "service-worker.js"] == [path]


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("role", LARGE)
def test_a_spoilt_part_of_the_calculators_is_fetched_again_and_never_runs(kept, role, how):
    context, host, page = kept
    path = f"runtime/{sites.runtime_file(host.folder, role).name}"
    device.spoil(page, path, how)
    before = len(host.asked)
    opened = a_check(context, host)
    sheet = Worksheet(opened)
    sheet.type({"left": LEFT})
    sheet.press()
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect_kept(opened, "all")
    opened.close()
    assert {asked for asked in host.paths()[before:] if asked != "service-worker.js"} == {path}


@pytest.mark.parametrize("way", CUTS)
@pytest.mark.parametrize("how", HOW)
def test_without_a_network_the_loss_is_told_and_mended_when_it_is_back(kept, how, way):
    context, host, page = kept
    listed = device.pages_kept(page)
    device.spoil(page, CHECK, how)
    device.spoil(page, ".wasm.gz", how)
    cut(context, host, way)
    opened = context.new_page()
    assert opened.goto(host.url(CHECK)).status == 503
    expect(opened.locator("h1")).to_have_text(WORDS["missing"]["title"])
    expect_kept(opened, "some")
    # In one look: while the calculators are tried too, the line speaks of them for a moment.
    told = f"{WORDS['offline']['some']} {WORDS['offline']['failed']['offline']}"
    expect(badge(opened)).to_contain_text(told.format(whole=listed - 1, listed=listed))
    # A check that is whole opens, and its calculator says what it lacks.
    opened.goto(host.url("checks/heel-tilt.html"))
    opened.locator("heel-angle [data-part=run]").click()
    failed = opened.locator("heel-angle [data-part=status]")
    expect(failed).to_have_text(WORDS["calculator"]["failed"]["offline"], timeout=PATIENCE_MS)
    mend(context, host, way)
    if way == "server stopped" or how == "missing":  # a network that is back mends what is damaged by itself
        badge(opened).get_by_role("button").click()
    expect_kept(opened, "all")
    opened.close()
    cut(context, host, way)
    device.works(context, host)
    mend(context, host, way)
