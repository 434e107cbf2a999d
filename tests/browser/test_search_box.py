"""The search: out of the way until it is asked for, and then all there."""

from __future__ import annotations

import json

import pytest
from browser.hosts import Host
from browser.sites import CHECK, HELP, WORDS
from browser.states import NO_IDLE
from browser.worksheet import Worksheet
from playwright.sync_api import Page, expect

from treadleaf import site

SAY = WORDS["search"]
ALSO = {page.address: page.front.also for page in site._pages()}
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


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("sore arch", "cautions/pain-and-cramp.html"),
        ("foot rolls in", "exercises/short-foot.html"),
        ("foot rolls in", "checks/heel-tilt.html"),
        ("curl", "exercises/towel-curl-big-toe.html"),
        ("cramp", "cautions/pain-and-cramp.html"),
        ("insole", "cautions/support-and-orthoses.html"),
        ("numb", "cautions/diabetes-and-numb-feet.html"),
        ("balance", "exercises/single-leg-stance.html"),
        ("tiptoe", "exercises/heel-raise.html"),
        ("finger", "checks/arch-reach.html"),
        ("emergency", HELP),
    ],
)
def test_search_finds_a_sheet_by_plain_words(visitor, host: Host, typed, wanted):
    page = visitor.open(host, "index.html", first=NO_IDLE)
    open_by_key(page)
    expect(page.locator(QUERY)).to_be_focused()
    page.keyboard.type(typed)
    expect(page.locator(FOUND).first).to_be_visible()
    found = page.locator(FOUND).evaluate_all("(links) => links.map((link) => link.pathname)")
    pages = list(dict.fromkeys(path.split("#")[0] for path in found))
    assert any(path.endswith(wanted) for path in pages[:5]), pages


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


def test_results_are_counted_in_pages_and_are_as_large_as_the_text(visitor, host: Host, demo_site):
    page = visitor.open(host, "index.html")
    page.keyboard.press("/")
    expect(page.locator(QUERY)).to_be_focused()
    page.keyboard.type("heel")
    counted = page.locator(".md-search-result__meta")
    expect(page.locator(FOUND).first).to_be_visible()
    page.locator(".md-search-result__item").nth(9).wait_for()  # the rest comes when it is scrolled to
    shown = json.loads((demo_site / "search" / "search_index.json").read_text("utf-8"))["docs"]
    found = len({row["location"].partition("#")[0] for row in shown if "heel" in json.dumps(row).lower()})
    expect(counted).to_have_text(SAY["search.result.other"].replace("#", str(found)))
    size = "(told) => parseFloat(getComputedStyle(told).fontSize)"
    text = page.locator("article").first.evaluate(size)
    for told in page.locator(".md-search-result :is(.md-search-result__meta, h1, h2, p, summary > div)").all():
        assert told.evaluate(size) >= text, told.text_content()
    page.keyboard.press("Control+A")
    page.keyboard.type("xyzzy")
    expect(counted).to_have_text(SAY["search.result.none"])


def test_what_can_be_found_stands_on_its_page_under_the_pages_own_title(visitor, host: Host, demo_site):
    """Words for an answer, for a picture or for paper alone would be looked for in vain."""
    rows = json.loads((demo_site / "search" / "search_index.json").read_text("utf-8"))["docs"]
    page = visitor.open(host, "index.html")
    for path in sorted({row["location"].partition("#")[0] for row in rows}):
        own = [row for row in rows if row["location"].partition("#")[0] == path]
        html = (demo_site / path).read_text("utf-8")
        also = ", ".join(ALSO[path])
        title, missing = page.evaluate(
            """([html, rows]) => {
              const parsed = (text) => new DOMParser().parseFromString(text, "text/html");
              const plain = ({ textContent }) => textContent.replace(/\\s+/g, " ").trim();
              const page = parsed(html).querySelector("article");
              for (const row of page.querySelectorAll("template")) row.replaceWith(row.content);
              const unseen = "script, noscript, svg, .print-only, .paper, .result-card, .reference";
              for (const element of page.querySelectorAll(unseen)) element.remove();
              const told = rows.flatMap(({ text }) => [...parsed(text).body.children].map(plain)).filter(Boolean);
              return [plain(page.querySelector("h1")), told.filter((text) => !plain(page).includes(text))];
            }""",
            [html, own],
        )
        # But for other words for the same thing, which are there to be looked for.
        assert (own[0]["title"], missing) == (title, [also] if also else []), path
