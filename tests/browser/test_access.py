"""The pages for everybody: screen readers, keyboards, small screens, large type, no scripts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import card
from browser.hosts import Host
from browser.sites import WORDS
from browser.states import NO_IDLE, PATIENCE_MS, wait_for_pages_kept
from browser.worksheet import BOTH, LEFT, Worksheet
from playwright.sync_api import Page, expect

# The rules of the guidelines to level AA, and what the checker's authors hold to be good practice.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

# What the guidelines ask a page to bear without loss: WCAG 2.2, criterion 1.4.12.
TEXT_SPACING = """() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`* { line-height: 1.5 !important; letter-spacing: 0.12em !important;
        word-spacing: 0.16em !important; } p { margin-block-end: 2em !important; }`);
    document.adoptedStyleSheets.push(sheet);
}"""
TOO_SMALL = """() => [...document.querySelectorAll("a, button, input, select, textarea, summary")].filter((control) => {
    const { width, height } = control.getBoundingClientRect();
    const inText = control.matches("p a, li a") && getComputedStyle(control).display === "inline";
    const seen = width > 0 && control.checkVisibility({ visibilityProperty: true, opacityProperty: true });
    const theirs = control.closest(".md-search, .md-toggle, .md-skip");
    return seen && !inText && !theirs && Math.min(width, height) < 24;
}).map((control) => control.outerHTML.slice(0, 120))"""
SCREENS = {
    "a phone of 360 px": {"viewport": {"width": 360, "height": 740}},
    "type at twice its size": {"viewport": {"width": 640, "height": 450}, "device_scale_factor": 2},
}


@pytest.fixture(scope="module")
def axe(repo: Path) -> str:
    return (repo / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")


def faults(page: Page, axe: str) -> list[str]:
    if not page.evaluate("'axe' in globalThis"):
        page.evaluate(axe)
    found = page.evaluate(
        "async (runOnly) => (await axe.run(document, { runOnly, resultTypes: ['violations'] })).violations",
        RULES,
    )
    return [f"{row['id']}: {row['help']}: {[node['target'] for node in row['nodes']]}" for row in found]


def sticks_out(page: Page) -> list[str]:
    """What makes the page wider than the window: nothing, or the elements that reach over its edge."""
    found: list[str] = page.evaluate(
        """() => {
            const { scrollWidth, clientWidth } = document.documentElement;
            if (scrollWidth <= clientWidth) return [];
            const wide = [...document.body.querySelectorAll("*")].filter((element) => {
                const { left, right, width } = element.getBoundingClientRect();
                return width > 0 && (right > clientWidth + 0.5 || left < -0.5);
            });
            return [`${scrollWidth} > ${clientWidth}`, ...wide.slice(0, 5).map((element) =>
                `${element.tagName} ${element.className} ${element.id}`)];
        }"""
    )
    return found


def unfold(page: Page) -> int:
    """Open what is folded, and say how much that was."""
    folded: int = page.evaluate(
        """() => {
            const folded = [...document.querySelectorAll("details:not([open])")];
            for (const one of folded) one.open = true;
            return folded.length;
        }"""
    )
    return folded


def settings(page: Page) -> Iterator[str]:
    """Sets the lines of a page in each way, one after the other: as written and spaced out, in both directions."""
    for spacing in ("as written", "spaced out"):
        if spacing == "spaced out":
            page.evaluate(TEXT_SPACING)
        for direction in ("ltr", "rtl"):
            direct(page, direction)
            yield f"{spacing}, {direction}"


def direct(page: Page, direction: str) -> None:
    page.evaluate("(direction) => { document.documentElement.dir = document.body.dir = direction; }", direction)


def test_the_checker_finds_nothing_on_any_page_folded_or_unfolded_light_or_dark(visitor, host: Host, axe):
    found: dict[tuple[str, str, str], list[str]] = {}
    for path, page in visitor.tour(host):
        for state in ("folded", "unfolded"):
            if state == "unfolded" and not unfold(page):
                continue
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                found[path, state, scheme] = faults(page, axe)
    assert {"folded", "unfolded"} == {state for _, state, _ in found}
    assert {place: rows for place, rows in found.items() if rows} == {}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_checker_finds_nothing_after_a_result_and_after_a_refusal(sheet: Worksheet, axe, scheme):
    page = sheet.page
    page.emulate_media(color_scheme=scheme)
    sheet.type({**BOTH, "age_years": "41"})
    sheet.press()
    sheet.wait()
    assert faults(page, axe) == []
    unfold(page)
    assert faults(page, axe) == []
    sheet.field("left.middle_mm").fill("95")
    sheet.press()
    expect(sheet.fault("left.middle_mm")).to_be_visible()
    assert faults(page, axe) == []


def test_the_checker_finds_nothing_while_loading_and_after_a_failure(visitor, host: Host, axe):
    # The last is the service worker's, which is asked for only after the calculator.
    visitor.expect("request failed", "ERR_", "fetching the script")
    host.hold(".wasm.gz")
    page = visitor.open(host)
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    expect(sheet.part("progress")).to_be_visible()
    assert faults(page, axe) == []
    host.stop()
    expect(sheet.retry).to_be_visible(timeout=PATIENCE_MS)
    assert faults(page, axe) == []


def test_the_checker_can_find_something(sheet: Worksheet, axe):
    sheet.page.evaluate("document.querySelector('footprint-widths label').remove()")
    try:
        assert any(row.startswith("label") for row in faults(sheet.page, axe))
    finally:
        sheet.page.reload()
        sheet.start()


@pytest.mark.parametrize("screen", SCREENS.values(), ids=SCREENS.keys())
def test_no_page_scrolls_sideways_and_controls_are_large_enough_for_a_finger(visitor, host: Host, screen):
    """At least 24 px each way, or a line of running text: WCAG 2.2, criterion 2.5.8."""
    found = {}
    for path, page in visitor.tour(host, **screen):
        unfold(page)
        found[path, "controls"] = page.evaluate(TOO_SMALL)
        for setting in settings(page):
            found[path, setting] = sticks_out(page)
    assert {place: rows for place, rows in found.items() if rows} == {}


@pytest.mark.parametrize("screen", SCREENS.values(), ids=SCREENS.keys())
def test_no_state_of_the_calculator_scrolls_sideways(visitor, host: Host, screen):
    page = visitor.open(host, **screen)
    sheet = Worksheet(page)
    sheet.start()
    typed = {
        "left": {"ball_mm": "88.25", "middle_mm": "0", "heel_mm": "57.75", "gap_mm": "24.25"},
        "right": {"ball_mm": "60", "middle_mm": "36.75", "heel_mm": "90.75"},
        "age_years": "41",
    }
    sheet.type(typed)
    sheet.press()
    sheet.wait()
    unfold(page)
    for setting in settings(page):
        assert (setting, sticks_out(page)) == (setting, [])
    sheet.field("left.heel_mm").fill("600")
    sheet.press()
    expect(sheet.fault("left.heel_mm")).to_be_visible()
    assert sticks_out(page) == []
    page.locator(".search-opener").click()
    expect(page.locator("[data-md-component=search-query]")).to_be_focused()
    assert sticks_out(page) == []


def start_at_the_top(page: Page) -> None:
    """Put the focus before everything, wherever it was; blur alone leaves the place from which Tab goes on."""
    page.evaluate(
        """() => {
            document.body.tabIndex = -1;
            document.body.focus();
            document.body.removeAttribute("tabindex");
            scrollTo(0, 0);
        }"""
    )


def walk(page: Page, key: str = "Tab", limit: int = 80) -> list[dict]:
    """Press Tab through the page and say of each stop what it is and whether it can be seen to have the focus."""
    stops: list[dict] = []
    for _ in range(limit):
        page.keyboard.press(key)
        stop = page.evaluate(
            """() => {
                const at = document.activeElement;
                if (!at || at === document.body) return null;
                const { top, bottom, left, right, width, height } = at.getBoundingClientRect();
                const style = getComputedStyle(at);
                return {
                    name: at.id || at.dataset.part || at.textContent.trim().slice(0, 40),
                    tag: at.tagName,
                    outlined: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
                    inside: bottom > 0 && right > 0 && top < innerHeight && left < innerWidth && width * height > 0,
                };
            }"""
        )
        if stop is None or (stops and stop == stops[0]):
            return stops
        stops.append(stop)
    raise AssertionError(f"the focus never leaves the page: {[stop['name'] for stop in stops]}")


def test_the_keyboard_reaches_everything_in_order_and_shows_where_it_is(sheet: Worksheet):
    page = sheet.page
    sheet.type({**BOTH, "age_years": "41"})  # unfolds the last fields
    sheet.press()
    sheet.wait()
    start_at_the_top(page)
    stops = walk(page)
    assert [stop["name"] for stop in stops if not (stop["outlined"] and stop["inside"])] == []
    reached = [stop["name"] for stop in stops]
    fields = sheet.root.locator("[data-field] input:visible").evaluate_all("(all) => all.map(({ id }) => id)")
    assert [name for name in reached if name in fields] == fields
    assert [name for name in reached if name in ("run", "clear")] == ["run", "clear"]
    folded = page.locator("summary:visible").evaluate_all(
        "(all) => all.map((one) => one.textContent.trim().slice(0, 40))"
    )
    assert [stop["name"] for stop in stops if stop["tag"] == "SUMMARY"] == folded
    assert reached[0] == page.locator(".md-skip").inner_text()


def test_the_link_that_skips_the_head_of_the_page_works(sheet: Worksheet):
    page = sheet.page
    start_at_the_top(page)
    page.keyboard.press("Tab")
    expect(page.locator(".md-skip")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    inside = page.evaluate("document.activeElement.closest('main') !== null")
    assert inside


def test_the_keyboard_alone_fills_in_works_out_unfolds_and_clears(sheet: Worksheet):
    page = sheet.page
    sheet.field("left.ball_mm").focus()
    for text in LEFT.values():
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    assert card.wrong(sheet, {"left": LEFT}) == []
    for folded in sheet.card.locator("summary").all():
        folded.focus()
        page.keyboard.press("Enter")
        expect(folded.locator("xpath=..")).to_have_attribute("open", "")
    sheet.part("clear").focus()
    page.keyboard.press("Space")
    assert sheet.typed() == {}


def test_trying_again_works_with_the_keyboard(visitor, host: Host):
    visitor.expect("request failed", "ERR_")
    page = visitor.open(host, first=NO_IDLE)
    wait_for_pages_kept(page)
    page.context.set_offline(True)
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    sheet.field("left.heel_mm").press("Enter")
    expect(sheet.retry).to_be_visible(timeout=PATIENCE_MS)
    sheet.part("clear").focus()
    page.keyboard.press("Tab")
    expect(sheet.retry).to_be_focused()
    page.context.set_offline(False)
    page.keyboard.press("Enter")
    assert card.wrong(sheet, {"left": LEFT}) == []


def test_what_happens_is_told_to_screen_readers_in_a_live_region(sheet: Worksheet):
    expect(sheet.status).to_have_attribute("role", "status")
    sheet.type({"left": LEFT})
    sheet.press()
    expect(sheet.status).to_have_text(WORDS["calculator"]["answered"])
    sheet.field("left.middle_mm").fill("95")
    sheet.press()
    expect(sheet.status).to_contain_text(WORDS["refusals"]["middle_wider_than_ball"])
    expect(sheet.status).to_contain_text(WORDS["sides"]["left"])
