"""A first visit that breaks off, wherever it breaks: what is there is usable, nothing false is said, and it mends."""

from __future__ import annotations

import pytest
from browser import card, device, sites
from browser.device import CUTS, badge, cut, expect_kept, mend
from browser.hosts import Host
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE, PATIENCE_MS
from browser.worksheet import LEFT, Worksheet
from playwright.sync_api import Error, expect

TYPED = {f"left.{key}": text for key, text in LEFT.items()}
RUNTIME = ("pyodide", "module", "wasm", "stdlib", "calculators")
BROKEN = ("request failed", "fetching the script", "Failed to load", "loading dynamically")


@pytest.fixture(params=CUTS)
def way(request, visitor) -> str:
    visitor.expect(*device.SILENCE, *BROKEN)
    return request.param


def arrive(host: Host, context, path: str, share: float | None):
    """A first visit, up to the moment when one file of it has stopped in the middle."""
    host.hold(path, share)
    page = context.new_page()
    page.add_init_script(NO_IDLE)
    page.goto(host.url(CHECK), wait_until="commit")
    page.wait_for_timeout(300)
    return page


def in_the_end_all_is_well(context, host: Host, way: str) -> None:
    """The next visit with a network keeps everything, and the one after that needs none."""
    device.keep_everything(context, host).close()
    cut(context, host, way)
    device.works(context, host)


@pytest.mark.parametrize(("path", "share"), [(CHECK, 0.5), ("styles/site.css", 0.5)], ids=["page", "style"])
def test_it_breaks_at_the_page_or_its_style(visitor, host: Host, way, path, share):
    context = visitor.context()
    page = arrive(host, context, path, share)
    cut(context, host, way)
    if path != CHECK:  # the words come before the looks
        expect(page.locator("h1")).to_be_visible()
        expect(Worksheet(page).field("left.ball_mm")).to_be_attached()
    page.close()
    mend(context, host, way)
    in_the_end_all_is_well(context, host, way)


@pytest.mark.parametrize("share", [None, 0.1, 0.5, 0.9], ids=["at the worker", "at 10 %", "at 50 %", "at 90 %"])
def test_it_breaks_while_the_calculator_arrives(visitor, host: Host, way, share):
    context = visitor.context()
    names = ["scripts/worker.js"] if share is None else [sites.runtime_file(host.folder, role).name for role in RUNTIME]
    for name in names:
        host.hold(name, share)
    page = context.new_page()
    page.add_init_script(NO_IDLE)
    page.goto(host.url(CHECK))
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    sheet.press()
    if share is None:
        page.wait_for_timeout(300)
    else:
        page.wait_for_function(
            "(share) => document.querySelector('footprint-widths progress').value > share * 0.9", arg=share
        )
    cut(context, host, way)
    expect(sheet.status).to_have_text(WORDS["calculator"]["failed"]["offline"], timeout=PATIENCE_MS)
    assert sheet.typed() == TYPED
    expect(badge(page)).not_to_have_attribute("data-kept", "all")
    mend(context, host, way)
    sheet.retry.click()
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect_kept(page, "all")
    page.close()
    cut(context, host, way)
    device.works(context, host)


@pytest.mark.parametrize("path", ["service-worker.js", "NOTICES.txt"], ids=["at its start", "in its middle"])
def test_the_installation_breaks(visitor, host: Host, way, path):
    context = visitor.context()
    host.hold(path, 0.5)
    page = context.new_page()
    page.goto(host.url(device.READING))
    while not any(asked.endswith(path) for asked in host.paths()):
        page.wait_for_timeout(100)
    cut(context, host, way)
    expect_kept(page, "nothing")
    expect(badge(page)).to_contain_text(WORDS["offline"]["none"])
    expect(badge(page)).to_contain_text(WORDS["offline"]["failed"]["offline"], timeout=PATIENCE_MS)
    other = context.new_page()
    with pytest.raises(Error, match="ERR_"):
        other.goto(host.url(CHECK))
    other.close()  # left open, it would load by itself once the network is back, and its calculator with it
    mend(context, host, way)
    badge(page).get_by_role("button").click()
    expect_kept(page, "all")
    cut(context, host, way)
    device.works(context, host)
