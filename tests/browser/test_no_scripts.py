"""Pages as a browser without scripts shows them: whole to read, and a worksheet to write on."""

from __future__ import annotations

from browser.hosts import Host
from browser.sites import CHECK, WORDS
from browser.worksheet import Worksheet
from playwright.sync_api import expect


def test_without_scripts_the_page_is_a_worksheet(visitor, host: Host):
    page = visitor.open(host, java_script_enabled=False)
    sheet = Worksheet(page)
    for where in ("left.ball_mm", "left.middle_mm", "left.heel_mm", "right.ball_mm", "right.heel_mm"):
        expect(sheet.field(where)).to_be_visible()
    for index in ("chippaux_smirak_index", "staheli_index"):
        expect(sheet.root).to_contain_text(WORDS["footprint_widths"][index]["formula"])
    expect(page.locator("noscript p")).to_be_visible()
    expect(page.locator("noscript p")).to_have_text(WORDS["calculator"]["no_script"])
    for hidden in ("run", "clear", "retry", "result", "state"):
        expect(sheet.part(hidden)).to_be_hidden()
    expect(page.locator(".search-opener")).to_be_hidden()
    expect(page.locator(".caution-box")).to_be_visible()
    page.wait_for_load_state("networkidle")  # the page's icon comes after all else
    before = len(host.asked)
    sheet.field("left.ball_mm").fill("90")
    sheet.field("left.ball_mm").press("Enter")
    page.wait_for_timeout(300)
    assert page.url == host.url(CHECK)
    assert len(host.asked) == before
    expect(sheet.field("left.ball_mm")).to_have_value("90")


def test_without_scripts_every_page_reads_whole(visitor, host: Host):
    for path, page in visitor.tour(host, java_script_enabled=False):
        expect(page.locator("h1"), path).to_be_visible()
        expect(page.locator(".purpose"), path).to_have_text(WORDS["purpose"]["sentence"])
        # What only a script can do is not offered.
        assert page.locator("main button:visible, header button:visible").all_inner_texts() == [], path
