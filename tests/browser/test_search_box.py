"""The search: out of the way until it is asked for, and then all there."""

from __future__ import annotations

import pytest
from browser.hosts import Host
from browser.sites import CHECK, HELP
from browser.states import NO_IDLE
from browser.worksheet import Worksheet
from playwright.sync_api import Page, expect

QUERY = "[data-md-component=search-query]"
FOUND = ".md-search-result__link"


def open_by_click(page: Page) -> None:
    page.locator(".search-opener").click()


def open_by_key(page: Page) -> None:
    page.keyboard.press("/")


@pytest.mark.parametrize("opened", [open_by_click, open_by_key], ids=["by a click", "by its key"])
@pytest.mark.parametrize("path", ["index.html", CHECK, HELP])
def test_search_finds_a_page_and_goes_there(visitor, host: Host, path, opened):
    page = visitor.open(host, path, first=NO_IDLE)
    expect(page.locator(QUERY)).to_be_hidden()
    opened(page)
    expect(page.locator(QUERY)).to_be_focused()
    page.keyboard.type("wet print")
    expect(page.locator(FOUND).first).to_be_visible()
    assert CHECK in page.locator(FOUND).first.get_attribute("href")
    page.locator(FOUND).first.click()
    expect(page.locator("h1")).to_have_text("Wet print check")


def test_escape_closes_the_search_and_the_focus_goes_back(visitor, host: Host):
    page = visitor.open(host, "index.html")
    for _ in range(2):
        page.locator(".search-opener").focus()
        page.keyboard.press("Enter")
        expect(page.locator(QUERY)).to_be_focused()
        page.keyboard.press("Control+A")
        page.keyboard.type("feet")
        expect(page.locator(FOUND).first).to_be_visible()
        page.keyboard.press("Escape")
        expect(page.locator(QUERY)).to_be_hidden()
        expect(page.locator(".search-opener")).to_be_focused()


def test_the_search_key_is_a_plain_letter_inside_a_field(visitor, host: Host):
    sheet = Worksheet(visitor.open(host))
    sheet.field("left.ball_mm").focus()
    sheet.page.keyboard.type("9/0")
    expect(sheet.field("left.ball_mm")).to_have_value("9/0")
    expect(sheet.page.locator(QUERY)).to_be_hidden()


def test_search_can_be_used_by_keyboard_alone(visitor, host: Host):
    page = visitor.open(host, "index.html")
    page.keyboard.press("/")
    expect(page.locator(QUERY)).to_be_focused()
    page.keyboard.type("wet print")
    expect(page.locator(FOUND).first).to_be_visible()
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_have_text("Wet print check")
