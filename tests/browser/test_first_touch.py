"""When the calculator starts, and what becomes of what is typed before it is ready."""

from __future__ import annotations

import re

import pytest
from browser import card
from browser.hosts import Host
from browser.sites import HELP, WORDS
from browser.states import NO_IDLE, wait_for_calculators_kept, wait_for_pages_kept
from browser.worksheet import BOTH, LEFT, Worksheet
from playwright.sync_api import Page, expect

SAVES_DATA = 'Object.defineProperty(navigator, "connection", { value: { saveData: true } });'
SLOW = ".wasm.gz"
LOADING = re.escape(WORDS["calculator"]["loading"]).replace(re.escape("{size}"), r"\d+")


def python_files(host: Host) -> list[str]:
    """The files of Python that were asked for: all large ones of the runtime, and not its list."""
    return [path for path in host.paths() if path.startswith("runtime/") and path.endswith((".js", ".gz"))]


def settle(page: Page) -> None:
    """Until the pages are kept for offline use and the browser has had time to be idle."""
    wait_for_pages_kept(page)
    page.evaluate("new Promise((resolve) => requestIdleCallback(() => setTimeout(resolve, 700)))")


@pytest.mark.parametrize("path", ["index.html", HELP])
def test_a_page_without_a_calculator_asks_for_nothing_of_python(visitor, host: Host, path):
    page = visitor.open(host, path)
    settle(page)
    page.mouse.wheel(0, 2000)
    page.keyboard.press("Tab")
    page.wait_for_timeout(500)
    assert python_files(host) == []
    assert page.workers == []


def test_on_its_own_page_the_calculator_waits_for_the_first_touch(visitor, host: Host):
    page = visitor.open(host, first=NO_IDLE)
    wait_for_pages_kept(page)
    page.wait_for_timeout(700)
    assert python_files(host) == []
    Worksheet(page).start()
    assert len(python_files(host)) == 5


def test_untouched_it_starts_once_the_page_is_idle(visitor, host: Host):
    page = visitor.open(host)
    wait_for_calculators_kept(page)
    assert len(set(python_files(host))) == 5


def test_who_saves_data_downloads_python_only_by_touching_the_form(visitor, host: Host):
    page = visitor.open(host, first=SAVES_DATA)
    settle(page)
    assert python_files(host) == []
    Worksheet(page).start()


@pytest.mark.parametrize("pressed", [True, False], ids=["pressed", "not pressed"])
def test_what_is_typed_before_python_is_there_is_answered_by_itself(visitor, host: Host, pressed):
    with host.holding(SLOW):
        sheet = Worksheet(visitor.open(host))
        sheet.type(BOTH)
        if pressed:
            sheet.field("right.heel_mm").press("Enter")
        expect(sheet.status).to_have_text(re.compile(LOADING))
        expect(sheet.part("progress")).to_be_visible()
        expect(sheet.card).to_be_hidden()
    assert card.wrong(sheet, BOTH) == []
    expect(sheet.part("progress")).to_be_hidden()


def test_a_mistake_pressed_before_python_is_there_is_told_by_itself(visitor, host: Host):
    with host.holding(SLOW):
        sheet = Worksheet(visitor.open(host))
        sheet.type({"left": {**LEFT, "middle_mm": "95"}})
        sheet.press()
    expect(sheet.fault("left.middle_mm")).to_have_text(WORDS["refusals"]["middle_wider_than_ball"], timeout=30_000)
    expect(sheet.field("left.middle_mm")).to_be_focused()


def test_what_is_changed_before_python_is_there_is_answered_as_it_stands(visitor, host: Host):
    changed = {"left": {**LEFT, "middle_mm": "30"}}
    with host.holding(SLOW):
        sheet = Worksheet(visitor.open(host))
        sheet.type({"left": LEFT})
        sheet.press()
        sheet.type(changed)
        page_pause_ms = 600  # longer than the form waits before it asks anew
        sheet.page.wait_for_timeout(page_pause_ms)
    assert card.wrong(sheet, changed) == []


def test_a_sheet_pressed_and_then_emptied_is_not_answered(visitor, host: Host):
    """An answer to numbers that are no longer there would stand beside an empty field."""
    with host.holding(SLOW):
        sheet = Worksheet(visitor.open(host))
        sheet.type({"left": LEFT})
        sheet.press()
        sheet.field("left.heel_mm").fill("")
        sheet.page.wait_for_timeout(600)
    wait_for_calculators_kept(sheet.page)
    expect(sheet.card).to_be_hidden()
    sheet.field("left.heel_mm").fill(LEFT["heel_mm"])
    assert card.wrong(sheet, {"left": LEFT}) == []


def test_progress_tells_how_much_has_arrived(visitor, host: Host):
    """The share on the bar grows with the bytes, and stops where they stop."""
    host.hold(SLOW, after=1_000_000)
    sheet = Worksheet(visitor.open(host))
    sheet.field("left.ball_mm").focus()
    bar = sheet.part("progress")
    total, small = (
        sum(file.stat().st_size for ending in endings for file in (host.folder / "runtime").glob(ending))
        for endings in (("*.gz", "*.js"), ("*.zip.gz", "*.js"))
    )
    # A last piece of the held file may still lie in a buffer between the two.
    arrived = (small + 1_000_000) / total
    sheet.page.wait_for_function(
        "([low]) => document.querySelector('footprint-widths progress').value >= low", arg=[arrived - 0.05]
    )
    assert bar.evaluate("(bar) => bar.value") <= arrived + 1e-9
    host.release(SLOW)
    expect(bar).to_be_hidden(timeout=30_000)
