"""After one visit the site works without a network; before that it says plainly what is missing."""

from __future__ import annotations

import pytest
from browser import card, sites
from browser.hosts import Host
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE, wait_for_calculators_kept, wait_for_pages_kept
from browser.worksheet import BOTH, LEFT, Worksheet
from playwright.sync_api import BrowserContext, Page, expect

# With the network gone, the browser itself says so of what it looks for afresh, such as a newer service worker.
CUT = (r"ERR_INTERNET_DISCONNECTED", r"ERR_CONNECTION_REFUSED", r"ERR_FAILED")

# The empty page before the first one knows no service workers.
COUNTING = """
    globalThis.registrations = 0;
    const known = globalThis.ServiceWorkerContainer?.prototype;
    const register = known?.register;
    if (known) known.register = function (...given) {
        globalThis.registrations += 1;
        return register.apply(this, given);
    };
"""


def visit_once(context: BrowserContext, host: Host) -> Page:
    """One visit in which a calculator was used; the page stays open."""
    page = context.new_page()
    page.goto(host.url(CHECK))
    Worksheet(page).field("left.ball_mm").focus()
    wait_for_calculators_kept(page)
    return page


@pytest.mark.parametrize("prefix", ["/", "/clinics/room/"], ids=["at the top", "under a path"])
@pytest.mark.parametrize("cut", ["network cut", "server stopped"])
def test_after_one_visit_every_page_opens_and_the_calculator_answers(visitor, demo_site, prefix, cut):
    visitor.expect(*CUT)
    context = visitor.context()
    with Host(demo_site, prefix) as host:
        visit_once(context, host).close()
        if cut == "server stopped":
            host.stop()
        else:
            context.set_offline(True)
        before = len(host.asked)
        for path in sites.for_clients(demo_site):
            page = context.new_page()
            answered = page.goto(host.url(path))
            assert (answered.status, page.locator("h1").count()) == (200, 1), path
            # Styles and pictures came too.
            assert page.locator(".clinic-header__logo").evaluate("(logo) => logo.naturalWidth > 0"), path
            styled = page.locator(".clinic-header").evaluate("(header) => getComputedStyle(header).borderBottomWidth")
            assert styled != "0px", path
            page.close()
        sheet = Worksheet(context.new_page())
        sheet.page.goto(host.url(CHECK))
        sheet.type(BOTH)
        sheet.press()
        assert card.wrong(sheet, BOTH) == []
        # The browser looks for a newer service worker by itself, past the cut that a test can make.
        assert set(host.paths()[before:]) <= {"service-worker.js"}


def test_the_short_forms_of_an_address_open_offline_too(visitor, host: Host):
    """Some hosts leave out index.html or .html, and a link may carry a query."""
    visitor.expect(*CUT)
    context = visitor.context()
    visit_once(context, host)
    context.set_offline(True)
    titles = {}
    for path in ("", "index.html", CHECK, CHECK.removesuffix(".html"), f"{CHECK}?from=leaflet"):
        page = context.new_page()
        page.goto(host.url(path))
        titles[path] = page.locator("h1").inner_text()
    assert titles[""] == titles["index.html"]
    assert len({titles[path] for path in titles if path.startswith(CHECK.removesuffix(".html"))}) == 1


def test_search_works_offline(visitor, host: Host):
    visitor.expect(*CUT)
    context = visitor.context()
    visit_once(context, host)
    context.set_offline(True)
    page = context.new_page()
    page.goto(host.url())
    page.locator(".search-opener").click()
    expect(page.locator("[data-md-component=search-query]")).to_be_focused()
    page.keyboard.type("wet print")
    expect(page.locator(".md-search-result__link").first).to_be_visible()


def test_an_address_that_was_never_kept_leads_to_the_page_for_the_lost(visitor, host: Host):
    """Also the second time: a wrong address must not be kept as if it were a page."""
    visitor.expect(*CUT, r"status 404: \S+/no-such", r"status 503: \S+/no-such", r"status of 40[34]|status of 503")
    context = visitor.context()
    visit_once(context, host).goto(host.url("no-such-page.html"))
    context.set_offline(True)
    for _ in range(2):
        page = context.new_page()
        assert page.goto(host.url("no-such-page.html")).status == 503
        assert page.locator("h1").inner_text() == WORDS["missing"]["title"]
        assert page.locator(".clinic-header__logo").evaluate("(logo) => logo.naturalWidth > 0")
        page.get_by_role("link", name=WORDS["missing"]["home"]).click()
        expect(page).to_have_url(host.url("index.html"))
        page.close()


@pytest.mark.parametrize("cut", ["network cut", "server stopped"])
def test_before_the_calculator_was_ever_loaded_it_says_so_and_trying_again_works(visitor, host: Host, cut):
    visitor.expect(*CUT, "request failed")
    page = visitor.open(host, first=NO_IDLE)
    context = page.context
    wait_for_pages_kept(page)
    if cut == "server stopped":
        host.stop()
    else:
        context.set_offline(True)
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    sheet.press()
    expect(sheet.status).to_have_text(WORDS["calculator"]["failed"]["offline"], timeout=30_000)
    expect(sheet.retry).to_be_visible()
    expect(sheet.card).to_be_hidden()
    if cut == "server stopped":
        host.start()
    else:
        context.set_offline(False)
    sheet.retry.click()
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect(sheet.retry).to_be_hidden()


def test_a_connection_lost_half_way_is_told_and_trying_again_works(visitor, host: Host):
    # The last is the service worker's, which is asked for only after the calculator.
    visitor.expect(*CUT, "request failed", "ERR_", "fetching the script")
    sheet = Worksheet(visitor.open(host))
    host.hold(".wasm.gz", after=500_000)
    sheet.type({"left": LEFT})
    sheet.press()
    sheet.page.wait_for_function("() => document.querySelector('footprint-widths progress').value > 0")
    host.stop()
    expect(sheet.status).to_have_text(WORDS["calculator"]["failed"]["offline"], timeout=30_000)
    host.release(".wasm.gz")
    host.start()
    sheet.retry.click()
    assert card.wrong(sheet, {"left": LEFT}) == []


@pytest.mark.parametrize("held", ["service-worker.js", "NOTICES.txt"], ids=["before", "during the installation"])
def test_a_copy_for_later_that_failed_is_tried_again_once_each_time_the_network_is_back(visitor, host: Host, held):
    visitor.expect(*CUT, "request failed", "ERR_", "fetching the script")
    host.hold(held)
    page = visitor.open(host, first=NO_IDLE + COUNTING)
    Worksheet(page).start()
    page.wait_for_function("registrations === 1")
    host.stop()
    page.context.set_offline(True)
    whole = page.locator("html")
    expect(whole).to_have_attribute("data-offline", "unavailable")
    host.release(held)
    # The machine has a network again, but the site cannot be reached: one more attempt, and no more.
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_function("registrations === 2")
    page.wait_for_timeout(500)
    expect(whole).to_have_attribute("data-offline", "unavailable")
    host.start()
    page.context.set_offline(False)
    wait_for_calculators_kept(page)
    wait_for_pages_kept(page)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_timeout(200)
    assert page.evaluate("registrations") == 3
